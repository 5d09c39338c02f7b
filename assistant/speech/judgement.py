"""Two ears, one verdict: what is taken, what is asked, what is refused.  Pure, and the only place with thresholds.

Crosses the border: what the first ear heard and the opinion of the second come in; `Take`, `AskWhich`, `AskAgain` or `NotForUs` goes
out.

The scores of both are put together over all they heard: what the first ear heard counts AGREED more in the second's own measure.  So
what both heard wins unless the second is very sure of something else, and what one of them heard alone has to stand clear of what the
other heard.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from difflib import SequenceMatcher
from math import inf
from typing import TypeAlias

from assistant.events import Meaning, Price
from assistant.speech.readings import Opinion, Reading

AGREED = 4.0
"""What the first ear's word is worth, as a natural logarithm."""
PARTLY = 0.85
"""What words alike count where the meaning is another: so much of AGREED, times the share of them."""
EXPECTED = 0.4
"""What the chance of a wording before anything is heard counts beside what was heard."""
UNHEARD = 8.0
"""What the first ear heard is never further behind than this, not even when the second did not list it."""
WHICH = 0.5
"""Two readings are offered only where the better is no farther: beyond that the right one is seldom among them."""
FAR = 3.5
"""Readings whose distance is larger, and that the ears do not agree on, were not said to us at all."""


@dataclass(frozen=True, slots=True)
class Bar:
    """How sure the ears must be."""

    margin: float
    """Where the ears differ: how far the runner-up of both together must be behind."""
    agreed: float
    """The same where both call one thing the best."""
    alone: float
    """The largest distance of what only the second ear heard."""
    both: float
    """The largest distance of what the first heard too."""


BARS: dict[Price, Bar] = {
    Price.CHEAP: Bar(margin=0.5, agreed=-inf, alone=2.0, both=6.0),
    Price.DEAR: Bar(margin=inf, agreed=-inf, alone=-inf, both=2.5),
    Price.NUMBER: Bar(margin=3.0, agreed=3.2, alone=0.3, both=2.5),
}
"""All figures were chosen by steps of one at a time over 878 recordings of phrases by three synthetic voices at four points of a job
(fewer phrases: each in the quiet, 10 and 5 dB above site noise) and 450 recordings of people who were set aside (commands, digits,
foreign words and talk, noise), for the least cost: a wrong number 10, a wrong command 8, talk taken for ours 6, a refusal 1.5, a
question 1.  A wrong number at 25 asks twice as often and lets half as many through (margin 7).  One figure was then set by hand, not by
such steps: short commands, which lie far where a voice says them oddly, may lie at 6 where both heard them, for not one of 150 foreign
words was heard so by both.  When the second ear was trained anew, the same steps over 897 recordings gained 2 % of the cost, and what one
half of the phrases chose cost the other half 4 % more: the figures stayed.  Two came then.  Where both call one number the best, 3.2 asks
about one more of 720 lengths and keeps out 12 wrong ones of 1,700 numbers of people.  And of readings farther than 0.5 the right one was
seldom among the two that would have been offered.
"""


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
    if best.meaning is None:
        return NotForUs()
    bar = BARS[best.meaning.price]
    ahead = score - ranked[1][1] if len(ranked) > 1 else inf
    agreed = best.meaning == first.meaning == _by_the_second(second)
    if agreed and distance <= bar.both and ahead >= bar.agreed:
        return Take(first.words)
    if distance > FAR:
        return NotForUs()
    near = distance <= (bar.both if best.meaning == first.meaning else bar.alone)
    if not agreed and near and best.meaning.price is not Price.DEAR and ahead >= bar.margin:
        return Take(best.words)
    if not first.words:
        return NotForUs()  # talk of which the first ear made out nothing: only what the second is sure of counts
    if distance <= WHICH and len(ranked) > 1 and _same_question(best, ranked[1][0]):
        return AskWhich(best.words, ranked[1][0].words)
    return AskAgain(best.words)


def _by_the_second(opinion: Opinion) -> Meaning | None:
    """What the second ear alone would say."""
    return max(opinion.readings, key=lambda one: one.score + EXPECTED * one.prior).meaning


def _ranked(first: Heard, second: Opinion) -> list[tuple[Reading, float]]:
    """What either heard, with the scores of both together, the best first."""
    if not second.readings:
        return []
    least = second.readings[0].score - UNHEARD
    readings = [replace(one, score=max(one.score, least)) if one.meaning == first.meaning else one for one in second.readings]
    if first.meaning is not None and all(one.meaning != first.meaning for one in readings):
        readings.append(Reading(first.meaning, first.words, least, second.readings[0].phonemes, first.prior))
    scores = [one.score + EXPECTED * one.prior + AGREED * _likeness(first, one) for one in readings]
    return sorted(zip(readings, scores, strict=True), key=lambda one: -one[1])


def _likeness(first: Heard, reading: Reading) -> float:
    """How far the first ear heard the same: 1 for one meaning, else PARTLY times the share of words that are alike."""
    if reading.meaning is None:
        return 0.0
    if reading.meaning == first.meaning:
        return 1.0
    return PARTLY * SequenceMatcher(None, first.words, reading.words, autojunk=False).ratio()


def _same_question(one: Reading, other: Reading) -> bool:
    """Whether both are numbers given for the same thing, so that it can be asked which."""
    return (
        one.meaning is not None
        and other.meaning is not None
        and one.meaning.act == other.meaning.act
        and one.meaning.price is other.meaning.price is Price.NUMBER
    )
