"""What was measured on site: bays, gates, and pickets that slipped.

Pure values; lengths are exact `Fraction` millimetres.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum
from fractions import Fraction

from assistant.setout.lengths import Length
from assistant.setout.limits import GapLimit
from assistant.setout.taper import Lean

RAILS = ("bottom", "middle", "top")
"""Rails of a bay, bottom first."""


class Slope(Enum):
    """How a bay follows falling ground."""

    RAKED = "raked"
    STEPPED = "stepped"


class Side(Enum):
    """Left or right, as seen facing the fence."""

    LEFT = "left"
    RIGHT = "right"


@dataclass(frozen=True, slots=True)
class Gate:
    """A gate in an opening: what is taken off for hanging it."""

    hinge: Length
    latch: Length
    leaves: int = 1
    meeting: Length = Fraction(0)
    """The gap where two leaves meet."""
    hinges: Side | None = None
    """Where a single leaf hangs; None where it was not said."""


@dataclass(frozen=True, slots=True)
class Slip:
    """A picket that was fixed off its mark."""

    picket: int
    """Counted from the post that marks are measured from."""
    places: tuple[tuple[str, Length], ...]
    """(rail, where its mark edge really is on it), from that post, as a tape along the rail reads it."""


@dataclass(frozen=True, slots=True)
class Bay:
    """One opening between posts, as measured."""

    number: int
    openings: tuple[tuple[str, Length], ...]
    """(rail, clear opening), bottom first."""
    picket: Length
    limit: GapLimit
    count: int | None = None
    """Pickets asked for in place of the fewest."""
    gate: Gate | None = None
    slope: Slope | None = None
    rise: Length = Fraction(0)
    going: Length = Fraction(0)
    """Level distance over which the ground rises by `rise`."""
    slip: Slip | None = None
    """A slip from a record of version 1, which kept it here; a slip said later belongs to the set-out."""
    leans: Lean | None = None
    """Which post is out of plumb, where the user knows."""
    along: Length | None = None
    """Length along the rail over `going`, where that was measured in place of the rise; `rise` is then only to draw by."""
    under: Length | None = None
    """Of a stepped bay: from the ground to the pickets at its high end; None where it was not asked."""

    @property
    def name(self) -> str:
        """How the bay is called: “bay 3” or “gate 4”."""
        return f"{'gate' if self.gate else 'bay'} {self.number}"

    def opening(self, rail: str) -> Length | None:
        """The opening measured at a rail, if it was."""
        return dict(self.openings).get(rail)

    def measured(self, rail: str, opening: Length) -> Bay:
        """The same bay with one opening set."""
        found = {**dict(self.openings), rail: opening}
        order = [name for name in RAILS if name in found]
        return replace(self, openings=tuple((name, found[name]) for name in order), slip=None)
