"""Bays whose posts are not parallel: one opening a rail, and two ways to treat the difference.

Crosses the border: rail heights and openings in; `PlumbLayout` (pickets plumb, the ends take up the difference) or
`SharedLayout` (same count on every rail, each with its own gap, every picket leaning a little) out. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from fractions import Fraction
from itertools import pairwise

from assistant.setout.ends import End
from assistant.setout.lengths import Length
from assistant.setout.limits import GapLimit
from assistant.setout.spacing import Bay, Layout, fewest, layout_for_count, require_ends_within_limit, solve
from assistant.setout.tolerances import OUT_OF_PLUMB
from assistant.setout.trouble import ImpossibleError, Problem


@dataclass(frozen=True, slots=True)
class RailOpening:
    """The opening between the posts at one rail."""

    height: Length
    opening: Length


class Lean(Enum):
    """Which post is out of plumb, as seen facing the fence."""

    LEFT = "left post"
    RIGHT = "right post"
    BOTH = "both posts alike"


_LEFT_SHARE = {Lean.LEFT: Fraction(1), Lean.RIGHT: Fraction(0), Lean.BOTH: Fraction(1, 2)}


def interpolate(bottom: RailOpening, top: RailOpening, heights: Iterable[Length]) -> tuple[RailOpening, ...]:
    """The openings at these heights on straight posts, from two measured ones."""
    rise = top.height - bottom.height
    if rise <= 0:
        raise ImpossibleError(
            Problem.OUT_OF_RANGE,
            "A top rail at {top} is not above a bottom at {bottom}.",
            lengths={"top": top.height, "bottom": bottom.height},
        )
    slope = (top.opening - bottom.opening) / rise
    return tuple(RailOpening(height, bottom.opening + slope * (height - bottom.height)) for height in heights)


@dataclass(frozen=True, slots=True)
class TaperedBay:
    """A bay measured or interpolated at two or more rails; `bay(rail)` is the same bay with one rail's opening."""

    rails: tuple[RailOpening, ...]
    picket: Length
    limit: GapLimit
    left: End
    right: End

    def __post_init__(self) -> None:
        if len(self.rails) < 2:
            raise ImpossibleError(Problem.NOTHING_GIVEN, "A tapered bay needs at least two rails.", lengths={})
        heights = [rail.height for rail in self.rails]
        if any(below >= above for below, above in pairwise(heights)):
            raise ImpossibleError(Problem.OUT_OF_RANGE, "Give the rails from the lowest to the highest.", lengths={})
        for rail in self.rails:
            self.bay(rail)

    def bay(self, rail: RailOpening) -> Bay:
        """The bay as it is at one rail."""
        return Bay(rail.opening, self.picket, self.limit, self.left, self.right)

    @property
    def widest(self) -> RailOpening:
        """The rail with the largest opening; the lowest of equals."""
        return max(self.rails, key=lambda rail: rail.opening)

    @property
    def narrowest(self) -> RailOpening:
        """The rail with the smallest opening; the lowest of equals."""
        return min(self.rails, key=lambda rail: rail.opening)

    @property
    def difference(self) -> Length:
        """Largest less smallest opening."""
        return self.widest.opening - self.narrowest.opening

    def out_of_plumb(self, tolerance: Length = OUT_OF_PLUMB) -> bool:
        """Whether the openings differ by more than the tolerance."""
        return self.difference > tolerance


# Same count on every rail -------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class SharedLayout:
    """One layout a rail, lowest rail first, all with the same count."""

    layouts: tuple[Layout, ...]
    leans: tuple[Length, ...]
    """How far each picket's top rail place is to the right of its bottom rail place, in mm; left to right."""

    @property
    def count(self) -> int:
        """Pickets in the bay."""
        return self.layouts[0].count

    @property
    def allowed(self) -> bool:
        """Whether the limit holds at every rail."""
        return all(layout.allowed for layout in self.layouts)


def share(bay: TaperedBay, lean: Lean = Lean.RIGHT) -> SharedLayout:
    """The fewest pickets whose gaps obey the limit at every rail; leans are stated for the post that leans.

    Raises ImpossibleError where no count obeys the limit at the widest rail and still fits the narrowest.
    """
    return share_count(bay, solve(bay.bay(bay.widest)).count, lean)


def share_count(bay: TaperedBay, count: int, lean: Lean = Lean.RIGHT) -> SharedLayout:
    """As `share`, with a given count."""
    layouts = tuple(layout_for_count(bay.bay(rail), count) for rail in bay.rails)
    bottom, top = layouts[0], layouts[-1]
    post = _LEFT_SHARE[lean] * (bottom.bay.opening - top.bay.opening)
    start = post + top.left_space - bottom.left_space
    step = top.pitch - bottom.pitch
    return SharedLayout(layouts, tuple(start + k * step for k in range(count)))


# Pickets plumb ------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class PlumbRail:
    """What is left beside the posts at one rail."""

    rail: RailOpening
    left_space: Length
    right_space: Length


@dataclass(frozen=True, slots=True)
class PlumbLayout:
    """Pickets plumb: set out at one rail and plumbed from there, so that only the end spaces change."""

    reference: Layout
    """The layout at the rail it is set out on."""
    reference_rail: RailOpening
    rails: tuple[PlumbRail, ...]
    """Lowest rail first."""
    largest_end: Length
    """The largest space beside a post at any rail; where it is not known which post leans, whichever it is."""

    @property
    def count(self) -> int:
        """Pickets in the bay."""
        return self.reference.count

    @property
    def allowed(self) -> bool:
        """Whether the limit holds between pickets and beside the posts at every rail."""
        limit = self.reference.bay.limit
        return limit.allows(self.reference.gap) and limit.allows(self.largest_end)

    def check(self) -> bool:
        """Lay every rail back out: whether pickets and spaces fill its opening exactly."""
        inner = self.count * self.reference.bay.picket + (self.count - 1) * self.reference.gap
        return all(rail.left_space + inner + rail.right_space == rail.rail.opening for rail in self.rails)


def plumb(bay: TaperedBay, lean: Lean | None, count: int | None = None) -> PlumbLayout:
    """Plumb pickets that obey the limit everywhere: the fewest for the rail they are set out on, or a given count.

    That is the widest rail where the ends allow it: from there they only shrink. Where they would shrink below nothing
    it is the narrowest, from which they only grow. With the leaning post unknown (None) the layout must hold whichever
    leans, and the spaces are those of both leaning alike. Raises ImpossibleError where neither rail gives a layout.

    A given count is laid out whether or not the limit allows it, from the rail where it does if only one of them does;
    ImpossibleError where that many pickets do not fit or are too few for a whole gap.
    """
    if count is not None:
        return _plumb_count(bay, lean, count)
    for rail in (bay.widest, bay.narrowest):
        layout = _plumb_fewest(bay, rail, lean)
        if layout is not None:
            return layout
    raise ImpossibleError(
        Problem.OUT_OF_RANGE,
        "The openings differ by {difference}. Plumb pickets cannot take that up at the posts and keep to {limit}. "
        "Share it out over all the gaps, or plumb the post.",
        lengths={"difference": bay.difference, "limit": bay.limit.value},
    )


def _plumb_fewest(bay: TaperedBay, rail: RailOpening, lean: Lean | None) -> PlumbLayout | None:
    wanted = _limit_for_gap(bay, rail, lean)
    if wanted is None or wanted.value <= 0:
        return None
    count = fewest(replace(bay.bay(rail), limit=wanted))
    if count > bay.bay(rail).most:
        return None
    return _plumb_from(bay, rail, lean, count)


def _plumb_count(bay: TaperedBay, lean: Lean | None, count: int) -> PlumbLayout:
    from_widest = _plumb_from(bay, bay.widest, lean, count)
    if from_widest is not None and (from_widest.allowed or count > bay.bay(bay.narrowest).most):
        return from_widest
    from_narrowest = _plumb_from(bay, bay.narrowest, lean, count)
    # From the narrowest rail the ends only grow, so they are never below nothing.
    assert from_narrowest is not None
    return from_narrowest if from_widest is None or from_narrowest.allowed else from_widest


def _plumb_from(bay: TaperedBay, rail: RailOpening, lean: Lean | None, count: int) -> PlumbLayout | None:
    """This many, plumbed from this rail; None where a picket would stand in a post at another rail."""
    layout = layout_for_count(bay.bay(rail), count)
    ends = [space for case in _cases(lean) for one in _plumb_rails(bay, rail, layout, case) for space in (one.left_space, one.right_space)]
    if min(ends) < 0:
        return None
    return PlumbLayout(layout, rail, _plumb_rails(bay, rail, layout, lean or Lean.BOTH), max(ends))


def _limit_for_gap(bay: TaperedBay, rail: RailOpening, lean: Lean | None) -> GapLimit | None:
    """The limit on the gap that also keeps the largest end space within the bay's limit; None where none does."""
    require_ends_within_limit(bay.bay(rail))
    most = bay.limit.value
    growth = bay.widest.opening - rail.opening
    for case in _cases(lean):
        for end, taken in ((bay.left, _LEFT_SHARE[case]), (bay.right, 1 - _LEFT_SHARE[case])):
            room = bay.limit.value - end.fixed - taken * growth
            if end.coefficient:
                most = min(most, room / end.coefficient)
            elif room < 0 or (room == 0 and bay.limit.strict):
                return None
    return replace(bay.limit, value=most)


def _cases(lean: Lean | None) -> Sequence[Lean]:
    return (lean,) if lean else (Lean.LEFT, Lean.RIGHT)


def _plumb_rails(bay: TaperedBay, reference: RailOpening, layout: Layout, lean: Lean) -> tuple[PlumbRail, ...]:
    rails = []
    for rail in bay.rails:
        growth = rail.opening - reference.opening
        left = layout.left_space + _LEFT_SHARE[lean] * growth
        rails.append(PlumbRail(rail, left, layout.right_space + (1 - _LEFT_SHARE[lean]) * growth))
    return tuple(rails)
