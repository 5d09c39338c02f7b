"""What an ear makes of an utterance: what may have been meant, ranked.

Crosses the border: log probabilities of phonemes and a graph of sounds come in, an `Opinion` goes out.  Pure.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from assistant.events import Meaning
from assistant.speech.search import Posteriors, search
from assistant.speech.soundgraph import SoundGraph

Reader = Callable[[tuple[str, ...]], Meaning | None]
"""What words mean at the moment; None: nothing."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One thing that may have been meant."""

    meaning: Meaning | None
    """None: words that mean nothing here, ordinary ones among them."""
    words: tuple[str, ...]
    """Its likeliest wording."""
    score: float
    """Natural logarithm of the probability of all its wordings together."""
    phonemes: int
    """Of its likeliest wording."""


@dataclass(frozen=True, slots=True)
class Opinion:
    """What the second ear makes of an utterance."""

    readings: tuple[Reading, ...]
    """The likeliest first; none when nothing of it can be said here."""
    free: float
    """Score of the best path when nothing binds it, in the same measure."""

    @property
    def distance(self) -> float:
        """How much worse for each phoneme the best reading is than the free path: 0 to 1.5 where it was said, 3 and more where not."""
        if not self.readings:
            return float("inf")
        best = self.readings[0]
        return (self.free - best.score) / best.phonemes

    def behind(self, meaning: Meaning | None) -> float:
        """How much less likely this meaning is than the best one, as a natural logarithm; infinite when it is not among them."""
        scores = [reading.score for reading in self.readings if reading.meaning == meaning]
        return self.readings[0].score - scores[0] if scores else float("inf")

    @property
    def margin(self) -> float:
        """How far the runner-up is behind; infinite when there is none."""
        return self.readings[0].score - self.readings[1].score if len(self.readings) > 1 else float("inf")


def opinion(posteriors: Posteriors, graph: SoundGraph, read: Reader) -> Opinion:
    """The readings of an utterance.  Wordings of one meaning add up; what sounds alike counts once for each meaning."""
    found: dict[Meaning | None, list[tuple[tuple[str, ...], float, int]]] = {}
    for said in search(posteriors, graph):
        alike: dict[Meaning | None, tuple[str, ...]] = {}
        for words in graph.wordings(said.phones):
            alike.setdefault(read(words), words)
        for meaning, words in alike.items():
            found.setdefault(meaning, []).append((words, said.score, len(said.phones)))
    readings = []
    for meaning, wordings in found.items():
        words, _, phonemes = wordings[0]
        total = float(np.logaddexp.reduce([score for _, score, _ in wordings]))
        readings.append(Reading(meaning, words, total, phonemes))
    free = float(posteriors.max(axis=1).sum())
    return Opinion(tuple(sorted(readings, key=lambda one: -one.score)), free)
