"""Boards that overlap in place of leaving a gap: on one side of the rail, or on alternate sides of it.

Crosses the border: an opening, a board and the least overlap in, a `Lapped` (how many, by how much, where each stands) out.  Lengths in mm.

A board stands against each post, and each overlaps the next by the same: the overlap is a gap below zero, and what holds for gaps holds
for it.  For n boards of width w in opening L it is (n*w - L) / (n - 1), which grows with n; the fewest that overlap by at least v follow
from n*(w - v) >= L - v.  Whether a board lies on the one before it or behind the rail makes no difference along the rail.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from assistant.setout.lengths import Length, Resolution
from assistant.setout.marks import Edge, Mark, Origin, mark_at
from assistant.setout.trouble import ImpossibleError, Problem, require_not_negative, require_positive

MOST_BOARDS = 1000
"""An opening that takes more is a slip of the tongue.  Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Boards:
    """What boards have to cover."""

    opening: Length
    board: Length
    overlap: Length
    """The least."""


@dataclass(frozen=True, slots=True)
class Lapped:
    """Boards with equal overlaps from post to post; made by `lap`."""

    wanted: Boards
    count: int
    overlap: Length
    """Exact."""

    @property
    def pitch(self) -> Length:
        """From one board's edge to the same edge of the next."""
        return self.wanted.board - self.overlap

    @property
    def same_side(self) -> Length:
        """On alternate sides: between two boards of one side, which the board between them covers; below zero where they meet."""
        return self.wanted.board - 2 * self.overlap

    def mark(self, number: int, edge: Edge, origin: Origin, resolution: Resolution) -> Mark:
        """Where a board (from 1, at the post marks are measured from) is marked; rounded once."""
        near = Edge.LEFT if origin is Origin.LEFT else Edge.RIGHT
        offset = self.wanted.board * (Fraction(1, 2) if edge is Edge.CENTRE else Fraction(edge is not near))
        return mark_at(number, (number - 1) * self.pitch + offset, resolution)


def lap(wanted: Boards) -> Lapped:
    """The fewest boards that overlap by at least so much; raises ImpossibleError where none do."""
    require_positive("opening", wanted.opening)
    require_positive("board width", wanted.board)
    require_not_negative("overlap", wanted.overlap)
    if wanted.overlap >= wanted.board:
        raise ImpossibleError(
            Problem.OUT_OF_RANGE,
            "Boards of {board} cannot overlap by {overlap}. The overlap must be less than a board.",
            lengths={"board": wanted.board, "overlap": wanted.overlap},
        )
    if wanted.opening <= wanted.board:
        raise ImpossibleError(
            Problem.TOO_SHORT,
            "An opening of {opening} is covered by one board of {board}.",
            lengths={"opening": wanted.opening, "board": wanted.board},
        )
    count = -((wanted.overlap - wanted.opening) // (wanted.board - wanted.overlap))
    if count > MOST_BOARDS:
        raise ImpossibleError(
            Problem.OUT_OF_RANGE,
            "That takes {count} boards. The most is {most}: give a smaller overlap or a smaller opening.",
            lengths={}, numbers={"count": count, "most": MOST_BOARDS},
        )  # fmt: skip
    return Lapped(wanted, count, (count * wanted.board - wanted.opening) / (count - 1))
