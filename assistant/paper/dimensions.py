"""Dimension lines as a draughtsman draws them: extension lines, a line with a tick at each end, the text along it.

Crosses the border: what is to be measured in, thin lines and labels out, in mm of the fence with x to the right and y up.  They are
floats, for they are only drawn.  Text is `size` high, and as wide as a plain typeface makes it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from math import cos, degrees, sin
from typing import TypeAlias

Spot: TypeAlias = tuple[float, float]

ROW = 1.75
"""From one dimension line to the next, in heights of text."""

_NARROW = frozenset(" .,:;/'ijl|()°")
"""Characters half as wide as the others."""
_WIDE = frozenset("mwMW≈")


class Anchor(Enum):
    """Which end of a text stands at its spot; the value is what a page calls it."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True, slots=True)
class Line:
    """A thin straight line."""

    start: Spot
    end: Spot


@dataclass(frozen=True, slots=True)
class Label:
    """A text on its base line."""

    text: str
    at: Spot
    anchor: Anchor = Anchor.MIDDLE
    turned: float = 0.0
    """Degrees against the clock."""
    heavy: bool = False


@dataclass(frozen=True, slots=True)
class Dimension:
    """From where to where along an axis, and what is written there."""

    start: float
    end: float
    text: str
    reach: tuple[float, float] = (0.0, 0.0)
    """How far from the axis the extension lines begin, away from the dimension line."""


@dataclass(frozen=True, slots=True)
class Frame:
    """An axis: where it begins and how it is turned, in radians against the clock."""

    origin: Spot = (0.0, 0.0)
    angle: float = 0.0

    def at(self, along: float, across: float) -> Spot:
        """A spot by its distance along the axis and to the left of it."""
        x, y = self.origin
        c, s = cos(self.angle), sin(self.angle)
        return x + along * c - across * s, y + along * s + across * c


@dataclass(frozen=True, slots=True)
class Drawn:
    """What a few dimensions look like."""

    lines: tuple[Line, ...] = ()
    labels: tuple[Label, ...] = ()

    def __add__(self, other: Drawn) -> Drawn:
        return Drawn(self.lines + other.lines, self.labels + other.labels)


def width_of(text: str, size: float) -> float:
    """About how wide a text is."""
    return size * sum(0.34 if letter in _NARROW else 0.9 if letter in _WIDE else 0.63 for letter in text)


@dataclass(frozen=True, slots=True)
class _Placed:
    """A dimension in its row: what its line and text cover along the axis."""

    dimension: Dimension
    row: int
    line: tuple[float, float]
    text: tuple[float, float]

    @property
    def cover(self) -> tuple[float, float]:
        return min(self.line[0], self.text[0]), max(self.line[1], self.text[1])


def draw(wanted: Sequence[Sequence[Dimension]], frame: Frame, side: int, size: float, room: tuple[float, float]) -> tuple[Drawn, float]:
    """The dimensions beside an axis, on its left (`side` 1) or right (-1), in as few rows as keep them apart; and how far they reach.

    Each is given with other places where it may be measured as well.  A text stands between its ticks where it fits, else beside them
    inside `room`, which is given along the axis.
    """
    placed: list[_Placed] = []
    for places in wanted:
        placed.append(_place(places, placed, size, room))
    made = Drawn()
    for one in placed:
        made += _drawn(one, frame, side, size)
    return made, (max((one.row for one in placed), default=-1) + 1) * ROW * size


def _place(places: Sequence[Dimension], placed: Sequence[_Placed], size: float, room: tuple[float, float]) -> _Placed:
    """The first place, row by row, that runs into nothing; where there is none, a row farther out."""
    rows = max((one.row for one in placed), default=-1) + 2
    for row in range(rows):
        for dimension in places:
            for line, text in _ways(dimension, size, room):
                one = _Placed(dimension, row, line, text)
                if all(_apart(one, other, size) for other in placed):
                    return one
    line, text = _ways(places[0], size, room)[0]
    return _Placed(places[0], rows - 1, line, text)


def _ways(dimension: Dimension, size: float, room: tuple[float, float]) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """What the line and the text may cover, the best way first."""
    start, end, width = dimension.start, dimension.end, width_of(dimension.text, size)
    middle, out = (start + end) / 2, 0.7 * size
    if width + 0.6 * size <= end - start:
        return [((start, end), (middle - width / 2, middle + width / 2))]
    right = ((start - out, end + out + width), (end + out, end + out + width))
    left = ((start - out - width, end + out), (start - out - width, start - out))
    ways = [way for way in (right, left) if room[0] <= way[1][0] and way[1][1] <= room[1]]
    return ways or [right if middle < sum(room) / 2 else left]


def _apart(one: _Placed, other: _Placed, size: float) -> bool:
    """Whether two dimensions do not run into each other, nor the extension lines of the farther one into the text of the nearer."""
    if one.row == other.row:
        (a, b), (c, d) = one.cover, other.cover
        chained = one.line == one.cover and other.line == other.cover
        between = -1e-9 if chained else 0.8 * size
        return b + between <= c or d + between <= a
    near, far = sorted((one, other), key=lambda placed: placed.row)
    clear = 0.25 * size
    return not any(near.text[0] - clear < x < near.text[1] + clear for x in (far.dimension.start, far.dimension.end))


def _drawn(one: _Placed, frame: Frame, side: int, size: float) -> Drawn:
    dimension = one.dimension
    # Text stands over its line, so a row on the far side of the axis needs room above it.
    across = side * (one.row * ROW + (0.45 if side > 0 else 1.35)) * size
    tick, over = 0.28 * size, side * 0.35 * size
    lines = [Line(frame.at(one.line[0], across), frame.at(one.line[1], across))]
    for along, reach in zip((dimension.start, dimension.end), dimension.reach, strict=True):
        lines.append(Line(frame.at(along, -side * reach), frame.at(along, across + over)))
        lines.append(Line(frame.at(along - tick, across - tick), frame.at(along + tick, across + tick)))
    middle = sum(one.text) / 2
    return Drawn(tuple(lines), (Label(dimension.text, frame.at(middle, across + 0.22 * size), turned=degrees(frame.angle)),))
