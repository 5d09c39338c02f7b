"""A picket ended up off its mark: spread the rest evenly from where it is.

Crosses the border: a layout, which picket and how far off in; a `Respaced` out. Lengths in mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from itertools import pairwise

from assistant.setout.ends import GAP
from assistant.setout.lengths import Length, Resolution
from assistant.setout.marks import Edge, Mark, Origin, mark_at, marks
from assistant.setout.spacing import Bay, Layout, layout_for_count
from assistant.setout.tolerances import GAP_CHANGE_PLAIN, GAP_CHANGE_UNSEEN
from assistant.setout.trouble import ImpossibleError, Problem


class Visibility(Enum):
    """How a change from one gap to the next looks."""

    UNSEEN = "not seen"
    SLIGHT = "seen by who looks for it"
    PLAIN = "plainly seen"


@dataclass(frozen=True, slots=True)
class Respaced:
    """The pickets after one that is off, spread evenly again."""

    before: Layout
    index: int
    """The picket that is off (from 1, from the left post)."""
    off: Length
    """How far to the right of its place it is; below zero to the left."""
    last_space: Length
    """The space before the picket that is off."""
    rest: Layout | None
    """What follows it, as a bay of its own from its right edge to the right post; None after the last picket."""
    right_space: Length
    """The space beside the right post."""

    @property
    def gap(self) -> Length | None:
        """The new gap of the pickets that follow; None where none do."""
        return self.rest.gap if self.rest else None

    @property
    def change(self) -> Length:
        """The largest change from one whole gap to the next that this leaves."""
        beside_left = self.before.bay.left == GAP
        whole = [self.before.gap] if self.index - 2 + beside_left > 0 else []
        if self.index > 1 or beside_left:
            whole.append(self.last_space)
        if self.rest:
            whole.append(self.rest.gap)
        elif self.before.bay.right == GAP:
            whole.append(self.right_space)
        return max((abs(one - other) for one, other in pairwise(whole)), default=Fraction(0))

    @property
    def visibility(self) -> Visibility:
        """How plainly the change shows."""
        if self.change <= GAP_CHANGE_UNSEEN:
            return Visibility.UNSEEN
        return Visibility.SLIGHT if self.change <= GAP_CHANGE_PLAIN else Visibility.PLAIN

    @property
    def allowed(self) -> bool:
        """Whether every space of the bay, those that stand and the new ones, obeys the limit."""
        limit = self.before.bay.limit
        spaces = (*self._standing, self.last_space, self.right_space)
        return all(map(limit.allows, spaces)) and (self.rest is None or self.rest.allowed)

    @property
    def _standing(self) -> tuple[Length, ...]:
        """The spaces before the last picket that is where it should be."""
        return self.before.spaces()[: self.index - 1]

    def check(self) -> bool:
        """Lay it back out: whether everything fills the opening exactly."""
        before, picket = self.before, self.before.bay.picket
        total = sum(self._standing, self.last_space) + self.index * picket
        if self.rest:
            total += sum(self.rest.spaces()) + self.rest.count * picket
        else:
            total += self.right_space
        return total == before.bay.opening

    def marks(self, edge: Edge, resolution: Resolution) -> tuple[Mark, ...]:
        """The new marks of the pickets that follow, from the left post."""
        if self.rest is None:
            return ()
        start = self.before.bay.opening - self.rest.bay.opening
        found = marks(self.rest, edge, Origin.LEFT, resolution)
        return tuple(mark_at(self.index + mark.index, start + mark.true, resolution) for mark in found)


def respace(layout: Layout, index: int, off: Length) -> Respaced:
    """Keep the count and give the pickets after `index` equal gaps.

    Raises ImpossibleError for no such picket, one pushed into its neighbour or past the post, or no room for the rest.
    """
    if not 1 <= index <= layout.count:
        raise ImpossibleError(
            Problem.OUT_OF_RANGE,
            "There is no picket {index}. They go from 1 to {count}.",
            lengths={},
            numbers={"index": index, "count": layout.count},
        )
    bay = layout.bay
    last_space = (layout.left_space if index == 1 else layout.gap) + off
    if last_space < 0:
        raise ImpossibleError(
            Problem.OUT_OF_RANGE,
            "Picket {index} cannot be {off} back: there is only {space} before it.",
            lengths={"off": -off, "space": last_space - off},
            numbers={"index": index},
        )
    room = layout.right_space + (layout.count - index) * layout.pitch - off
    following = layout.count - index
    if following == 0:
        if room < 0:
            raise _no_room(room + off, off, index)
        return Respaced(layout, index, off, last_space, None, room)
    if room <= following * bay.picket + bay.right.fixed:
        raise _no_room(room + off - following * bay.picket - bay.right.fixed, off, index)
    rest = layout_for_count(Bay(room, bay.picket, bay.limit, GAP, bay.right), following)
    return Respaced(layout, index, off, last_space, rest, rest.right_space)


def _no_room(room: Length, off: Length, index: int) -> ImpossibleError:
    return ImpossibleError(
        Problem.TOO_SHORT,
        "Picket {index} cannot be {off} forward: the spaces after it hold only {room}. Move it back or leave one out.",
        lengths={"off": off, "room": room},
        numbers={"index": index},
    )
