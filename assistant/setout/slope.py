"""Sloping ground: raked bays (rails follow the slope, pickets plumb) and stepped ones (rails level).

Crosses the border: rise and run, an angle, or horizontal and along-rail lengths, in; marks along the rail, or a step, out. A
slope factor is often irrational; it is kept as its square, and marks are rounded from that, so they are as exact as
any other. Lengths in mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import atan, degrees, isqrt, radians, sqrt, tan

from assistant.setout.lengths import Length, Resolution
from assistant.setout.tolerances import STEEPEST
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

    @property
    def grade(self) -> Fraction:
        """Rise over level length; exact where that is a fraction, else to a billionth."""
        return _root(self.factor_squared - 1, _FINE)

    def level(self, along: Length) -> Length:
        """The level length under a length along the rail; exact where that is a fraction, else to a millionth of a millimetre."""
        return _root(along**2 / self.factor_squared, _FINEST_LENGTH)

    def stretched(self, level: Length) -> Length:
        """A level length along the rail; exact where that is a fraction, else to a millionth of a millimetre."""
        return _root(level**2 * self.factor_squared, _FINEST_LENGTH)

    def along(self, horizontal: Length, resolution: Resolution) -> int:
        """Graduations along the rail nearest to a horizontal distance times the factor; midway to the even one."""
        square = (horizontal / resolution.step) ** 2 * self.factor_squared
        below = isqrt(square.numerator // square.denominator)
        # Compare with the midpoint below + 1/2, squared.
        midpoint = Fraction((2 * below + 1) ** 2, 4)
        up = square > midpoint or (square == midpoint and below % 2 == 1)
        return below + up


_FINE = 10**9
_FINEST_LENGTH = 10**6


def _root(square: Fraction, fine: int) -> Fraction:
    """The square root, exact where it is a fraction, else cut to 1/fine."""
    up, down = isqrt(square.numerator), isqrt(square.denominator)
    if up * up == square.numerator and down * down == square.denominator:
        return Fraction(up, down)
    return Fraction(isqrt(int(square * fine**2)), fine)


def rise_of(degrees: Fraction, run: Length) -> Length:
    """The rise over a level run at an angle above the level, to a tenth of a millimetre."""
    require_positive("run of the slope", run)
    return Fraction(round(run * 10 * Fraction(tan(radians(degrees)))), 10)


def require_not_steep(slope: Slope) -> None:
    """ImpossibleError for a slope over STEEPEST degrees."""
    if slope.angle > STEEPEST:
        raise ImpossibleError(
            Problem.OUT_OF_RANGE,
            "That is {degrees} degrees. Over {most} it is no slope for a fence. Check which length is which.",
            lengths={},
            numbers={"degrees": round(slope.angle), "most": STEEPEST},
        )


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
            "The length along the rail is {along}. It cannot be less than the level length, {horizontal}.",
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
class Step:
    """A bay whose rails stay level while the ground falls."""

    step: Length
    """From its rails to those of the next bay: what the ground rises across its own opening."""
    under_low_end: Length
    """From the ground to the pickets at its low end: the largest space under it."""


def step_of(slope: Slope, opening: Length, under: Length) -> Step:
    """The step of a bay; `under` is from the ground to the pickets at its high end."""
    require_not_negative("clearance under the pickets", under)
    step = opening * slope.grade
    return Step(step, under + step)
