"""Story-pole strips: the marks of a rail along a line, seen from the front, whole and cut into pieces.

Crosses the border: a job in, `Strip` values out.  Distances are mm from the left post, or from the left edge of a leaf,
along the rail.  They are floats, good to a billionth of a millimetre, for they are only drawn.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import sqrt

from assistant.job import Job, Slope
from assistant.paper.elevation import left_edges
from assistant.plan import BayPlan, RailPlan, plan_bay, steepness
from assistant.setout.marks import Edge, Mark, Origin
from assistant.setout.trouble import ImpossibleError
from assistant.written import mark_text, rail_name, unit_name


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
    made: list[Strip] = []
    for index in range(len(job.bays)):
        try:
            plan = plan_bay(job, index)
        except ImpossibleError:
            continue
        made += _alike(plan, [_strip(job, plan, rail) for rail in plan.rails])
    return tuple(made)


def pieces(strip: Strip, step: float) -> Iterable[Piece]:
    """The strip cut every `step` mm."""
    count = max(1, -int(-strip.length // step))
    for number in range(count):
        yield Piece(strip, number + 1, count, number * step, min((number + 1) * step, strip.length))


def _alike(plan: BayPlan, own: list[Strip]) -> list[Strip]:
    first = own[0]
    if len(own) > 1 and all(replace(strip, title=first.title) == first for strip in own):
        names = " and ".join(rail.rail for rail in plan.rails)
        return [replace(first, title=f"{plan.bay.name.capitalize()}, {names} rail")]
    return own


def _strip(job: Job, plan: BayPlan, rail: RailPlan) -> Strip:
    settings, bay = job.settings, plan.bay
    opening = rail.layout.bay.opening if plan.gate else dict(bay.openings)[rail.rail]
    square = steepness(bay).factor_squared if bay.slope is Slope.RAKED else 1
    factor = sqrt(square)

    def along(mark_level: float) -> float:
        return mark_level * factor

    length = along(float(opening))
    distances = [along(float(mark.true if isinstance(mark, Mark) else mark.horizontal)) for mark in rail.marks]
    if settings.origin is Origin.RIGHT:
        distances = [length - distance for distance in distances]
    edges = left_edges(rail, opening, bay.picket, settings)
    place = settings.origin.value if plan.gate is None else f"{settings.origin.value.split()[0]} edge of the leaf"
    part = {Edge.LEFT: "left edges", Edge.CENTRE: "centres", Edge.RIGHT: "right edges"}[settings.edge]
    return Strip(
        title=f"{bay.name.capitalize()}, {rail_name(rail)}",
        how=f"{part} of pickets, numbers from the {place} in {unit_name(settings)}",
        length=length,
        ends=("left post", "right post") if plan.gate is None else ("left edge of leaf", "right edge of leaf"),
        marks=tuple(
            StripMark(mark.index, at, mark_text(settings, mark))
            for mark, at in zip(rail.marks, distances, strict=True)
        ),
        pickets=tuple((along(float(edge)), along(float(edge + bay.picket))) for edge in edges),
    )
