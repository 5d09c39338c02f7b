"""A run of bays matched so that no gap stands out, for no more pickets than likeness is worth.

Crosses the border: the bays still free, the gaps of those that stand and a `Likeness` in; a `Matched` (a count for each
free bay, what they cost and what they gain) out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from assistant.setout.lengths import Length
from assistant.setout.matching import Counts, fewest_counts, matched_counts
from assistant.setout.spacing import Bay, layout_for_count
from assistant.setout.tolerances import GAPS_LOOK_ALIKE, PICKETS_FOR_LIKENESS
from assistant.setout.trouble import ImpossibleError, Problem


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
    if likeness is Likeness.FEWEST:
        found = fewest
    else:
        most = least + int(least * PICKETS_FOR_LIKENESS) if likeness is Likeness.A_TENTH else None
        found = matched_counts(free, None, GAPS_LOOK_ALIKE, given, most)
    smallest, largest = _extremes(free, found, given)
    before_smallest, before_largest = _extremes(free, fewest, given)
    return Matched(found.counts, sum(found.counts) - least, smallest, largest, before_smallest, before_largest)


def _extremes(free: Sequence[Bay], found: Counts, given: Sequence[Length]) -> tuple[Length, Length]:
    """The smallest and the largest gap of the run."""
    narrowest, widest = (layout_for_count(free[at], found.counts[at]).gap for at in (found.narrowest, found.widest))
    return min((narrowest, *given)), max((widest, *given))


def _standing(given: Sequence[Length]) -> Matched:
    if not given:
        raise ImpossibleError(Problem.NOTHING_GIVEN, "There is no bay in the run. Give at least one.", lengths={})
    smallest, largest = min(given), max(given)
    return Matched((), 0, smallest, largest, smallest, largest)
