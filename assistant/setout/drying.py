"""How timber moves as it dries or takes up water, and what that does to a gap.

Crosses the border: sizes in mm and moisture contents in percent in, sizes and gaps out.  Every rule is a straight line of shrinkage:
a size at M percent is the green size less `dry * (green - M) / green` percent of it.  Two published ways to that line:
* general shrinkage, where the species is not known: FPL-RP-489, width 6.031 - 0.215 M, thickness 5.062 - 0.181 M, from 8 to 19 %;
  stated for most species, not for redwood or cedar;
* by species: shrinkage across a flat-sawn board from green to ovendry, Wood Handbook (FPL-GTR-190, 2010) Table 4-3, spread over the
  moisture from fibre saturation down, ICC 400 Table 304; above fibre saturation a board does not move.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from assistant.setout.lengths import Length
from assistant.setout.spacing import Layout
from assistant.setout.trouble import ImpossibleError, Problem, require_positive


@dataclass(frozen=True, slots=True)
class Species:
    """A timber whose shrinkage across a flat-sawn board is published."""

    name: str
    dry: Fraction
    """Percent of the green width lost from fibre saturation to ovendry."""
    saturation: Fraction
    """Moisture content at fibre saturation, in percent."""
    source: str


_HANDBOOK = "Wood Handbook, FPL-GTR-190, Table 4-3, tangential; fibre saturation by ICC 400, Table 304"

SPECIES = (
    Species("western red cedar", Fraction("5.0"), Fraction(18), _HANDBOOK),
    Species("white cedar", Fraction("4.9"), Fraction(30), _HANDBOOK),
    Species("incense cedar", Fraction("5.2"), Fraction(30), _HANDBOOK),
    Species("douglas fir", Fraction("7.6"), Fraction(28), _HANDBOOK),
    Species("white fir", Fraction("7.0"), Fraction(30), _HANDBOOK),
    # 3.9 % from green to 12 % is 6.5 % to ovendry, for 12 % leaves 18 of the 30 points undone.
    Species("radiata pine", Fraction("6.5"), Fraction(30), "a New Zealand sawmill's guide, 3.9 % from green to 12 %, tangential"),
)
"""White cedar is northern white cedar, Douglas fir that of the coast."""


class Side(Enum):
    """Which size of a board: (shrinkage from green at 0 %, less for each percent of moisture), in percent."""

    WIDTH = (Fraction("6.031"), Fraction("0.215"))
    THICKNESS = (Fraction("5.062"), Fraction("0.181"))


LEAST, MOST = 8, 19
"""Percent of moisture that general shrinkage is made for."""


def shrinkage(side: Side, moisture: Fraction) -> Fraction:
    """Percent of the green size lost at this moisture content.  Raises ImpossibleError outside LEAST to MOST."""
    if not LEAST <= moisture <= MOST:
        raise ImpossibleError(
            Problem.OUT_OF_RANGE,
            "The moisture content has to be from {least} to {most} percent for this rule.",
            lengths={},
            numbers={"least": LEAST, "most": MOST},
        )
    whole, each = side.value
    return whole - each * moisture


def species_shrinkage(species: Species, moisture: Fraction) -> Fraction:
    """Percent of the green width lost at this moisture content; none at fibre saturation and above."""
    if moisture < 0:
        raise ImpossibleError(Problem.OUT_OF_RANGE, "The moisture content cannot be below zero.", lengths={})
    return species.dry * max(species.saturation - moisture, Fraction(0)) / species.saturation


def size_at(size: Length, initial: Fraction, final: Fraction, side: Side = Side.WIDTH) -> Length:
    """The size after moving from one moisture content to another, by general shrinkage."""
    require_positive("size", size)
    return size * (100 - shrinkage(side, final)) / (100 - shrinkage(side, initial))


def width_at(width: Length, species: Species, initial: Fraction, final: Fraction) -> Length:
    """The width of a flat-sawn board after moving from one moisture content to another."""
    require_positive("width", width)
    return width * (100 - species_shrinkage(species, final)) / (100 - species_shrinkage(species, initial))


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
