"""What to buy: pickets, rails, posts and fixings, with waste as a setting.

Crosses the border: how many pickets each bay and gate has and how a run is built in, a `TimberList` out; the openings of a bay in, what
its rails are cut to out.  Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from assistant.setout.lengths import Length
from assistant.setout.taper import RailOpening, interpolate
from assistant.setout.trouble import ImpossibleError, Problem


@dataclass(frozen=True, slots=True)
class Build:
    """How a run is put together."""

    rails: int
    """In each bay."""
    fixings: int
    """Where a picket crosses a rail."""
    waste: Fraction = Fraction(0)
    """Extra to buy, as a share: a tenth is Fraction(1, 10)."""

    def __post_init__(self) -> None:
        numbers = {"rails": self.rails, "fixings": self.fixings}
        if min(self.rails, self.fixings) < 0 or self.waste < 0:
            raise ImpossibleError(Problem.NEGATIVE, "Rails, fixings and waste cannot be below zero.", lengths={}, numbers=numbers)


@dataclass(frozen=True, slots=True)
class TimberList:
    """Counts as built, and what to buy with waste; posts are counted without any."""

    pickets: int
    pickets_to_buy: int
    posts: int
    """One at each end of the run, and one between any two openings, be it a bay or a gate."""
    fixings: int
    """Of the bays: how a leaf is put together is not known here."""
    fixings_to_buy: int


def with_waste(count: int, waste: Fraction) -> int:
    """The count and its waste, rounded up to a whole piece."""
    return -(-count * (1 + waste) // 1)


def list_timber(bays: Sequence[int], gates: Sequence[int], build: Build) -> TimberList:
    """The timber of one open run, from the pickets of each bay and of each gate."""
    pickets = sum(bays) + sum(gates)
    fixings = sum(bays) * build.rails * build.fixings
    openings = len(bays) + len(gates)
    return TimberList(
        pickets=pickets,
        pickets_to_buy=with_waste(pickets, build.waste),
        posts=openings + 1 if openings else 0,
        fixings=fixings,
        fixings_to_buy=with_waste(fixings, build.waste),
    )


def rail_lengths(openings: Mapping[Fraction, Length], rails: int) -> tuple[Length, ...]:
    """What the rails of a bay are cut to, lowest first: evenly spread between the lowest and the highest opening measured.

    `openings` are by height, in any unit: only their ratios matter.  Between two that were measured, posts are taken for straight; a
    single rail has the widest of them, so that it can be cut to fit.
    """
    measured = [RailOpening(height, opening) for height, opening in sorted(openings.items())]
    if rails == 1 or len(measured) == 1:
        return (max(rail.opening for rail in measured),) * rails
    low, high = measured[0].height, measured[-1].height
    found = []
    for place in range(rails):
        height = low + (high - low) * Fraction(place, rails - 1)
        below, above = next((one, other) for one, other in pairwise(measured) if one.height <= height <= other.height)
        found.append(interpolate(below, above, (height,))[0].opening)
    return tuple(found)
