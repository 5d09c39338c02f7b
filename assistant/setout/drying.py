"""How timber moves as it dries or takes up water, and what that does to a gap.

Crosses the border: sizes in mm and moisture contents in percent in, sizes and gaps out. Two published ways:
* by coefficient, valid from 6 to 14 %: change = size * coefficient * (final - initial), the Wood Handbook's dimensional
  change equation as quoted by eXtension;
* by general shrinkage from green, FPL-RP-489, used from 8 to 19 %: width 6.031 - 0.215 M, thickness 5.062 - 0.181 M, in
  percent of the green size; stated for most species, not for redwood or cedar.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from assistant.setout.lengths import Length
from assistant.setout.spacing import Layout
from assistant.setout.trouble import ImpossibleError, Problem, require_positive


@dataclass(frozen=True, slots=True)
class Coefficient:
    """Movement per percent of moisture, as a share of the size."""

    name: str
    value: Fraction
    source: str


COEFFICIENTS = (
    Coefficient("red alder, flat sawn", Fraction("0.00256"), "Wood Handbook coefficients, seen in trade tables"),
    Coefficient("red alder, quarter sawn", Fraction("0.00151"), "Wood Handbook coefficients, seen in trade tables"),
    Coefficient("Douglas-fir, flat sawn", Fraction("0.00267"), "Wood Handbook coefficients, seen in trade tables"),
    Coefficient("southern pine, flat sawn", Fraction("0.00265"), "a trade table"),
    Coefficient("heart pine, flat sawn", Fraction("0.00263"), "a trade table"),
)


class Side(Enum):
    """Which size of a board: (shrinkage from green at 0 %, less for each percent of moisture), in percent."""

    WIDTH = (Fraction("6.031"), Fraction("0.215"))
    THICKNESS = (Fraction("5.062"), Fraction("0.181"))


def shrinkage(side: Side, moisture: Fraction) -> Fraction:
    """Percent of the green size lost at this moisture content (8 to 19 %)."""
    _require_moisture(moisture, 8, 19)
    whole, each = side.value
    return whole - each * moisture


def size_at(size: Length, initial: Fraction, final: Fraction, side: Side = Side.WIDTH) -> Length:
    """The size after moving from one moisture content to another, by general shrinkage."""
    require_positive("size", size)
    return size * (100 - shrinkage(side, final)) / (100 - shrinkage(side, initial))


def movement(size: Length, coefficient: Fraction, initial: Fraction, final: Fraction) -> Length:
    """The change of a size, below zero where it shrinks, by coefficient."""
    require_positive("size", size)
    for moisture in (initial, final):
        _require_moisture(moisture, 6, 14)
    return size * coefficient * (final - initial)


@dataclass(frozen=True, slots=True)
class MovedGaps:
    """A layout after its pickets have moved, each about its own centre."""

    gap: Length
    left_space: Length
    right_space: Length
    allowed: bool
    """Whether the limit still holds everywhere."""
    closed: bool
    """Whether pickets now meet, which swelling ones do not survive."""


def gaps_after(layout: Layout, width: Length) -> MovedGaps:
    """What the gaps become when every picket has this width: a whole change between two, half beside a post."""
    require_positive("picket width", width)
    change = layout.bay.picket - width
    gap, left, right = layout.gap + change, layout.left_space + change / 2, layout.right_space + change / 2
    spaces = (left, right, gap) if layout.count > 1 else (left, right)
    allowed = all(map(layout.bay.limit.allows, spaces))
    return MovedGaps(gap, left, right, allowed, closed=layout.count > 1 and gap <= 0)


def _require_moisture(moisture: Fraction, least: int, most: int) -> None:
    if not least <= moisture <= most:
        raise ImpossibleError(
            Problem.OUT_OF_RANGE,
            "The moisture content has to be from {least} to {most} percent for this rule.",
            lengths={},
            numbers={"least": least, "most": most},
        )
