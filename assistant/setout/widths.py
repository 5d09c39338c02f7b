"""Pickets of uneven width: what each way of marking does to the gaps, and which to use.

Crosses the border: a layout and a few measured widths in, a `WidthStudy` out. Lengths in mm.

With a picket d wider than reckoned, edge marks take d off the gap after it, centre marks take half of d off the gaps on
either side, and a spacer block moves every later picket by d, so that the last space takes all of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum

from assistant.setout.lengths import Length
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


@dataclass(frozen=True, slots=True)
class WidthStudy:
    """The measured widths against the width the layout was made with."""

    mean: Length
    narrowest: Length
    widest: Length
    effects: tuple[Effect, ...]
    """In the order of `Method`."""
    resolved: Layout
    """The same bay solved again on the mean width."""
    kept: Layout
    """The same count laid out on the mean width."""
    recommended: Method

    @property
    def variation(self) -> Length:
        """Widest less narrowest."""
        return self.widest - self.narrowest


def study_widths(layout: Layout, widths: Sequence[Length], tolerance: Length = WIDTHS_ALIKE) -> WidthStudy:
    """Compare the methods; recommend edge marks where widths are within the tolerance of each other, else centres.

    A spacer block is never recommended: it adds up every difference, and the layout's own rounding, at the last post.
    Raises ImpossibleError where no width is given or the mean does not fit.
    """
    if not widths:
        raise ImpossibleError(Problem.NOTHING_GIVEN, "There is no picket width. Measure a few.", lengths={})
    for width in widths:
        require_positive("picket width", width)
    mean, narrowest, widest = sum(widths) / Length(len(widths)), min(widths), max(widths)
    effects = tuple(
        Effect(
            method,
            _last_space(method, layout, mean),
            _last_space(method, layout, widest),
            _last_space(method, layout, narrowest),
        )
        for method in Method
    )
    on_mean = replace(layout.bay, picket=mean)
    recommended = Method.EDGE if widest - narrowest <= tolerance else Method.CENTRE
    kept = layout_for_count(on_mean, layout.count)
    return WidthStudy(mean, narrowest, widest, effects, solve(on_mean), kept, recommended)


def _last_space(method: Method, layout: Layout, width: Length) -> Length:
    """The change of the last space when every picket has this width."""
    extra = width - layout.bay.picket
    share = {Method.EDGE: Length(1), Method.CENTRE: Length(1, 2), Method.SPACER: Length(layout.count)}
    return -extra * share[method]
