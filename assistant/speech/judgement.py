"""Two ears, one verdict: what is taken, what is asked, what is refused.  Pure, and the only place with thresholds.

Crosses the border: what the first ear heard and the opinion of the second come in; `Take`, `AskWhich`, `AskAgain` or `NotForUs` goes
out.

The scores of both are put together over all they heard: what the first ear heard counts AGREED more in the second's own measure.  So
what both heard wins unless the second is very sure of something else, and what one of them heard alone has to stand clear of what the
other heard.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from assistant.events import Meaning, Price
from assistant.speech.readings import Opinion, Reading

AGREED = 6.0
"""What the first ear's word is worth, as a natural logarithm."""
EXPECTED = 0.5
"""What the chance of a wording before anything is heard counts beside what was heard."""
UNHEARD = 12.0
"""How far a reading that the second ear did not even list is taken to be behind its best."""
FAR = 3.5
"""Readings whose distance is larger were not said to us at all."""


@dataclass(frozen=True, slots=True)
class Bar:
    """How sure the ears must be."""

    margin: float
    """How far the runner-up of both ears together must be behind."""
    alone: float
    """The largest distance of what only the second ear heard; below zero: both must have heard it."""
    both: float
    """The largest distance of what both heard."""


BARS: dict[Price, Bar] = {
    Price.CHEAP: Bar(margin=1.0, alone=1.6, both=3.5),
    Price.DEAR: Bar(margin=2.0, alone=-1.0, both=2.5),
    Price.NUMBER: Bar(margin=3.0, alone=1.2, both=2.5),
}


@dataclass(frozen=True, slots=True)
class Heard:
    """What the first ear made of an utterance."""

    words: tuple[str, ...]
    meaning: Meaning | None
    """None: nothing that can be said here, or nothing said to us."""
    prior: float = 0.0
    """How likely the words are before anything is heard; a natural logarithm."""


@dataclass(frozen=True, slots=True)
class Take:
    """These words were said."""

    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class AskWhich:
    """One of two was said; the likelier first."""

    first: tuple[str, ...]
    second: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class AskAgain:
    """Something was said to us, and it is not sure what."""

    words: tuple[str, ...]
    """The likeliest."""


@dataclass(frozen=True, slots=True)
class NotForUs:
    """Talk, noise, or words that mean nothing here."""


Verdict: TypeAlias = Take | AskWhich | AskAgain | NotForUs


def judge(first: Heard, second: Opinion) -> Verdict:
    """The verdict of both ears."""
    ranked = _ranked(first, second)
    if not ranked:
        return NotForUs()
    best, score = ranked[0]
    distance = second.distance(best)
    if best.meaning is None or distance > FAR:
        return NotForUs()
    margin = score - ranked[1][1] if len(ranked) > 1 else UNHEARD
    bar = BARS[best.meaning.price]
    agreed = best.meaning == first.meaning
    if margin >= bar.margin and distance <= (bar.both if agreed else bar.alone):
        return Take(first.words if agreed else best.words)
    if len(ranked) > 1 and _same_question(best, ranked[1][0]):
        return AskWhich(best.words, ranked[1][0].words)
    return AskAgain(best.words)


def _ranked(first: Heard, second: Opinion) -> list[tuple[Reading, float]]:
    """What either heard, with the scores of both together, the best first."""
    if not second.readings:
        return []
    readings = list(second.readings)
    if first.meaning is not None and all(one.meaning != first.meaning for one in readings):
        top = readings[0]
        readings.append(Reading(first.meaning, first.words, top.score - UNHEARD, top.phonemes, first.prior))
    scores = [one.score + EXPECTED * one.prior + AGREED * (one.meaning is not None and one.meaning == first.meaning) for one in readings]
    return sorted(zip(readings, scores, strict=True), key=lambda one: -one[1])


def _same_question(one: Reading, other: Reading) -> bool:
    """Whether both are numbers given for the same thing, so that it can be asked which."""
    return (
        one.meaning is not None
        and other.meaning is not None
        and one.meaning.act == other.meaning.act
        and one.meaning.price is other.meaning.price is Price.NUMBER
    )
