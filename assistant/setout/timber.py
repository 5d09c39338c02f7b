"""What to buy: pickets, rails, posts and fixings, with waste as a setting.

Crosses the border: the layouts of a run and how it is built in, a `TimberList` out. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from assistant.setout.lengths import Length
from assistant.setout.spacing import Layout
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
    end_posts: int = 1
    """Posts beyond one a bay: one for an open run, none where the run closes on itself or ends on a wall."""

    def __post_init__(self) -> None:
        numbers = {"rails": self.rails, "fixings": self.fixings, "posts": self.end_posts}
        if min(self.rails, self.fixings, self.end_posts) < 0 or self.waste < 0:
            raise ImpossibleError(
                Problem.NEGATIVE, "Rails, fixings, posts and waste cannot be below zero.", lengths={}, numbers=numbers
            )


@dataclass(frozen=True, slots=True)
class TimberList:
    """Counts as built, and what to buy with waste; posts are counted without any."""

    pickets: int
    pickets_to_buy: int
    rails: tuple[Length, ...]
    """The length of every rail, bay by bay."""
    posts: int
    fixings: int
    fixings_to_buy: int

    @property
    def rail_length(self) -> Length:
        """All rails together, in mm."""
        return sum(self.rails, Fraction(0))


def with_waste(count: int, waste: Fraction) -> int:
    """The count and its waste, rounded up to a whole piece."""
    return -(-count * (1 + waste) // 1)


def list_timber(layouts: Sequence[Layout], build: Build) -> TimberList:
    """The timber of a run; rails are as long as their bay's opening."""
    pickets = sum(layout.count for layout in layouts)
    fixings = pickets * build.rails * build.fixings
    return TimberList(
        pickets=pickets,
        pickets_to_buy=with_waste(pickets, build.waste),
        rails=tuple(layout.bay.opening for layout in layouts for _ in range(build.rails)),
        posts=len(layouts) + build.end_posts if layouts else 0,
        fixings=fixings,
        fixings_to_buy=with_waste(fixings, build.waste),
    )
