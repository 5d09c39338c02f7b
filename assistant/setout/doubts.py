"""Input that can be set out but is doubtful: worth a question before anyone cuts.

Crosses the border: bays in, `Doubt` values out, each with what it is about and, where there is one, the likelier value.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum, auto
from statistics import median_high

from assistant.setout.lengths import Length
from assistant.setout.spacing import Bay
from assistant.setout.tolerances import FAR_FROM_OTHERS, SAME_AFTER_TEN, SMALL_BESIDE_PICKET


class Doubtful(Enum):
    """The kinds of doubt."""

    FAR_FROM_OTHERS = auto()
    """An opening many times larger or smaller than the usual (median) one."""
    TEN_TIMES_OFF = auto()
    """The same, and ten times or a tenth of it would be usual: a slipped digit, or a wrong unit."""
    NO_PICKET_NEEDED = auto()
    """The opening is already within the largest gap."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """One doubt about one bay (from zero)."""

    kind: Doubtful
    bay: int
    value: Length
    likely: Length | None = None
    """A value that would raise no doubt, in mm."""


def doubts(bays: Sequence[Bay]) -> tuple[Doubt, ...]:
    """Every doubt about a run, bay by bay."""
    if not bays:
        return ()
    usual = median_high([bay.opening for bay in bays])
    found = []
    for index, bay in enumerate(bays):
        found += _about_size(index, bay.opening, usual)
        if bay.limit.allows(bay.opening):
            found.append(Doubt(Doubtful.NO_PICKET_NEEDED, index, bay.opening))
    return tuple(found)


def small_gap(gap: Length, picket: Length) -> bool:
    """Whether a largest gap is so small beside a picket that a digit or a unit was probably lost."""
    return gap < picket * SMALL_BESIDE_PICKET


def _about_size(index: int, opening: Length, usual: Length) -> list[Doubt]:
    if usual < opening * FAR_FROM_OTHERS and opening < usual * FAR_FROM_OTHERS:
        return []
    likely = opening / 10 if opening > usual else opening * 10
    if abs(likely - usual) <= usual * SAME_AFTER_TEN:
        return [Doubt(Doubtful.TEN_TIMES_OFF, index, opening, likely)]
    return [Doubt(Doubtful.FAR_FROM_OTHERS, index, opening)]
