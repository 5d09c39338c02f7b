"""The second ear: a whole utterance heard once more, bound to what can be said, and ranked by meaning.

Crosses the border: samples and a graph of words come in, an `Opinion` goes out.  The only file that imports onnxruntime.
"""

from __future__ import annotations

import time
from collections import OrderedDict
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
import onnxruntime

from assistant.errors import ModelError
from assistant.speech.mel import log_mel
from assistant.speech.models import check_sums, second_ear
from assistant.speech.readings import Expected, Opinion, opinion
from assistant.speech.search import Posteriors
from assistant.speech.soundgraph import Lexicon, Phones, SoundGraph
from assistant.speech.wav import SAMPLE_RATE, Samples
from assistant.wordgraph import WordGraph

GRAPHS_KEPT = 12
"""Graphs of sounds that are kept, those last used."""
TRIAL_S = 3.0
"""Sound that a machine is tried with."""
SLOW_S = 0.4
"""A machine that takes longer for it answers too late; the search behind it takes as long again."""
_SHORTEST = 1600
"""Samples; less sound than this is no word."""
_STATES_KEPT = 200_000
"""A graph that has grown beyond so many states is begun anew."""


class SecondEar:
    """The network, its lexicon, and graphs of sounds by what can be said.  Use from one thread."""

    def __init__(self, folder: Path) -> None:
        """Loads the folder (ear.onnx, phones.txt, lexicon.txt).  Raises ModelError when it cannot be loaded."""
        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = options.inter_op_num_threads = 1
        options.log_severity_level = 3
        try:
            check_sums(folder)
            names = (folder / "phones.txt").read_text(encoding="utf-8").split()
            self.lexicon = read_lexicon((folder / "lexicon.txt").read_text(encoding="utf-8").splitlines(), names)
            self._session = onnxruntime.InferenceSession(str(folder / "ear.onnx"), options, providers=["CPUExecutionProvider"])
        except Exception as error:  # the runtime raises classes of its own, which it does not export
            raise ModelError(f"the second ear {folder} cannot be loaded ({error}): it is done without") from error
        self._graphs: OrderedDict[tuple[int, tuple[str, ...]], tuple[WordGraph, SoundGraph]] = OrderedDict()

    def posteriors(self, samples: Samples) -> Posteriors:
        """(frames, 40) log probabilities, 50 frames a second."""
        if len(samples) < _SHORTEST:
            samples = np.pad(samples, (0, _SHORTEST - len(samples)))
        (raw,) = self._session.run(["y"], {"mel": log_mel(samples)[None]})
        logits = raw[0].astype(np.float64)
        top = logits.max(axis=1, keepdims=True)
        normed = logits - top - np.log(np.exp(logits - top).sum(axis=1, keepdims=True))
        found: Posteriors = normed.astype(np.float32)
        return found

    def hear(self, samples: Samples, expected: Expected, decoys: Sequence[str]) -> Opinion:
        """What was said, out of what is expected and the decoys, each of which means that nothing was said to us."""
        return opinion(self.posteriors(samples), self.sounds(expected.graph, tuple(decoys)), expected, decoys)

    def delay(self) -> float:
        """Seconds of this processor that TRIAL_S of sound take, the best of two: the first is slower everywhere.

        Not those of the clock: what else runs while a job begins says nothing about the hours after it.
        """
        sound = np.rint(np.random.default_rng(1).normal(0, 500, round(TRIAL_S * SAMPLE_RATE))).astype(np.int16)
        taken = []
        for _ in range(2):
            begun = time.thread_time()
            self.posteriors(sound)
            taken.append(time.thread_time() - begun)
        return min(taken)

    def sounds(self, graph: WordGraph, decoys: tuple[str, ...]) -> SoundGraph:
        """The graph and the decoys by their sounds; kept, so that what was once worked out stays so."""
        key = (id(graph), decoys)
        kept = self._graphs.pop(key, None)
        if kept is None or kept[1].states > _STATES_KEPT:
            kept = (graph, SoundGraph(graph.beside(decoys), self.lexicon))
        self._graphs[key] = kept
        while len(self._graphs) > GRAPHS_KEPT:
            self._graphs.popitem(last=False)
        return kept[1]


def open_second_ear(tell: Callable[[str], None], *, hurried: bool = True) -> SecondEar | None:
    """The second ear that ships with the assistant; None, and why is told, where it cannot be loaded or, hurried, this machine is too slow.

    Who hears a recording is in no hurry, and hears the same on every machine.
    """
    try:
        ear = SecondEar(second_ear())
    except ModelError as error:
        tell(f"{error}.")
        return None
    took = ear.delay() if hurried else 0.0
    if took > SLOW_S:
        tell(f"This machine is too slow for the second ear ({took:.1f} s for {TRIAL_S:.0f} s of sound): the first hears alone.")
        return None
    return ear


def read_lexicon(lines: Sequence[str], names: Sequence[str]) -> Lexicon:
    """Pronunciations from lines "word PHONE PHONE"; the phonemes' numbers are their places in ``names``.  Raises ValueError."""
    number = {name: at for at, name in enumerate(names)}
    found: dict[str, list[Phones]] = {}
    for line in lines:
        word, *phones = line.split()
        if not set(phones) <= number.keys():
            raise ValueError(f"a phoneme of {word!r} is not in phones.txt")
        found.setdefault(word, []).append(tuple(number[phone] for phone in phones))
    return {word: tuple(all_of) for word, all_of in found.items()}
