"""Pickets of uneven width: what each way of marking does to the gaps, and which to use.

Crosses the border: a layout and a few measured widths in, a `WidthStudy` out. Lengths in mm.

With a picket d wider than reckoned, edge marks take d off the gap after it, centre marks take half of d off the gaps on
either side, and a spacer block moves every later picket by d, so that the last space takes all of it.  Worst cases are reckoned from
the widest and the narrowest picket measured: any picket may be like either.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum

from assistant.setout.lengths import Length, Resolution, rounded
from assistant.setout.spacing import Layout, layout_for_count, solve
from assistant.setout.tolerances import WIDTHS_ALIKE
from assistant.setout.trouble import ImpossibleError, Problem, require_positive


class Method(Enum):
    """How pickets are placed."""

    EDGE = "edge marks"
    CENTRE = "centre marks"
    SPACER = "spacer block"


@dataclass(frozen=True, slots=True)
class Effect:
    """What a method does to the last space, the one before the far post; below zero where it shrinks."""

    method: Method
    expected: Length
    """With pickets of the mean width."""
    least: Length
    """If every picket were the widest measured."""
    most: Length
    """If every picket were the narrowest measured."""

    @property
    def worst(self) -> Length:
        """The farthest it can be out, either way."""
        return max(abs(self.least), abs(self.most))


@dataclass(frozen=True, slots=True)
class WidthStudy:
    """The measured widths against the width the layout was made with."""

    mean: Length
    narrowest: Length
    widest: Length
    effects: tuple[Effect, ...]
    """In the order of `Method`."""
    largest: Length
    """The widest space that marks can leave: between two of the narrowest, or after one."""
    allowed: bool
    """Whether that still obeys the limit."""
    safe: Layout
    """The same bay with the narrowest picket: set out like this, no space can be over the limit by marks."""
    resolved: Layout
    """The same bay solved again on the mean width."""
    kept: Layout
    """The same count laid out on the mean width."""
    recommended: Method

    @property
    def variation(self) -> Length:
        """Widest less narrowest."""
        return self.widest - self.narrowest

    def effect(self, method: Method) -> Effect:
        """What one method does."""
        return next(effect for effect in self.effects if effect.method is method)


def study_widths(layout: Layout, widths: Sequence[Length], resolution: Resolution, tolerance: Length = WIDTHS_ALIKE) -> WidthStudy:
    """Compare the methods; recommend edge marks where widths are within the tolerance of each other, else centres.

    A spacer block, cut to a graduation, is never recommended: it adds up every difference, and its own rounding, at the last post.
    Raises ImpossibleError where no width is given or the mean does not fit.
    """
    if not widths:
        raise ImpossibleError(Problem.NOTHING_GIVEN, "There is no picket width. Measure a few.", lengths={})
    for width in widths:
        require_positive("picket width", width)
    mean, narrowest, widest = sum(widths) / Length(len(widths)), min(widths), max(widths)
    block = rounded(layout.gap, resolution) - layout.gap
    effects = tuple(
        Effect(
            method,
            _last_space(method, layout, mean, block),
            _last_space(method, layout, widest, block),
            _last_space(method, layout, narrowest, block),
        )
        for method in Method
    )
    on_mean = replace(layout.bay, picket=mean)
    recommended = Method.EDGE if widest - narrowest <= tolerance else Method.CENTRE
    largest = max(layout.spaces()) + max(layout.bay.picket - narrowest, Length(0))
    return WidthStudy(
        mean,
        narrowest,
        widest,
        effects,
        largest,
        layout.bay.limit.allows(largest),
        solve(replace(layout.bay, picket=narrowest)),
        solve(on_mean),
        layout_for_count(on_mean, layout.count),
        recommended,
    )


def _last_space(method: Method, layout: Layout, width: Length, block: Length) -> Length:
    """The change of the last space when every picket has this width; `block` is the spacer's own error, met before every picket but the
    first, which stands on its mark."""
    extra = width - layout.bay.picket
    match method:
        case Method.EDGE:
            return -extra
        case Method.CENTRE:
            return -extra / 2
        case Method.SPACER:
            return -layout.count * extra - (layout.count - 1) * block
