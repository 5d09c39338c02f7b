"""Exact lengths, how finely they are marked, and their written form.

Crosses the border: text and `Fraction` millimetres in; text, whole steps and `Fraction` millimetres out. Spoken forms
are the dialogue's. One inch is 25.4 mm exactly (NIST SP 811, Appendix B).
"""

from __future__ import annotations

import re
from enum import Enum
from fractions import Fraction
from typing import TypeAlias

from assistant.errors import LengthError

Length: TypeAlias = Fraction
"""A length in millimetres, exact."""

Exact: TypeAlias = int | str | Fraction
"""What the constructors take: never a float, so that nothing is lost on the way in."""

MM_PER_INCH = Fraction(127, 5)
MM_PER_FOOT = 12 * MM_PER_INCH

FINEST_WRITTEN_INCH = 64
"""Inches are written as fractions down to this denominator; finer values are written as approximate."""

WRITTEN_DECIMALS = {"mm": 3, "cm": 4, "m": 6}
"""Places an approximate metric value is written to: a thousandth of a millimetre in each unit."""


class Unit(Enum):
    """The unit a length is written in; the value is the written sign."""

    MM = "mm"
    CM = "cm"
    M = "m"
    INCH = "in"
    FOOT_INCH = "ft in"


class Resolution(Enum):
    """The graduation marks are rounded to."""

    MM_1 = ("1 mm", Fraction(1), Unit.MM)
    MM_HALF = ("1/2 mm", Fraction(1, 2), Unit.MM)
    INCH_16 = ("1/16 in", MM_PER_INCH / 16, Unit.INCH)
    INCH_32 = ("1/32 in", MM_PER_INCH / 32, Unit.INCH)

    def __init__(self, plain: str, step: Length, unit: Unit) -> None:
        self.plain = plain
        self.step = step
        self.unit = unit


def mm(value: Exact) -> Length:
    """A length given in millimetres."""
    return Fraction(value)


def cm(value: Exact) -> Length:
    """A length given in centimetres."""
    return Fraction(value) * 10


def metres(value: Exact) -> Length:
    """A length given in metres."""
    return Fraction(value) * 1000


def inches(value: Exact) -> Length:
    """A length given in inches."""
    return Fraction(value) * MM_PER_INCH


def feet(value: Exact, inch: Exact = 0) -> Length:
    """A length given in feet, and inches if any."""
    return Fraction(value) * MM_PER_FOOT + Fraction(inch) * MM_PER_INCH


def round_to(length: Length, resolution: Resolution) -> int:
    """Whole steps of the resolution nearest to the length; midway goes to the even graduation (NIST HB 44, 10.3)."""
    return round(length / resolution.step)


def rounded(length: Length, resolution: Resolution) -> Length:
    """The graduation nearest to the length, as a length."""
    return round_to(length, resolution) * resolution.step


# Reading ------------------------------------------------------------------------------------------------------------

_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}

_PER_UNIT = {
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), Fraction(1)),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), Fraction(10)),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), Fraction(1000)),
    **dict.fromkeys(("in", "in.", "inch", "inches", '"', "″", "”", "''"), MM_PER_INCH),
    **dict.fromkeys(("ft", "ft.", "foot", "feet", "'", "′", "’"), MM_PER_FOOT),
}
_DEFAULT = {Unit.MM: "mm", Unit.CM: "cm", Unit.M: "m", Unit.INCH: "in", Unit.FOOT_INCH: "in"}
_IMPERIAL = (MM_PER_INCH, MM_PER_FOOT)

_LONGEST = 100
"""Characters of a written length."""
_PART = re.compile(
    r"""\s*(?:(?P<mixed>[0-9]+)(?:\s*-\s*|\s+)(?P<top>[0-9]+)\s*/\s*(?P<bottom>[0-9]+)
          |(?P<upper>[0-9]+)\s*/\s*(?P<lower>[0-9]+)
          |(?P<plain>[0-9]+(?:\.[0-9]+)?|\.[0-9]+))
        \s*(?P<unit>[a-z]+\.?|''|["″”'′’])?\s*-?""",
    re.VERBOSE,
)


def parse_written(text: str, default_unit: Unit) -> Length:
    """Read a written length such as ``2160``, ``2.16 m``, ``85-1/16"`` or ``7 ft 4 3/8 in``; exact.

    A number without a unit takes `default_unit` (inches where that is feet and inches, and after feet).
    Raises LengthError for anything else: no number, an unknown unit, units out of order, a sign, a decimal comma.
    """
    if len(text) > _LONGEST:
        raise LengthError(f"“{text[:20]} …” is too long for a length. Write it like 2160, 2.16 m, 85 1/16 in or 7 ft 4 3/8 in.")
    cleaned = _cleaned(text)
    total = Fraction(0)
    previous: Fraction | None = None
    position = 0
    while position < len(cleaned):
        part = _PART.match(cleaned, position)
        if part is None:
            raise LengthError(f"“{text}” is not a length. Write it like 2160, 2.16 m, 85 1/16 in or 7 ft 4 3/8 in.")
        factor = _factor(text, part["unit"], default_unit, previous)
        total += _number(text, part) * factor
        previous = factor
        position = part.end()
    return total


def _cleaned(text: str) -> str:
    cleaned = text.strip().lower()
    if not cleaned:
        raise LengthError("There is no length there. Write it like 2160, 2.16 m or 85 1/16 in.")
    if "," in cleaned:
        raise LengthError(f"“{text}” has a comma. Write thousands without one, and decimals with a point.")
    if cleaned[0] in "-−+":
        raise LengthError(f"“{text}” has a sign. A length is written without one.")
    if cleaned.endswith("-"):
        raise LengthError(f"“{text}” ends with a dash. Write the whole length.")
    for sign, fraction in _VULGAR.items():
        cleaned = cleaned.replace(sign, f" {fraction}")
    return cleaned.strip()


def _factor(text: str, unit: str | None, default_unit: Unit, previous: Fraction | None) -> Fraction:
    """Millimetres per unit of one part, checked against the part before it."""
    if unit is None:
        if previous is not None and previous != MM_PER_FOOT:
            raise LengthError(f"“{text}” has a number without a unit at the end. Say which unit it is in.")
        unit = "in" if previous is not None else _DEFAULT[default_unit]
    factor = _PER_UNIT.get(unit)
    if factor is None:
        raise LengthError(f"“{unit}” in “{text}” is not a unit I know. Use mm, cm, m, in or ft.")
    if previous is not None:
        if factor >= previous:
            raise LengthError(f"“{text}” has its units out of order. Write the larger unit first, and each once.")
        if (factor in _IMPERIAL) != (previous in _IMPERIAL):
            raise LengthError(f"“{text}” mixes metric and inches. Use one or the other.")
    return factor


def _number(text: str, part: re.Match[str]) -> Fraction:
    if part["plain"] is not None:
        return Fraction(part["plain"])
    whole, top, bottom = part["mixed"] or "0", part["top"] or part["upper"], part["bottom"] or part["lower"]
    if int(bottom) == 0:
        raise LengthError(f"“{text}” divides by zero.")
    if part["mixed"] is not None and int(top) >= int(bottom):
        raise LengthError(f"“{text}” has a fraction of one or more after a whole number. Write it as one number.")
    return int(whole) + Fraction(int(top), int(bottom))


# Writing ------------------------------------------------------------------------------------------------------------


def write(length: Length, unit: Unit, resolution: Resolution | None = None) -> str:
    """The written form; exact unless a resolution rounds it first, or it begins with “≈”.

    Metric values that are not terminating decimals are written to a thousandth of a millimetre, inches that are not
    sixty-fourths to the nearest one, both behind “≈”.
    """
    if resolution is not None:
        length = rounded(length, resolution)
    sign = "-" if length < 0 else ""
    if unit in (Unit.INCH, Unit.FOOT_INCH):
        about, body = _written_inches(abs(length) / MM_PER_INCH, feet_too=unit is Unit.FOOT_INCH)
    else:
        about, number = _written_decimal(abs(length) / _PER_UNIT[unit.value], WRITTEN_DECIMALS[unit.value])
        body = f"{number} {unit.value}"
    return f"{about}{sign}{body}"


def _written_decimal(value: Fraction, places: int) -> tuple[str, str]:
    """The sign of approximation, if needed, and the decimal number."""
    rest, powers = value.denominator, {2: 0, 5: 0}
    for prime in powers:
        while rest % prime == 0:
            rest //= prime
            powers[prime] += 1
    about = "≈ " if rest != 1 else ""
    if not about:
        places = max(powers.values())
    digits = f"{round(value * 10**places):0{places + 1}d}"
    whole, decimals = digits[: len(digits) - places], digits[len(digits) - places :].rstrip("0")
    return about, f"{whole}.{decimals}" if decimals else whole


def _written_inches(value: Fraction, feet_too: bool) -> tuple[str, str]:
    about = "≈ " if FINEST_WRITTEN_INCH % value.denominator else ""
    value = Fraction(round(value * FINEST_WRITTEN_INCH), FINEST_WRITTEN_INCH)
    whole_feet, value = divmod(value, 12) if feet_too else (0, value)
    whole, rest = divmod(value, 1)
    words = [f"{whole_feet} ft"] if whole_feet else []
    if value or not whole_feet:
        number = " ".join(str(piece) for piece in (whole, rest) if piece) or "0"
        words.append(f"{number} in")
    return about, " ".join(words)
