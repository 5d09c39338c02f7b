"""Story poles: the fewest that serve a set of bays, how to move a pole that is shorter than its bay, and a rod for heights.

Crosses the border: layouts and the post to count from in, `Pole` values or `Placement` values out. Distances run from
that post, in mm; seen from the right post a bay's ends change places.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from assistant.setout.ends import End
from assistant.setout.lengths import Length, Resolution
from assistant.setout.marks import Mark, Origin, mark_at
from assistant.setout.spacing import Layout
from assistant.setout.trouble import ImpossibleError, Problem, require_not_negative, require_positive


@dataclass(frozen=True, slots=True)
class Pole:
    """A pole marked with equal gaps; a bay uses its first marks, as many as it has pickets."""

    origin: Origin
    """The post its zero is set on."""
    first: Length
    """The near edge of the first picket: the one that comes first from the post."""
    gap: Length
    picket: Length
    count: int
    bays: tuple[int, ...]
    """The layouts it serves, by their place in the input."""
    worst: Length
    """The farthest any bay's own mark is from the pole's."""

    def mark(self, index: int) -> Length:
        """The near edge of a picket on the pole (from 1), exact."""
        return self.first + (index - 1) * (self.gap + self.picket)


@dataclass(frozen=True, slots=True)
class _Use:
    """One bay as a stretch of gaps its pole may have."""

    place: int
    layout: Layout
    near: End
    """What stands at the post the pole counts from."""
    low: Length
    high: Length


def fewest_poles(layouts: Sequence[Layout], tolerance: Length, origin: Origin) -> tuple[Pole, ...]:
    """The fewest equally spaced poles such that each bay's every mark is within the tolerance of its pole's.

    All the bays are counted from the one post, and only bays alike in picket and in the end there can share a pole.
    Mark k lies at (k - 1 + near coefficient) gaps plus what all these bays share, so a pole of gap p serves a bay of
    gap g when the last mark does: (n - 1 + coefficient) * |p - g| <= tolerance. Each bay is then an interval of gaps,
    and the fewest points that meet every interval are found by always taking the lowest high end left.
    """
    require_not_negative("tolerance", tolerance)
    groups: dict[tuple[object, ...], list[_Use]] = {}
    for place, layout in enumerate(layouts):
        near = layout.bay.left if origin is Origin.LEFT else layout.bay.right
        last = layout.count - 1 + near.coefficient
        reach = tolerance / last if last else layout.bay.opening
        use = _Use(place, layout, near, layout.gap - reach, layout.gap + reach)
        groups.setdefault((layout.bay.picket, near), []).append(use)
    return tuple(_pole(served, origin) for uses in groups.values() for served in _served_together(uses))


def _served_together(uses: list[_Use]) -> list[list[_Use]]:
    together = []
    left = sorted(uses, key=lambda use: (use.high, use.place))
    while left:
        point = left[0].high
        together.append([use for use in left if use.low <= point])
        left = [use for use in left if use.low > point]
    return together


def _pole(served: list[_Use], origin: Origin) -> Pole:
    gap = (max(use.low for use in served) + min(use.high for use in served)) / 2
    near, picket = served[0].near, served[0].layout.bay.picket
    worst = max((use.layout.count - 1 + near.coefficient) * abs(use.layout.gap - gap) for use in served)
    count = max(use.layout.count for use in served)
    return Pole(origin, near.space(gap), gap, picket, count, tuple(sorted(use.place for use in served)), worst)


@dataclass(frozen=True, slots=True)
class Placement:
    """One position of a pole: its zero on the post or on a mark already made."""

    start_index: int
    """The picket whose mark the zero is set on; 0 for the post."""
    start: Length
    """The exact running distance of that mark as it was set out, in mm."""
    marks: tuple[Mark, ...]
    """Distances from the zero; `index` counts the bay's pickets from the post."""


@dataclass(frozen=True, slots=True)
class Placements:
    """A rail marked with a pole that is moved along."""

    length: Length
    """From post to post, along the rail."""
    placements: tuple[Placement, ...]
    closing: Length
    """From the zero of the last placement to the far post."""

    @property
    def closing_error(self) -> Length:
        """Where the moves and the closing distance end, less the length: zero, because starts are exact marks."""
        total = Fraction(0)
        for before, placement in pairwise(self.placements):
            total += next(mark.value for mark in before.marks if mark.index == placement.start_index)
        return total + self.closing - self.length


def re_register(running: Sequence[int], length: Length, pole: Length, resolution: Resolution) -> Placements:
    """The fewest placements of a pole that reach every mark, each starting on the last mark of the one before.

    `running` are the marks from the post, in graduations, each rounded once, so moving the pole adds no error.  Raises ImpossibleError
    for a pole shorter than the first mark, or than the way from one to the next.
    """
    require_positive("pole", pole)
    placements: list[Placement] = []
    start_index, start_steps = 0, 0
    while start_index < len(running):
        reached = []
        for index, steps in enumerate(running[start_index:], start=start_index + 1):
            if (steps - start_steps) * resolution.step > pole:
                break
            reached.append(mark_at(index, (steps - start_steps) * resolution.step, resolution))
        if not reached:
            needed = (running[start_index] - start_steps) * resolution.step
            raise ImpossibleError(
                Problem.TOO_SHORT,
                "A pole of {pole} does not reach mark {index}. It must be at least {needed}.",
                lengths={"pole": pole, "needed": needed},
                numbers={"index": start_index + 1},
            )
        placements.append(Placement(start_index, start_steps * resolution.step, tuple(reached)))
        start_index = reached[-1].index
        start_steps = running[start_index - 1]
    return Placements(length, tuple(placements), length - placements[-1].start)


def rod(bottom: Length, top: Length, rails: int) -> tuple[Length, ...]:
    """Heights of the rails above the ground, lowest first, evenly from the bottom one to the top one."""
    require_not_negative("height of the bottom rail", bottom)
    if top <= bottom:
        raise ImpossibleError(
            Problem.OUT_OF_RANGE,
            "A top rail at {top} is not above a bottom at {bottom}.",
            lengths={"top": top, "bottom": bottom},
        )
    return tuple(bottom + (top - bottom) * place / (rails - 1) for place in range(rails))
