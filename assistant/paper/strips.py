"""Story-pole strips: the marks of a rail along a line, seen from the front, whole and cut into pieces where nothing is in the way.

Crosses the border: a job in, `Strip` values out.  Distances are mm from the left post, or from the left edge of a leaf,
along the rail.  They are floats, good to a billionth of a millimetre, for they are only drawn.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from math import floor, inf, sqrt

from assistant.job import Job
from assistant.measured import Slope
from assistant.paper.dimensions import width_of
from assistant.paper.laid_out import laid_out
from assistant.plan import steepness
from assistant.set_out import Rail, SetOut
from assistant.setout.marks import Edge, Mark, Origin
from assistant.written import mark_text, origin_name, rail_name, unit_name

POINT = 25.4 / 72
"""The unit of a PDF, in mm.  Cuts lie on whole points, so that rounding in the file never adds up along a strip."""

TYPE, SMALLEST_TYPE = 11 * POINT, 4 * POINT
BESIDE = 1.0
"""From a mark to its number, in mm."""

CLEAR = 1.5
"""From a cut to the nearest mark or number, in mm."""

OVERLAP = 12.0
"""What a piece has beyond its cut, blank, to be taped under the next."""

LEAST = 50.0
"""The shortest piece at the end of a strip that is cut: room for its name."""


@dataclass(frozen=True, slots=True)
class StripMark:
    """Where a mark is drawn, exactly; `text` is the graduation it is called at."""

    number: int
    at: float
    text: str


@dataclass(frozen=True)
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

    @cached_property
    def type_size(self) -> float:
        """Height of the type of its numbers, in mm: smaller where marks are so close that numbers would run into the next mark."""
        widest = max((width_of(mark.text, 1.0) for mark in self.marks), default=1.0)
        closest = min((after.at - before.at for before, after in pairwise(sorted(self.marks, key=lambda mark: mark.at))), default=inf)
        return min(TYPE, max(SMALLEST_TYPE, (closest - 2 * BESIDE) / widest))

    def covered(self, mark: StripMark) -> tuple[float, float]:
        """From where to where a mark and its number lie: right of its line, left of it where the strip ends before."""
        beyond = BESIDE + max(width_of(mark.text, self.type_size), width_of(str(mark.number), self.type_size))
        return (mark.at, mark.at + beyond) if mark.at + beyond <= self.length else (mark.at - beyond, mark.at)

    @cached_property
    def all_covered(self) -> tuple[tuple[float, float], ...]:
        """The same of every mark, from the right."""
        return tuple(sorted(map(self.covered, self.marks), reverse=True))


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

    @property
    def is_last(self) -> bool:
        """Whether nothing is joined to it."""
        return self.number == self.of

    @property
    def length(self) -> float:
        """With what the next piece is taped over."""
        return self.end - self.start + (0.0 if self.is_last else OVERLAP)

    def marks(self) -> tuple[StripMark, ...]:
        """The marks on it; one on the very join belongs to the piece that begins there."""
        return tuple(mark for mark in self.strip.marks if self.start <= mark.at < self.end or (self.is_last and mark.at == self.end))


def strips(job: Job) -> tuple[Strip, ...]:
    """One strip a rail, bay by bay; rails that are alike share one, and bays that cannot be set out have none."""
    return tuple(strip for made in laid_out(job) for strip in _alike(made, [_strip(made, rail) for rail in made.rails]))


def pieces(strip: Strip, longest: float) -> tuple[Piece, ...]:
    """The strip in pieces of at most `longest` mm, overlap and all, cut where no mark and no number lies."""
    cuts = [0.0]
    while strip.length - cuts[-1] > longest:
        # What is left has to be long enough for its name.
        most = min(cuts[-1] + longest - OVERLAP, strip.length - LEAST)
        cuts.append(_cut(strip, cuts[-1], most))
    ends = [*cuts[1:], strip.length]
    return tuple(Piece(strip, number, len(cuts), start, end) for number, (start, end) in enumerate(zip(cuts, ends, strict=True), start=1))


def _cut(strip: Strip, start: float, most: float) -> float:
    """The last whole point up to `most` that is clear of every mark and number; where there is none, `most` itself."""
    at = first = floor(most / POINT) * POINT
    for low, high in strip.all_covered:
        if low - CLEAR < at < high + CLEAR:
            at = floor((low - CLEAR) / POINT) * POINT
    return at if at > start else first


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
        marks=tuple(StripMark(mark.index, at, mark_text(made, mark)) for mark, at in zip(rail.marks, distances, strict=True)),
        pickets=tuple((float(edge) * factor, float(edge + made.bay.picket) * factor) for edge in rail.left_edges()),
    )
