"""Story-pole strips: the marks of a rail along a line, seen from the front, whole and cut into pieces.

Crosses the border: a job in, `Strip` values out.  Distances are mm from the left post, or from the left edge of a leaf,
along the rail.  They are floats, good to a billionth of a millimetre, for they are only drawn.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import sqrt

from assistant.job import Job
from assistant.measured import Slope
from assistant.paper.laid_out import laid_out
from assistant.plan import steepness
from assistant.set_out import Rail, SetOut
from assistant.setout.marks import Edge, Mark, Origin
from assistant.written import mark_text, origin_name, rail_name, unit_name


@dataclass(frozen=True, slots=True)
class StripMark:
    """Where a mark is drawn, exactly; `text` is the graduation it is called at."""

    number: int
    at: float
    text: str


@dataclass(frozen=True, slots=True)
class Strip:
    """One rail at full size."""

    title: str
    how: str
    """What the numbers are measured to and from, and in what."""
    length: float
    ends: tuple[str, str]
    """What the left and the right end lie against."""
    marks: tuple[StripMark, ...]
    pickets: tuple[tuple[float, float], ...]
    """From where to where each picket stands."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of a strip that fits on one sheet of paper."""

    strip: Strip
    number: int
    """From 1."""
    of: int
    start: float
    end: float
    """Where it is joined to the next, or the end of the strip."""


def strips(job: Job) -> tuple[Strip, ...]:
    """One strip a rail, bay by bay; rails that are alike share one, and bays that cannot be set out have none."""
    return tuple(strip for made in laid_out(job) for strip in _alike(made, [_strip(made, rail) for rail in made.rails]))


def pieces(strip: Strip, step: float) -> Iterable[Piece]:
    """The strip cut every `step` mm."""
    count = max(1, -int(-strip.length // step))
    for number in range(count):
        yield Piece(strip, number + 1, count, number * step, min((number + 1) * step, strip.length))


def _alike(made: SetOut, own: list[Strip]) -> list[Strip]:
    first = own[0]
    if len(own) > 1 and all(replace(strip, title=first.title) == first for strip in own):
        names = " and ".join(rail.name for rail in made.rails)
        return [replace(first, title=f"{made.bay.name.capitalize()}, {names} rail")]
    return own


def _strip(made: SetOut, rail: Rail) -> Strip:
    factor = sqrt(steepness(made.bay).factor_squared) if made.bay.slope is Slope.RAKED else 1.0
    length = float(rail.opening) * factor
    distances = [float(mark.true if isinstance(mark, Mark) else mark.horizontal) * factor for mark in rail.marks]
    if made.origin is Origin.RIGHT:
        distances = [length - distance for distance in distances]
    part = {Edge.LEFT: "left edges", Edge.CENTRE: "centres", Edge.RIGHT: "right edges"}[made.edge]
    return Strip(
        title=f"{made.bay.name.capitalize()}, {rail_name(rail)}",
        how=f"{part} of pickets, numbers from the {origin_name(made)} in {unit_name(made.unit)}",
        length=length,
        ends=("left post", "right post") if made.gate is None else ("left edge of leaf", "right edge of leaf"),
        marks=tuple(
            StripMark(mark.index, at, mark_text(made, mark)) for mark, at in zip(rail.marks, distances, strict=True)
        ),
        pickets=tuple((float(edge) * factor, float(edge + made.bay.picket) * factor) for edge in rail.left_edges()),
    )
