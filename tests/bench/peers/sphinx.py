"""PocketSphinx with the English model of its package: hidden Markov models, a finite-state grammar."""

from __future__ import annotations

import math
import re
from pathlib import Path
from typing import ClassVar

import numpy as np

from assistant.speech.recogniser import Grammar
from assistant.speech.wav import Samples
from peers.whole import END, IPA, START, Peer, bigram, pronunciations

_PHONES = tuple(IPA)
_GARBAGE = "@"


class PocketSphinx(Peer):
    """Its own dictionary; words that it lacks are pronounced as in our word list."""

    title = "pocketsphinx"
    package = "pocketsphinx"
    settings: ClassVar[dict[str, float | bool]] = {"wip": 0.01, "silprob": 0.3, "bestpath": False}
    hiss = 100.0
    """Spread of the hiss laid over the sound, in 16-bit steps: near-silence spoils its cepstral mean."""
    garbage = 0.0
    """Probability of the loop of phones that stands for foreign speech; 0: every sound becomes a phrase."""
    phone = 0.01
    """Probability of another phone in it."""
    decoys = 0
    """How many decoys are listed beside the grammar; each costs it more of what is right than our model."""

    def __init__(self) -> None:
        super().__init__()
        import pocketsphinx

        self._decoder = pocketsphinx.Decoder(lm=None, loglevel="FATAL", **self.settings)
        for phone in _PHONES:
            self._decoder.add_word(_GARBAGE + phone, phone, phone == _PHONES[-1])
        self._foreign: frozenset[str] = frozenset()
        self._random = np.random.default_rng(1)

    @property
    def tuned(self) -> str:
        """In words."""
        return (
            f"{self.settings}, hiss {self.hiss:g}, {self.decoys} decoys, loop of phones {self.garbage:g} / {self.phone:g}; "
            "batch mean and noise removal as the model asks for"
        )

    @property
    def files(self) -> list[Path]:
        """The acoustic model and the dictionary; its language model is not used."""
        return [*Path(self._decoder.config["hmm"]).iterdir(), Path(self._decoder.config["dict"])]

    def prepare(self, grammar: Grammar) -> None:
        """A finite-state grammar: one state a word, and if wanted a loop of phones."""
        decoys = grammar.decoys[: self.decoys]
        self._foreign = frozenset(decoys)
        words = bigram([*grammar.phrases, *decoys])
        missing = [word for word in words if word != START and self._decoder.lookup_word(word) is None]
        for number, word in enumerate(missing, 1):
            for variant, phones in enumerate(pronunciations(word), 1):
                name = word if variant == 1 else f"{word}({variant})"
                self._decoder.add_word(name, " ".join(phones), number == len(missing))
        states = {START: 0, END: 1} | {word: number for number, word in enumerate(sorted(set(words) - {START}), 2)}
        arcs: list[tuple[int, int, float] | tuple[int, int, float, str]] = []
        for before, after in words.items():
            for word, probability in after.items():
                arc = (states[before], states[word], math.exp(probability))
                arcs.append(arc if word == END else (*arc, word))
        if self.garbage:
            loop = len(states)
            for phone in _PHONES:
                arcs.append((0, loop, self.garbage / len(_PHONES), _GARBAGE + phone))
                arcs.append((loop, loop, self.phone / len(_PHONES), _GARBAGE + phone))
            arcs.append((loop, 1, 0.1))
        self._decoder.add_fsg("grammar", self._decoder.create_fsg("grammar", 0, 1, arcs))
        self._decoder.activate_search("grammar")

    def hear(self, sound: Samples) -> tuple[str, ...] | None:
        """The best path, without the numbers of pronunciations."""
        noisy = np.clip(np.rint(sound + self._random.normal(0, self.hiss, len(sound))), -32768, 32767).astype(np.int16)
        self._decoder.start_utt()
        self._decoder.process_raw(noisy.tobytes(), full_utt=True)
        self._decoder.end_utt()
        best = self._decoder.hyp()
        words = tuple(re.sub(r"\(\d+\)$", "", word) for word in best.hypstr.split()) if best else ()
        foreign = any(word in self._foreign or word.startswith(_GARBAGE) for word in words)
        return None if foreign else words


class PocketSphinxLoop(PocketSphinx):
    """The same with a loop of phones beside the grammar, so that it can refuse."""

    title = "pocketsphinx+loop"
    garbage = 1e-10
