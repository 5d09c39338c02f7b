"""A recognition channel at the level of words: what was said goes in, what a recogniser may make of it comes out.

Its error counts are measured with the real recogniser (`bench/measure_channel.py` writes `bench/channel.json`); randomness is the
caller's.  Words cross the border.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path
from random import Random

from assistant.numbers.twins import TWIN

Words = tuple[str, ...]

MEASURED = Path(__file__).with_name("bench") / "channel.json"

KNOWN_PAIRS = {**TWIN, "five": "nine", "nine": "five", "four": "five", "six": "eight", "oh": "four", "thousand": "hundred"}
"""Confusions that every recogniser of numbers makes now and then: each counts once even where it was not measured."""

KNOWN_OMISSIONS = ("and", "oh", "no", "hundred", "thousand", "point", "a")
"""Words that get lost: likewise."""

DROPPED = ""
"""What a word that was lost was heard as."""

_CALIBRATED = 0.01
"""How near, relative to the target, the share of wrong words is brought when a channel is scaled."""
_MOST = 0.5
"""No word goes wrong more often than this, however far a channel is scaled."""
_TRIES = 40


@dataclass(frozen=True)
class Shares:
    """What becomes of the utterances of one kind, as shares of all."""

    lost: float = 0.0
    """Come out as nothing, or as not meant for us."""
    again: float = 0.0
    """Are asked for once more."""
    which: float = 0.0
    """Are asked about, the right reading and a wrong one."""
    neither: float = 0.0
    """Are asked about, two wrong readings."""
    still_number: float = 0.0
    """Of those that are heard wrong: could be read as a number all the same."""


@dataclass(frozen=True)
class Outcome:
    """What came out of the channel."""

    words: Words | None
    """None: nothing that was for us."""
    doubt: tuple[Words, ...] = ()
    """What is asked about: one reading that is not sure, or two."""


@dataclass(frozen=True)
class Channel:
    """Errors by word where something was taken, and how often something was."""

    errors: dict[str, dict[str, int]]
    """By word: what it was heard as, and how often; `DROPPED` for a lost word, "word other" for one with another behind it."""
    said: dict[str, int]
    """How often each word was said."""
    numbers: Shares
    phrases: Shares
    """All that is no number."""
    scale: float = 1.0
    reads: Callable[[Words], bool] = field(default=lambda words: True)
    """Whether words are such a number."""

    def rate(self, word: str) -> float:
        """How likely it is that the word goes wrong."""
        known = (word in KNOWN_PAIRS) + (word in KNOWN_OMISSIONS)
        count = sum(self.errors.get(word, {}).values()) + known
        return min(_MOST, self.scale * count / max(self.said.get(word, 0), 100))

    def hear(self, random: Random, said: Words, *, number: bool) -> Outcome:
        """What is made of the words; `number`: they are a spoken number."""
        shares = self.numbers if number else self.phrases
        draw = random.random()
        if draw < shares.lost:
            return Outcome(None)
        draw -= shares.lost
        if draw < shares.again:
            return Outcome(said, (self._pass(random, said),))
        draw -= shares.again
        if draw < shares.which + shares.neither:
            other = self._wrong(random, said)
            both = (said, other) if draw < shares.which else (self._wrong(random, said), other)
            return Outcome(both[0], tuple(random.sample(both, 2)))
        heard = self._pass(random, said)
        if number and heard != said and random.random() < shares.still_number:
            heard = self._wrong(random, said)
        return Outcome(heard)

    def _wrong(self, random: Random, said: Words) -> Words:
        """Something else that can be read as a number; what was said where none is found soon, for some words never go wrong."""
        others = (self._pass(random, said) for _ in range(_TRIES))
        return next((heard for heard in others if heard != said and self.reads(heard)), said)

    def _pass(self, random: Random, said: Words) -> Words:
        """One draw of errors."""
        heard: list[str] = []
        for word in said:
            heard += self._mistake(random, word).split() if random.random() < self.rate(word) else [word]
        return tuple(heard)

    def _mistake(self, random: Random, word: str) -> str:
        counts = dict(self.errors.get(word, {}))
        if word in KNOWN_PAIRS:
            counts[KNOWN_PAIRS[word]] = counts.get(KNOWN_PAIRS[word], 0) + 1
        if word in KNOWN_OMISSIONS or not counts:
            counts[DROPPED] = counts.get(DROPPED, 0) + 1
        return random.choices(list(counts), weights=list(counts.values()))[0]


def distance(said: Words, heard: Words) -> int:
    """Words put in, left out or taken for others, at the least."""
    row = list(range(len(heard) + 1))
    for i, word in enumerate(said, start=1):
        before, row[0] = row[0], i
        for j, other in enumerate(heard, start=1):
            before, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, before + (word != other))
    return row[-1]


def read_channel(condition: str, reads: Callable[[Words], bool], path: Path = MEASURED) -> Channel:
    """The channel measured in a condition ("clean", "site")."""
    found = json.loads(path.read_text(encoding="utf-8"))["conditions"][condition]
    numbers, phrases = (
        Shares(*(found[kind][name] for name in ("lost", "again", "which", "neither", "still_number"))) for kind in ("numbers", "phrases")
    )
    return Channel(found["errors"], found["said"], numbers, phrases, reads=reads)


def scaled(channel: Channel, word_error_rate: float, numbers: list[Words]) -> Channel:
    """The channel, its wrong words made rarer or more frequent until that share of the words of these numbers goes wrong; what is lost or
    asked about stays."""
    total = sum(len(said) for said in numbers)

    def wrong(scale: float) -> float:
        random, trial = Random(1), _with(channel, scale)
        heard = ((said, trial.hear(random, said, number=True)) for said in numbers)
        # What was lost or is asked about is no word error: the person knows at once.
        return sum(distance(said, found.words) for said, found in heard if found.words is not None and not found.doubt) / total

    low, high = 0.0, 64.0
    while high - low > _CALIBRATED * low:
        middle = (low + high) / 2
        low, high = (middle, high) if wrong(middle) < word_error_rate else (low, middle)
    return _with(channel, (low + high) / 2)


def _with(channel: Channel, scale: float) -> Channel:
    return replace(channel, scale=scale)
