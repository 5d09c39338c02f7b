"""Gates: the leaf that fits the opening, a picket at both ends of it, and the count nearest the fence's gap.

Crosses the border: the opening and its clearances in, a `Gate` (leaf width and layout) out. Lengths in mm.
"""

from __future__ import annotations

from dataclasses import dataclass

from assistant.setout.ends import PICKET
from assistant.setout.lengths import Length
from assistant.setout.limits import GapLimit
from assistant.setout.spacing import Bay, Layout, fewest, layout_for_count, solve
from assistant.setout.trouble import ImpossibleError, Problem, require_not_negative, require_positive


@dataclass(frozen=True, slots=True)
class GateOpening:
    """The opening between gate posts and what the hardware takes of it."""

    opening: Length
    hinge: Length
    """Clearance at each hinge side."""
    latch: Length
    """Clearance at the latch of a single leaf; the meeting gap of two leaves."""
    leaves: int

    def __post_init__(self) -> None:
        require_positive("gate opening", self.opening)
        require_not_negative("hinge clearance", self.hinge)
        require_not_negative("latch clearance", self.latch)
        if self.leaves not in (1, 2):
            raise ImpossibleError(
                Problem.OUT_OF_RANGE,
                "A gate has one leaf or two, not {leaves}.",
                lengths={},
                numbers={"leaves": self.leaves},
            )
        if self.leaf <= 0:
            raise ImpossibleError(
                Problem.TOO_SHORT,
                "The clearances leave no gate in an opening of {opening}. The opening must be more than {needed}.",
                lengths={"opening": self.opening, "needed": self.leaves * self.hinge + self.latch},
            )

    @property
    def leaf(self) -> Length:
        """The width of one leaf: two leaves have a hinge each and share the meeting gap."""
        return (self.opening - self.leaves * self.hinge - self.latch) / self.leaves


@dataclass(frozen=True, slots=True)
class Gate:
    """A gate whose leaves all follow one layout."""

    opening: GateOpening
    layout: Layout
    fence_gap: Length

    @property
    def difference(self) -> Length:
        """The gate's gap less the fence's; above zero where the gate is more open."""
        return self.layout.gap - self.fence_gap

    @property
    def clearances_allowed(self) -> bool:
        """Whether the clearances obey the same limit as the gaps."""
        limit = self.layout.bay.limit
        return limit.allows(self.opening.hinge) and limit.allows(self.opening.latch)

    def check(self) -> bool:
        """Lay it back out: whether leaves and clearances fill the opening exactly."""
        opening = self.opening
        leaves = opening.leaves * sum(self.layout.spaces(), self.layout.count * self.layout.bay.picket)
        return leaves + opening.leaves * opening.hinge + opening.latch == opening.opening


def match_gate(opening: GateOpening, picket: Length, limit: GapLimit, fence_gap: Length) -> Gate:
    """The allowed count whose gap is nearest the fence's, the fewer pickets where two are equally near.

    Raises ImpossibleError where no count obeys the limit on the leaf.
    """
    require_positive("gap of the fence", fence_gap)
    bay = Bay(opening.leaf, picket, limit, PICKET, PICKET)
    least = solve(bay).count
    # The gap falls as the count grows, so the nearest lies at the count that first reaches the fence's gap or before.
    reached = fewest(Bay(opening.leaf, picket, GapLimit(fence_gap, strict=False), PICKET, PICKET))
    counts = {min(max(count, least), bay.most) for count in (reached - 1, reached)}
    layouts = [layout_for_count(bay, count) for count in sorted(counts)]
    return Gate(opening, min(layouts, key=lambda layout: abs(layout.gap - fence_gap)), fence_gap)
