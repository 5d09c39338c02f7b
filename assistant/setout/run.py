"""A run of bays: each solved on its own, or all matched so that no gap stands out.

Crosses the border: bays in, a `Run` (a count for each bay, layouts made when asked) out; or the bays still free and
the gaps of those that stand in, a `Matched` (counts, what they cost and what they gain) out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from assistant.setout.lengths import Length
from assistant.setout.matching import Counts, fewest_counts, matched_counts
from assistant.setout.spacing import Bay, Layout, layout_for_count
from assistant.setout.tolerances import GAPS_LOOK_ALIKE, PICKETS_FOR_LIKENESS
from assistant.setout.trouble import ImpossibleError, Problem, require_not_negative

ZERO = Fraction(0)


@dataclass(frozen=True, slots=True)
class Run:
    """Bays in order and the number of pickets in each."""

    bays: tuple[Bay, ...]
    counts: tuple[int, ...]
    narrowest: int
    """The bay with the smallest gap; bays count from zero."""
    widest: int
    """The bay with the largest gap."""

    @property
    def pickets(self) -> int:
        """Pickets in the whole run."""
        return sum(self.counts)

    @property
    def smallest(self) -> Length:
        """The smallest gap in mm."""
        return self.layout(self.narrowest).gap

    @property
    def largest(self) -> Length:
        """The largest gap in mm."""
        return self.layout(self.widest).gap

    @property
    def spread(self) -> Length:
        """Largest less smallest gap over the run, in mm."""
        return self.largest - self.smallest

    def layout(self, index: int) -> Layout:
        """The layout of one bay."""
        return layout_for_count(self.bays[index], self.counts[index])


def plain(bays: Sequence[Bay]) -> Run:
    """Every bay with its own fewest pickets; raises ImpossibleError for a bay that has none."""
    return _run(bays, fewest_counts(bays))


def match(bays: Sequence[Bay], least_gap: Length = ZERO, alike: Length = ZERO) -> Run:
    """Counts whose gaps differ least over the run, under each bay's limit, with the fewest pickets where equal.

    The least spread of all is often a nearly solid fence, since small gaps differ little. No bay is filled to a gap
    below `least_gap` unless its limit forces it, and spreads up to `alike` count as equal. Raises ImpossibleError for
    a bay that no count suits.
    """
    require_not_negative("least gap", least_gap)
    require_not_negative("spread that counts as equal", alike)
    return _run(bays, matched_counts(bays, least_gap, alike))


def match_for_the_eye(bays: Sequence[Bay]) -> Run:
    """As `match`, keeping to LEAST_GAP_SHARE of each limit and counting spreads up to GAPS_LOOK_ALIKE as equal."""
    return _run(bays, matched_counts(bays, None, GAPS_LOOK_ALIKE))


def _run(bays: Sequence[Bay], found: Counts) -> Run:
    return Run(tuple(bays), found.counts, found.narrowest, found.widest)


class Likeness(Enum):
    """How many pickets a run may spend on gaps that look alike."""

    FEWEST = "fewest pickets"
    A_TENTH = "one picket in ten for likeness"
    MOST_ALIKE = "most alike"


@dataclass(frozen=True, slots=True)
class Matched:
    """Counts for the free bays of a run, in order; the gaps, in mm, are over the whole run, those given among them."""

    counts: tuple[int, ...]
    extra: int
    """Pickets more than the free bays need at the least."""
    smallest: Length
    largest: Length
    before_smallest: Length
    """The smallest gap if every free bay had its fewest pickets."""
    before_largest: Length


def match_run(free: Sequence[Bay], given: Sequence[Length], likeness: Likeness) -> Matched:
    """Counts for the free bays such that the gaps of the run, with the given ones, differ least.

    Every free bay obeys its limit, and keeps to LEAST_GAP_SHARE of it where a count does. Spreads up to GAPS_LOOK_ALIKE
    count as equal; of those the fewest pickets are taken. A_TENTH spends at most PICKETS_FOR_LIKENESS of the fewest
    pickets of the free bays, rounded down, and is the best there is within that. Raises ImpossibleError for a bay that
    no count suits, and for a run of nothing.
    """
    if not free:
        return _standing(given)
    fewest = fewest_counts(free)
    least = sum(fewest.counts)
    spend = {Likeness.FEWEST: 0, Likeness.A_TENTH: int(least * PICKETS_FOR_LIKENESS), Likeness.MOST_ALIKE: None}[likeness]
    found = matched_counts(free, None, GAPS_LOOK_ALIKE, given, None if spend is None else least + spend)
    before, after = _run(free, fewest), _run(free, found)
    return Matched(
        found.counts,
        after.pickets - before.pickets,
        min((after.smallest, *given)),
        max((after.largest, *given)),
        min((before.smallest, *given)),
        max((before.largest, *given)),
    )


def _standing(given: Sequence[Length]) -> Matched:
    if not given:
        raise ImpossibleError(Problem.NOTHING_GIVEN, "There is no bay in the run. Give at least one.", lengths={})
    smallest, largest = min(given), max(given)
    return Matched((), 0, smallest, largest, smallest, largest)
