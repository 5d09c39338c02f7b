"""Running marks of a layout: from either post, to an edge or the centre of each picket, each rounded once.

Crosses the border: a `Layout` in, a tuple of `Mark` out. All marks share one denominator, so the work is on whole
numbers; a mark makes its fractions only when asked.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from math import gcd, lcm

from assistant.setout.lengths import Length, Resolution, round_to
from assistant.setout.spacing import Layout


class Edge(Enum):
    """The part of a picket a mark is measured to, as seen facing the fence."""

    LEFT = "left edge"
    CENTRE = "centre"
    RIGHT = "right edge"


class Origin(Enum):
    """The post whose face the tape is hooked on, as seen facing the fence."""

    LEFT = "left post"
    RIGHT = "right post"


@dataclass(frozen=True, slots=True)
class Mark:
    """One mark: the exact distance and the graduation it is set at. The first picket from the post is index 1."""

    index: int
    steps: int
    """Graduations of the resolution."""
    resolution: Resolution
    numerator: int
    denominator: int
    """The exact distance in mm is numerator / denominator, in lowest terms."""

    @property
    def true(self) -> Length:
        """The exact distance in mm."""
        return Fraction(self.numerator, self.denominator)

    @property
    def value(self) -> Length:
        """The distance to set out in mm: the nearest graduation, midway to the even one."""
        return self.steps * self.resolution.step


def mark_at(index: int, true: Length, resolution: Resolution) -> Mark:
    """The mark of one exact distance."""
    return Mark(index, round_to(true, resolution), resolution, true.numerator, true.denominator)


def marks(layout: Layout, edge: Edge, origin: Origin, resolution: Resolution) -> tuple[Mark, ...]:
    """The running mark of every picket, in order away from the origin; |value - true| is at most half a step."""
    step = resolution.step
    picket, pitch = layout.bay.picket, layout.pitch
    first = layout.left_space if origin is Origin.LEFT else layout.right_space
    # From the right post the right edge comes first, so the edges change places.
    near = Edge.LEFT if origin is Origin.LEFT else Edge.RIGHT
    if edge is Edge.CENTRE:
        first += picket / 2
    elif edge is not near:
        first += picket
    shared = lcm(first.denominator, pitch.denominator)
    distance = first.numerator * (shared // first.denominator)
    advance = pitch.numerator * (shared // pitch.denominator)
    up, down = step.denominator, step.numerator * shared
    made = []
    for index in range(1, layout.count + 1):
        steps, rest = divmod(distance * up, down)
        if 2 * rest > down or (2 * rest == down and steps % 2):
            steps += 1
        common = gcd(distance, shared)
        made.append(Mark(index, steps, resolution, distance // common, shared // common))
        distance += advance
    return tuple(made)
