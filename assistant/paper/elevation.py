"""A bay seen from the front, as shapes: the one drawing behind the page and the paper.

Crosses the border: a set-out in, a `Picture` out, in mm with x to the right and y up.  Along the fence
everything stands where the set-out has it; heights and post widths are not measured.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import TypeAlias

from assistant.measured import Side, Slope
from assistant.set_out import SetOut
from assistant.setout.lengths import Length
from assistant.setout.marks import Origin
from assistant.setout.taper import Lean

POST_WIDTH, POST_HEIGHT = Fraction(100), Fraction(920)
PICKET_FOOT, PICKET_HEAD = Fraction(50), Fraction(880)
RAIL_DEPTH = Fraction(70)
RAIL_HEIGHTS = {"bottom": Fraction(150), "middle": Fraction(415), "top": Fraction(680)}
"""Drawn heights above the ground: none is measured, and a low fence leaves room for its dimensions."""

_LEFT_SHARE = {Lean.LEFT: Fraction(1), Lean.BOTH: Fraction(1, 2), Lean.RIGHT: Fraction(0)}
"""How much of the difference between rails is drawn at the left post."""


class Part(Enum):
    """What a shape stands for; the value is also its class on the page."""

    GROUND = "ground"
    POST = "post"
    RAIL = "rail"
    PICKET = "picket"


Point: TypeAlias = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class Shape:
    """A filled outline; the ground is a line."""

    part: Part
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Number:
    """The number of a picket, above its head."""

    text: str
    at: Point


@dataclass(frozen=True, slots=True)
class Picture:
    """A bay to scale; shapes in the order they are painted."""

    shapes: tuple[Shape, ...]
    numbers: tuple[Number, ...]

    @property
    def box(self) -> tuple[Fraction, Fraction, Fraction, Fraction]:
        """Left, bottom, right, top of all shapes."""
        points = [point for shape in self.shapes for point in shape.points]
        across, up = [x for x, _ in points], [y for _, y in points]
        return min(across), min(up), max(across), max(up)


@dataclass(frozen=True, slots=True)
class Level:
    """The bay at one height: the faces of its posts, and the left edges of pickets."""

    height: Fraction
    left: Length
    right: Length
    pickets: tuple[Length, ...]


def picture(made: SetOut, post: Fraction = POST_WIDTH) -> Picture:
    """The drawing of one bay or gate between posts of this width."""
    levels, bay = levels_of(made), made.bay
    left = _line([(level.height, level.left) for level in levels])
    right = _line([(level.height, level.right) for level in levels])
    rise = bay.rise / bay.going if bay.slope and bay.going else Fraction(0)
    raked = rise if bay.slope is Slope.RAKED else Fraction(0)
    # Level rails stand over ground that falls away from its high end.
    drop = max(rise * left(0), rise * right(0)) if bay.slope is Slope.STEPPED else Fraction(0)
    frame = _Frame(lift=raked, ground=rise, drop=drop)
    edges = [_line([(level.height, level.pickets[k]) for level in levels]) for k in range(len(levels[0].pickets))]
    shapes = [
        frame.soil(left(0) - 3 * post, right(0) + 3 * post),
        frame.post(left, -post),
        frame.post(right, post),
        *(frame.rail(start, end, height) for start, end in _spans(made, left, right) for height in _heights(made)),
        *(frame.picket(edge, bay.picket) for edge in edges),
    ]
    middles = [edge(PICKET_HEAD) + bay.picket / 2 for edge in edges]
    counted = enumerate(middles if made.origin is Origin.LEFT else middles[::-1])
    numbers = [(k % made.count + 1, (x, PICKET_HEAD + raked * x)) for k, x in counted]
    shown = {1, made.count, *range(5, made.count - 1, 5)}
    return Picture(tuple(shapes), tuple(Number(str(k), at) for k, at in numbers if k in shown))


_Line: TypeAlias = Callable[[Fraction | int], Fraction]
"""Across, at a height."""


def _line(points: Sequence[tuple[Fraction, Fraction]]) -> _Line:
    (low, start), (high, end) = points[0], points[-1]
    slope = (end - start) / (high - low) if high > low else Fraction(0)
    return lambda height: start + (height - low) * slope


@dataclass(frozen=True, slots=True)
class _Frame:
    """How far up things stand: rise to the right per mm of what is raked, and of the ground, which lies `drop` lower."""

    lift: Fraction
    ground: Fraction
    drop: Fraction

    def soil(self, start: Fraction, end: Fraction) -> Shape:
        return Shape(Part.GROUND, tuple((x, self.ground * x - self.drop) for x in (start, end)))

    def post(self, face: _Line, width: Fraction) -> Shape:
        foot, head = face(0), face(POST_HEIGHT)
        top = POST_HEIGHT + self.lift * foot
        corners = ((foot, self._soil_at(foot)), (head, top), (head + width, top), (foot + width, self._soil_at(foot + width)))
        return Shape(Part.POST, corners)

    def rail(self, start: _Line, end: _Line, height: Fraction) -> Shape:
        upper = height + RAIL_DEPTH
        corners = ((start(height), height), (start(upper), upper), (end(upper), upper), (end(height), height))
        return Shape(Part.RAIL, tuple((x, y + self.lift * x) for x, y in corners))

    def picket(self, edge: _Line, width: Length) -> Shape:
        foot, head = edge(PICKET_FOOT), edge(PICKET_HEAD)
        corners = ((foot, PICKET_FOOT), (head, PICKET_HEAD), (head + width, PICKET_HEAD), (foot + width, PICKET_FOOT))
        return Shape(Part.PICKET, tuple((x, y + self.lift * x) for x, y in corners))

    def _soil_at(self, x: Fraction) -> Fraction:
        return self.ground * x - self.drop


def _heights(made: SetOut) -> list[Fraction]:
    """Where rails are drawn: a gate and a bay of one rail have two all the same, for nothing hangs on one."""
    names = [name for name, _ in made.bay.openings]
    return [RAIL_HEIGHTS[name] for name in (names if len(names) > 1 else ("bottom", "top"))]


def _spans(made: SetOut, left: _Line, right: _Line) -> list[tuple[_Line, _Line]]:
    """From where to where rails run: between the posts, or over each leaf of a gate."""
    if made.gate is None:
        return [(left, right)]
    width = made.rails[0].opening
    return [(_line([(Fraction(0), x)]), _line([(Fraction(0), x + width)])) for x in leaves_of(made)]


def leaves_of(made: SetOut) -> list[Length]:
    """The left edge of each leaf of a gate, from the left gate post."""
    assert made.gate is not None
    opening = made.gate.opening
    if made.bay.gate is not None and made.bay.gate.hinges is Side.RIGHT:
        return [opening.latch]
    return [opening.hinge + leaf * (opening.leaf + opening.latch) for leaf in range(opening.leaves)]


def _gate_levels(made: SetOut) -> list[Level]:
    assert made.gate is not None
    pickets = []
    for number, leaf in enumerate(leaves_of(made)):
        own = made.rails[min(number, len(made.rails) - 1)]  # in older records one rail stands for both leaves
        pickets += [leaf + edge for edge in own.left_edges()]
    return [Level(Fraction(0), Fraction(0), made.gate.opening.opening, tuple(pickets))]


def levels_of(made: SetOut) -> list[Level]:
    """The bay at each of its rails, the lowest first; a gate has one level."""
    return _gate_levels(made) if made.gate else _bay_levels(made)


def _bay_levels(made: SetOut) -> list[Level]:
    """Every rail of the bay, the lowest first, with the posts where the lean puts them."""
    usual = Lean.BOTH if made.plumb else Lean.RIGHT
    share = _LEFT_SHARE[made.bay.leans or usual]
    lowest = made.bay.openings[0][1]
    levels = []
    for rail in sorted((*made.rails, *made.unmarked), key=lambda rail: RAIL_HEIGHTS[rail.name]):
        face = share * (lowest - rail.opening)
        levels.append(Level(RAIL_HEIGHTS[rail.name], face, face + rail.opening, tuple(face + edge for edge in rail.left_edges())))
    return levels
