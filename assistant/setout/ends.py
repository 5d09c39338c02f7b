"""What stands between the last picket and the post: a gap, nothing, half a gap, or a set gap; each end on its own.

An end adds `coefficient` gaps plus a `fixed` length to the opening, so that for n pickets of width w
gap = (opening - fixed - n*w) / (n - 1 + left.coefficient + right.coefficient).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from assistant.setout.lengths import Length


class EndKind(Enum):
    """The four ways a row of pickets can meet a post."""

    GAP = "gap"
    PICKET = "picket against the post"
    HALF_GAP = "half gap"
    SET_GAP = "set gap"


_COEFFICIENT = {
    EndKind.GAP: Fraction(1),
    EndKind.PICKET: Fraction(0),
    EndKind.HALF_GAP: Fraction(1, 2),
    EndKind.SET_GAP: Fraction(0),
}


@dataclass(frozen=True, slots=True)
class End:
    """The condition at one post."""

    kind: EndKind
    fixed: Length = Fraction(0)
    """The set gap in mm; zero for the other kinds."""

    @property
    def coefficient(self) -> Fraction:
        """How many gaps this end takes."""
        return _COEFFICIENT[self.kind]

    def space(self, gap: Length) -> Length:
        """The space between the post and the first picket, in mm."""
        return self.coefficient * gap + self.fixed


GAP = End(EndKind.GAP)
PICKET = End(EndKind.PICKET)
HALF_GAP = End(EndKind.HALF_GAP)


def set_gap(value: Length) -> End:
    """An end whose gap is given in mm and does not change with the count."""
    return End(EndKind.SET_GAP, value)
