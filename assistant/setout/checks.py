"""Checks on site: a gap measured after nailing, and check marks for those who work with a spacer.

Crosses the border: a gap, its limit and what was measured in, a `GapCheck` out; or a layout in, marks with the drift
expected there out; or equal gaps in, the `Spacer` block for them out.
Lengths in mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, auto

from assistant.setout.lengths import Length, Resolution, rounded
from assistant.setout.limits import GapLimit
from assistant.setout.marks import Edge, Mark, Origin, marks
from assistant.setout.spacing import Layout
from assistant.setout.tolerances import GAP_ON_SITE
from assistant.setout.trouble import ImpossibleError, Problem, require_not_negative


class Action(Enum):
    """What to do about a measured gap."""

    CARRY_ON = auto()
    """Inside the tolerance and the limit."""
    BACK_TO_THE_MARKS = auto()
    """Outside the tolerance, but the limit holds: set the next picket to its own mark."""
    MOVE_THE_PICKET = auto()
    """The limit is broken: the picket has to move."""


@dataclass(frozen=True, slots=True)
class GapCheck:
    """One measured gap against the one that was set out."""

    measured: Length
    difference: Length
    """Measured less the gap that was set out: above zero where it is too wide."""
    inside_tolerance: bool
    inside_limit: bool

    @property
    def action(self) -> Action:
        """What to do."""
        if not self.inside_limit:
            return Action.MOVE_THE_PICKET
        return Action.CARRY_ON if self.inside_tolerance else Action.BACK_TO_THE_MARKS


def check_gap(gap: Length, limit: GapLimit, measured: Length, tolerance: Length = GAP_ON_SITE) -> GapCheck:
    """Judge what was measured between two pickets by the gap that was set out there, and by the limit."""
    require_not_negative("measured gap", measured)
    require_not_negative("tolerance", tolerance)
    difference = measured - gap
    return GapCheck(measured, difference, abs(difference) <= tolerance, limit.allows(measured))


@dataclass(frozen=True, slots=True)
class Spacer:
    """A block that is held between each picket and the next; the first picket stands on its own mark."""

    size: Length
    """What it is cut to: the gap to a graduation, one less where that broke the limit."""
    out: Length
    """How far past its mark the last picket arrives; below zero where it falls short."""
    works: bool
    """Whether the last picket is within the tolerance, and no space over the limit."""


def spacer_for(
    gap: Length, count: int, last_space: Length, limit: GapLimit, resolution: Resolution, tolerance: Length = GAP_ON_SITE
) -> Spacer:
    """The spacer of a row of equal gaps; `last_space` is behind the last picket.  Pickets are taken to be of their own width."""
    size = rounded(gap, resolution)
    if not limit.allows(size):
        size -= resolution.step
    out = (count - 1) * (size - gap)
    behind = last_space - out
    within = limit.allows(size) and behind >= 0 and (limit.allows(behind) or out >= 0)
    return Spacer(size, out, within and abs(out) <= tolerance)


@dataclass(frozen=True, slots=True)
class CheckMark:
    """A mark to check a row set with a spacer against."""

    mark: Mark
    drift: Length
    """How far past the exact mark a row set with the rounded spacer arrives; below zero where it falls short."""


def check_marks(layout: Layout, every: int, edge: Edge, origin: Origin, resolution: Resolution) -> tuple[CheckMark, ...]:
    """The mark of every so many pickets and of the last one; the spacer is the gap rounded to the resolution.

    The first picket is set on its own mark, so that the drift is of the spacers between it and the mark.
    """
    if every < 1:
        raise ImpossibleError(
            Problem.OUT_OF_RANGE,
            "A check mark every {every} pickets cannot be made. The least is 1.",
            lengths={},
            numbers={"every": every},
        )
    per_spacer = rounded(layout.gap, resolution) - layout.gap
    return tuple(
        CheckMark(mark, (mark.index - 1) * per_spacer)
        for mark in marks(layout, edge, origin, resolution)
        if mark.index % every == 0 or mark.index == layout.count
    )
