"""What all peers share: the sound of a recording is gathered and heard whole, and a grammar as a bigram of words."""

from __future__ import annotations

import collections
import itertools
import math
from abc import ABC, abstractmethod
from collections.abc import Iterable
from pathlib import Path

import numpy as np

from assistant.events import Utterance
from assistant.speech.recogniser import Grammar
from assistant.speech.wav import SAMPLE_RATE, Samples

START, END = "<s>", "</s>"
# fmt: off
IPA = {
    "AA": "ɑ", "AE": "æ", "AH": "ʌ", "AO": "ɔ", "AW": "aʊ", "AY": "aɪ", "B": "b", "CH": "t͡ʃ", "D": "d", "DH": "ð",
    "EH": "ɛ", "ER": "ɝ", "EY": "eɪ", "F": "f", "G": "ɡ", "HH": "h", "IH": "ɪ", "IY": "i", "JH": "d͡ʒ", "K": "k",
    "L": "l", "M": "m", "N": "n", "NG": "ŋ", "OW": "oʊ", "OY": "ɔɪ", "P": "p", "R": "ɹ", "S": "s", "SH": "ʃ",
    "T": "t", "TH": "θ", "UH": "ʊ", "UW": "u", "V": "v", "W": "w", "Y": "j", "Z": "z", "ZH": "ʒ",
}
# fmt: on
"""The phonemes of our word list, ARPAbet, and the international signs for them."""


class Peer(ABC):
    """A recogniser that `evaluate.listen` can use in the place of ours.

    It hears the whole recording at once, which is kinder than blocks: its levels are known before the first word.
    """

    title: str
    package: str
    """The package that brings the model."""

    def __init__(self) -> None:
        """Loads the model.  Raises ImportError when the package is not installed."""
        self._grammar: Grammar | None = None
        self._sound: list[Samples] = []

    @property
    @abstractmethod
    def files(self) -> list[Path]:
        """The files of the model."""

    @property
    @abstractmethod
    def tuned(self) -> str:
        """What was set otherwise than it comes, in words."""

    @abstractmethod
    def prepare(self, grammar: Grammar) -> None:
        """Makes ready for a grammar."""

    @abstractmethod
    def hear(self, sound: Samples) -> tuple[str, ...] | None:
        """The words of a recording; None when it holds words that the grammar does not have."""

    def listen_for(self, grammar: Grammar) -> None:
        """Changes the grammar."""
        if grammar is not self._grammar:
            self._grammar = grammar
            self.prepare(grammar)

    def forget(self) -> None:
        """Drops the sound fed so far."""
        self._sound.clear()

    def feed(self, samples: Samples) -> None:
        """Takes the next block."""
        self._sound.append(samples)

    def flush(self) -> Utterance:
        """What the sound fed so far says."""
        sound = np.concatenate(self._sound)
        self._sound.clear()
        words = self.hear(sound)
        return Utterance(words or (), 0.0, len(sound) / SAMPLE_RATE, understood=words is not None)


def bigram(phrases: Iterable[str]) -> dict[str, dict[str, float]]:
    """The natural logarithm of the probability of each word after each other that some phrase has.

    Phrases of one word give a list to choose from, strings of digits a loop of digits.  Our engine makes its grammar of the
    same counts, but keeps a little for words that were never seen together; the peers fared better without that.
    """
    counts: dict[str, collections.Counter[str]] = collections.defaultdict(collections.Counter)
    for phrase in phrases:
        words = [START, *phrase.split(), END]
        for before, word in itertools.pairwise(words):
            counts[before][word] += 1
    return {before: {word: math.log(n / sum(after.values())) for word, n in after.items()} for before, after in counts.items()}


def pronunciations(word: str) -> list[list[str]]:
    """Those of our own word list, in ARPAbet without stress; none for a word it does not know."""
    from models.build.vocabulary import prons

    found: list[list[str]] = prons(word)
    return found
