"""A run of bays: each solved on its own, or all matched so that no gap stands out.

Crosses the border: bays in, a `Run` (a count for each bay, layouts made when asked) out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from assistant.setout.lengths import Length
from assistant.setout.matching import Counts, fewest_counts, matched_counts
from assistant.setout.spacing import Bay, Layout, layout_for_count
from assistant.setout.tolerances import GAPS_LOOK_ALIKE
from assistant.setout.trouble import require_not_negative

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
