"""A drawing with its dimensions, made as large as its place on paper or screen allows.

Crosses the border: shapes, lines and labels in mm of the fence in, the same in a `Drawing` with its box out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import cos, radians, sin
from typing import TypeAlias

from assistant.paper.dimensions import Anchor, Drawn, Label, Line, width_of
from assistant.paper.elevation import Shape

Box: TypeAlias = tuple[float, float, float, float]
"""Left, bottom, right, top."""

_SHARE = {Anchor.START: 0.0, Anchor.MIDDLE: 0.5, Anchor.END: 1.0}


@dataclass(frozen=True, slots=True)
class Drawing:
    """Shapes in the order they are painted, lines and labels over them."""

    shapes: tuple[Shape, ...]
    lines: tuple[Line, ...]
    labels: tuple[Label, ...]
    size: float
    """Height of text, in mm of the fence."""
    box: Box

    @property
    def width(self) -> float:
        """Across, in mm of the fence."""
        return self.box[2] - self.box[0]

    @property
    def height(self) -> float:
        """Up, in mm of the fence."""
        return self.box[3] - self.box[1]


def around(shapes: Iterable[Shape]) -> Box:
    """The box of shapes alone."""
    points = [point for shape in shapes for point in shape.points]
    across, up = [x for x, _ in points], [y for _, y in points]
    return float(min(across)), float(min(up)), float(max(across)), float(max(up))


def drawing(shapes: tuple[Shape, ...], box: Box, drawn: Drawn, size: float) -> Drawing:
    """A drawing and the box that holds all of it; `box` is that of its shapes."""
    spots = [box[:2], box[2:]]
    spots += [spot for line in drawn.lines for spot in (line.start, line.end)]
    spots += [spot for label in drawn.labels for spot in corners(label, size)]
    across, up = [x for x, _ in spots], [y for _, y in spots]
    rim = 0.2 * size
    whole = (min(across) - rim, min(up) - rim, max(across) + rim, max(up) + rim)
    return Drawing(shapes, drawn.lines, drawn.labels, size, whole)


def corners(label: Label, size: float) -> list[tuple[float, float]]:
    """The corners of what a label covers."""
    width = width_of(label.text, size)
    start = -_SHARE[label.anchor] * width
    c, s = cos(radians(label.turned)), sin(radians(label.turned))
    x, y = label.at
    flat = [(start, -0.2 * size), (start + width, -0.2 * size), (start + width, 0.8 * size), (start, 0.8 * size)]
    return [(x + u * c - v * s, y + u * s + v * c) for u, v in flat]


GROWING = (1.15, 1.3, 1.5, 1.75, 2.0)
"""How much more of a drawing its text may take where a low place makes the whole smaller: more text needs more room itself."""


def fitted(make: Callable[[float], Drawing], width: float, height: float, text: float) -> Drawing:
    """The drawing for a place of this width and height, all in one unit, with its text as near to `text` high as can be."""
    size = 50.0
    for _ in range(2):
        size = text * make(size).width / width
    made = [make(size)]
    if made[0].height > made[0].width * height / width:
        made += [make(size * more) for more in GROWING]
    return max(made, key=lambda one: min(text, one.size * min(width / one.width, height / one.height)))
