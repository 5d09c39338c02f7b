"""What an ear makes of an utterance: what may have been meant, ranked.

Crosses the border: log probabilities of phonemes, a graph of sounds and what can be said come in, an `Opinion` goes out.  Pure.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from assistant.events import Meaning
from assistant.speech.search import Posteriors, search
from assistant.speech.soundgraph import SoundGraph
from assistant.wordgraph import WordGraph

WORDINGS = 16
"""The most wordings that are looked into."""


class Expected(Protocol):
    """What can be said at the moment."""

    @property
    def graph(self) -> WordGraph:
        """All of it; the same object as long as it is the same."""

    def meaning(self, words: tuple[str, ...]) -> Meaning | None:
        """What words mean now; None: nothing."""

    def prior(self, words: tuple[str, ...]) -> float:
        """How likely the words are before anything is heard; a natural logarithm."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One thing that may have been meant."""

    meaning: Meaning | None
    """None: words that mean nothing here, ordinary ones among them."""
    words: tuple[str, ...]
    """Its likeliest wording."""
    score: float
    """Natural logarithm of the probability of the sounds of all its wordings together."""
    phonemes: int
    """Of its likeliest wording."""
    prior: float = 0.0
    """Natural logarithm of how likely its likeliest wording is before anything is heard."""


@dataclass(frozen=True, slots=True)
class Opinion:
    """What the second ear makes of an utterance."""

    readings: tuple[Reading, ...]
    """The likeliest by sound first; none when nothing of it can be said here."""
    free: float
    """Score of the best path when nothing binds it, in the same measure."""

    def distance(self, reading: Reading) -> float:
        """How much worse for each phoneme a reading is than the free path: 0 to 1.5 where it was said, 3 and more where not."""
        return (self.free - reading.score) / reading.phonemes


def opinion(posteriors: Posteriors, graph: SoundGraph, expected: Expected, decoys: Iterable[str] = ()) -> Opinion:
    """The readings of an utterance; a decoy alone means nothing.

    Wordings and pronunciations of one meaning add up; what sounds alike counts once for each meaning.
    """
    foreign = {(word,) for word in decoys}
    by_chance = -float(np.log(len(expected.graph.arcs[0]) + len(foreign)))
    known: dict[tuple[str, ...], tuple[Meaning | None, float]] = {}
    found: dict[Meaning | None, list[Reading]] = {}
    for said in search(posteriors, graph):
        alike: dict[Meaning | None, tuple[str, ...]] = {}
        for words in graph.wordings(said.phones):
            if words not in known and len(known) < WORDINGS:
                meaning = None if words in foreign else expected.meaning(words)
                known[words] = meaning, by_chance if meaning is None else expected.prior(words)
            if words in known:
                alike.setdefault(known[words][0], words)
        for meaning, words in alike.items():
            found.setdefault(meaning, []).append(Reading(meaning, words, said.score, len(said.phones), known[words][1]))
    readings = [_together(strings) for strings in found.values()]
    return Opinion(tuple(sorted(readings, key=lambda one: -one.score)), float(posteriors.max(axis=1).sum()))


def _together(strings: list[Reading]) -> Reading:
    best = strings[0]
    total = float(np.logaddexp.reduce([one.score for one in strings]))
    return Reading(best.meaning, best.words, total, best.phonemes, max(one.prior for one in strings))
