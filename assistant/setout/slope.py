"""Sloping ground: raked bays (rails follow the slope, pickets plumb) and stepped ones (rails level).

Crosses the border: rise and run, or horizontal and along-rail lengths, in; marks along the rail, or steps, out. A
slope factor is often irrational; it is kept as its square, and marks are rounded from that, so they are as exact as
any other. Lengths in mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import atan, degrees, isqrt, sqrt

from assistant.setout.lengths import Length, Resolution
from assistant.setout.marks import Mark, mark_at
from assistant.setout.trouble import ImpossibleError, Problem, require_not_negative, require_positive


@dataclass(frozen=True, slots=True)
class Slope:
    """The square of (length along the rail / horizontal length), exact; one on the level."""

    factor_squared: Fraction

    @property
    def factor(self) -> float:
        """The slope factor, to show only; marks use its square."""
        return sqrt(self.factor_squared)

    @property
    def angle(self) -> float:
        """Degrees above the level, to show only."""
        return degrees(atan(sqrt(self.factor_squared - 1)))

    def along(self, horizontal: Length, resolution: Resolution) -> int:
        """Graduations along the rail nearest to a horizontal distance times the factor; midway to the even one."""
        square = (horizontal / resolution.step) ** 2 * self.factor_squared
        below = isqrt(square.numerator // square.denominator)
        # Compare with the midpoint below + 1/2, squared.
        midpoint = Fraction((2 * below + 1) ** 2, 4)
        up = square > midpoint or (square == midpoint and below % 2 == 1)
        return below + up


def from_rise(rise: Length, run: Length) -> Slope:
    """The slope of a rise over a horizontal run; a fall is the same slope."""
    require_positive("run of the slope", run)
    return Slope(1 + (rise / run) ** 2)


def from_along(along: Length, horizontal: Length) -> Slope:
    """The slope that makes a horizontal length this long along the rail."""
    require_positive("horizontal length", horizontal)
    if along < horizontal:
        raise ImpossibleError(
            Problem.OUT_OF_RANGE,
            "The length along the rail, {along}, cannot be less than the level length, {horizontal}.",
            lengths={"along": along, "horizontal": horizontal},
        )
    return Slope((along / horizontal) ** 2)


@dataclass(frozen=True, slots=True)
class RakedMark:
    """A mark along a raked rail: the exact horizontal distance, and the graduation along the rail it is set at."""

    index: int
    horizontal: Length
    slope: Slope
    steps: int
    resolution: Resolution

    @property
    def value(self) -> Length:
        """The distance to set out along the rail, in mm."""
        return self.steps * self.resolution.step

    @property
    def true_squared(self) -> Fraction:
        """The square of the exact distance along the rail."""
        return self.horizontal**2 * self.slope.factor_squared


def raked_mark(index: int, horizontal: Length, slope: Slope, resolution: Resolution) -> RakedMark:
    """The mark along the rail of one exact horizontal distance."""
    return RakedMark(index, horizontal, slope, slope.along(horizontal, resolution), resolution)


@dataclass(frozen=True, slots=True)
class Stepped:
    """Level rails that step from bay to bay over evenly sloping ground."""

    bays: int
    rise: Length
    """Over the whole run."""
    clearance: Length
    """Under the bottom rail at the high end of each bay."""

    @property
    def step(self) -> Length:
        """From one bay's rail up to the next one's."""
        return self.rise / self.bays

    @property
    def under_low_end(self) -> Length:
        """The largest opening under a bottom rail: at the low end of each bay."""
        return self.clearance + self.step

    def levels(self, resolution: Resolution) -> tuple[Mark, ...]:
        """The height of each bay's rail above that of the lowest bay, running, lowest bay first."""
        return tuple(mark_at(bay + 1, bay * self.step, resolution) for bay in range(self.bays))


def step_bays(bays: int, rise: Length, clearance: Length) -> Stepped:
    """Equal steps over equal bays; the rise is over the whole run, level to level."""
    require_not_negative("rise", rise)
    require_not_negative("clearance under the rail", clearance)
    if bays < 1:
        raise ImpossibleError(Problem.NOTHING_GIVEN, "There is no bay to step. Give at least one.", lengths={})
    return Stepped(bays, rise, clearance)
