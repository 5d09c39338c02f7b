"""A bay set out: the exact place of every picket on every rail, and the number spoken for it.

The value behind a confirmed gap.  It is made by `plan`, carried by the fact that confirms it and kept in the record; speech, sheet,
strips, exports and checks read it and compute nothing of their own.  Lengths are exact `Fraction` millimetres.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from assistant.measured import Bay, Slip
from assistant.setout.ends import End
from assistant.setout.gate import Gate
from assistant.setout.lengths import Length, Resolution, Unit
from assistant.setout.marks import Edge, Mark, Origin
from assistant.setout.respace import Row
from assistant.setout.slope import RakedMark, raked_mark
from assistant.setout.spacing import Layout

AnyMark: TypeAlias = Mark | RakedMark

_IMPERIAL = (Unit.INCH, Unit.FOOT_INCH)


def mark_unit(unit: Unit, resolution: Resolution) -> Unit:
    """The unit marks are called and written in: the job's, unless its tape has no such graduations."""
    own = resolution.unit
    return unit if (unit in _IMPERIAL) == (own in _IMPERIAL) else own


@dataclass(frozen=True, slots=True)
class Rail:
    """One rail."""

    name: str
    """“bottom”, “top”; of a gate which leaf."""
    layout: Layout
    """The equal spacing it began with; of plumb pickets, that of the rail they are plumbed from."""
    spaces: tuple[Length, ...]
    """Before each picket and behind the last, from the left end, on the level."""
    marks: tuple[AnyMark, ...]
    """In order away from the post they are measured from; empty where the rail is not marked."""
    gap: Length
    """Between the pickets still to be set, exact."""

    @property
    def opening(self) -> Length:
        """Between the posts at this rail, or the width of a leaf."""
        return self.row.opening

    @property
    def row(self) -> Row:
        """The pickets as they stand, from the left."""
        return Row(self.layout.bay.picket, self.spaces)

    @property
    def left_space(self) -> Length:
        """From the left end to the first picket."""
        return self.spaces[0]

    @property
    def right_space(self) -> Length:
        """From the last picket to the right end."""
        return self.spaces[-1]

    @property
    def largest(self) -> Length:
        """The largest space on this rail."""
        return max(self.spaces)

    def to_far_post(self, number: int) -> Length:
        """From a mark, by its number, to the post that marks are not measured from; along the rail where that is raked."""
        mark = self.marks[number - 1]
        if isinstance(mark, RakedMark):
            return raked_mark(number, self.opening, mark.slope, mark.resolution).value - mark.value
        return self.opening - mark.value

    def left_edges(self) -> tuple[Length, ...]:
        """The left edge of every picket from the left end, on the level."""
        return self.row.near_edges()

    def values(self) -> tuple[Length, ...]:
        """The numbers that are spoken, mark by mark."""
        return tuple(mark.value for mark in self.marks)


@dataclass(frozen=True, slots=True)
class SetOut:
    """One bay set out."""

    bay: Bay
    """As measured, with its pickets, limit, slope and gate."""
    rails: tuple[Rail, ...]
    """The rails to be marked, lowest first."""
    edge: Edge
    origin: Origin
    resolution: Resolution
    unit: Unit
    """What the numbers are called in."""
    plumb: bool = False
    """Pickets stay plumb between posts that do not; the end spaces take up the difference."""
    unmarked: tuple[Rail, ...] = ()
    """Rails that get their pickets by plumbing from the marked one."""
    gate: Gate | None = None
    slips: tuple[Slip, ...] = ()
    """Pickets fixed off their marks, in the order they were told."""

    @property
    def count(self) -> int:
        """Pickets on a rail."""
        return self.rails[0].layout.count

    @property
    def pickets(self) -> int:
        """Pickets in the whole bay; a gate of two leaves has twice its rail's."""
        return self.count * (self.bay.gate.leaves if self.bay.gate else 1)

    @property
    def ends(self) -> tuple[End, End]:
        """What stands at the left and the right post."""
        bay = self.rails[0].layout.bay
        return bay.left, bay.right

    @property
    def largest(self) -> Rail:
        """The marked rail with the largest space: the one the limit is judged by."""
        return max(self.rails, key=lambda rail: rail.largest)

    @property
    def widest_space(self) -> Length:
        """The largest space anywhere: on every rail, beside the leaves of a gate, and where it is not known which post leans, whichever."""
        spaces = [rail.largest for rail in (*self.rails, *self.unmarked)]
        marked = self.rails[0]
        for rail in self.unmarked:
            more = rail.opening - marked.opening
            spaces += [marked.left_space + more, marked.right_space + more]
        if self.gate is not None:
            spaces += [self.gate.opening.hinge, self.gate.opening.latch]
        return max(spaces)

    @property
    def allowed(self) -> bool:
        """Whether every space obeys the limit."""
        return self.bay.limit.allows(self.widest_space)

    def rail(self, name: str) -> Rail | None:
        """The marked rail of this name."""
        return next((rail for rail in self.rails if rail.name == name), None)

    @property
    def last_slip(self) -> int:
        """The farthest picket that is fixed off its mark, from the post marks are measured from; 0 for none."""
        return max((slip.picket for slip in self.slips), default=0)


@dataclass(frozen=True, slots=True)
class Moves:
    """What becomes of marks that were called, between one set-out of a bay and another."""

    called: int
    """Marks that were called."""
    moved: int
    """Of those, marks that have another place now, or none."""
    most: Length
    """The farthest that one of them moves; 0 where they are all gone."""


def moves(before: SetOut, called: Iterable[tuple[str, int]], after: SetOut) -> Moves:
    """Compare the marks called, (rail, number), with the places of the same marks in another set-out of the bay."""
    total, moved, most = 0, 0, Fraction(0)
    alike = (before.edge, before.origin) == (after.edge, after.origin)
    for name, number in called:
        total += 1
        old, new = before.rail(name), after.rail(name)
        if old is None or new is None or number > len(new.marks):
            moved += 1
            continue
        away = abs(old.marks[number - 1].value - new.marks[number - 1].value)
        if away or not alike:
            moved += 1
            most = max(most, away)
    return Moves(total, moved, most)
