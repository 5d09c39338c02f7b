"""The pickets of one rail as they stand: the spaces between them, and what is left of them when one was fixed off its mark.

Crosses the border: spaces from one post to the other in, spaces or marks out.  A row is read away from the post that marks are
measured from; lengths are level, in mm.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum
from fractions import Fraction
from itertools import pairwise

from assistant.setout.ends import GAP, End, EndKind
from assistant.setout.lengths import Length
from assistant.setout.limits import GapLimit
from assistant.setout.spacing import Bay, layout_for_count
from assistant.setout.tolerances import GAP_CHANGE_PLAIN, GAP_CHANGE_UNSEEN
from assistant.setout.trouble import ImpossibleError, Problem


class Visibility(Enum):
    """How a change from one gap to the next looks."""

    UNSEEN = "not seen"
    SLIGHT = "seen by who looks for it"
    PLAIN = "plainly seen"


@dataclass(frozen=True, slots=True)
class Row:
    """Equal pickets with the space before each, and the space behind the last."""

    picket: Length
    spaces: tuple[Length, ...]
    """One more than there are pickets."""

    @property
    def count(self) -> int:
        """Pickets in the row."""
        return len(self.spaces) - 1

    @property
    def opening(self) -> Length:
        """From post to post."""
        return sum(self.spaces, self.count * self.picket)

    def near_edges(self) -> tuple[Length, ...]:
        """The edge of each picket that comes first, from the post."""
        found, place = [], Fraction(0)
        for space in self.spaces[:-1]:
            place += space
            found.append(place)
            place += self.picket
        return tuple(found)

    def turned(self) -> Row:
        """The same row seen from the other post."""
        return Row(self.picket, self.spaces[::-1])

    def moved(self, index: int, near_edge: Length) -> Row:
        """Picket `index` (from 1) alone stands elsewhere.  Raises ImpossibleError where it would stand in a neighbour or a post."""
        self.require(index)
        off = near_edge - self.near_edges()[index - 1]
        before, behind = self.spaces[index - 1] + off, self.spaces[index] - off
        if before < 0:
            raise ImpossibleError(
                Problem.OUT_OF_RANGE,
                "Picket {index} cannot be {off} back: there is only {space} before it.",
                lengths={"off": -off, "space": self.spaces[index - 1]},
                numbers={"index": index},
            )
        if behind < 0:
            raise _no_room(self.spaces[index], off, index)
        return replace(self, spaces=(*self.spaces[: index - 1], before, behind, *self.spaces[index + 1 :]))

    def spread(self, index: int, near_edge: Length, end: End, limit: GapLimit) -> Row:
        """Picket `index` stands elsewhere, and those that follow it get equal gaps up to the far post, which ends in `end`.

        Raises ImpossibleError for no such picket, one pushed into its neighbour or past the post, or no room for the rest.
        """
        self.require(index)
        following = self.count - index
        if following == 0:
            return self.moved(index, near_edge)
        off = near_edge - self.near_edges()[index - 1]
        before = self.spaces[index - 1] + off
        room = self.opening - near_edge - self.picket
        if before < 0:
            return self.moved(index, near_edge)
        if room <= following * self.picket + end.fixed:
            raise _no_room(room + off - following * self.picket - end.fixed, off, index)
        rest = layout_for_count(Bay(room, self.picket, limit, GAP, end), following)
        return replace(self, spaces=(*self.spaces[: index - 1], before, *rest.spaces()))

    def change(self, index: int, first: EndKind, last: EndKind) -> Length:
        """The largest change from one whole gap to the next beside picket `index`; a space at a post counts only as a whole gap."""
        whole = list(self.spaces)
        if last is not EndKind.GAP:
            whole.pop()
        start = max(0, index - 2)
        if first is not EndKind.GAP:
            start = max(1, start)
        return max((abs(one - other) for one, other in pairwise(whole[start : index + 2])), default=Fraction(0))

    def require(self, index: int) -> None:
        """ImpossibleError for no such picket."""
        if not 1 <= index <= self.count:
            raise ImpossibleError(
                Problem.OUT_OF_RANGE,
                "There is no picket {index}. They go from 1 to {count}.",
                lengths={},
                numbers={"index": index, "count": self.count},
            )


def visibility(change: Length) -> Visibility:
    """How plainly a change from one gap to the next shows."""
    if change <= GAP_CHANGE_UNSEEN:
        return Visibility.UNSEEN
    return Visibility.SLIGHT if change <= GAP_CHANGE_PLAIN else Visibility.PLAIN


def _no_room(room: Length, off: Length, index: int) -> ImpossibleError:
    return ImpossibleError(
        Problem.TOO_SHORT,
        "Picket {index} cannot be {off} forward. The spaces after it hold only {room}. Move it back or leave one out.",
        lengths={"off": off, "room": room},
        numbers={"index": index},
    )
