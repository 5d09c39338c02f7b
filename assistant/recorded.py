"""The bundled recording of a whole job, said line by line: what was not taken is said again, as people on a site do.

Crosses the border: the recording and its manifest come in, samples go to whoever listens, and what was made of them comes back.  He who
speaks knows whether he was understood, refused or asked once more, and nothing else; he does not check what was taken.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from assistant.events import Utterance
from assistant.speech.models import data_dir
from assistant.speech.wav import SAMPLE_RATE, Samples, read_wav, silence

TRIES = 6
"""So often a line is said at most."""
PATIENCE_S = 2.5
"""So long he waits behind a line for an answer."""
_STEP_S = 0.1
_ELSEWHERE_S = 7.3
"""So much later in the noise a line is said again: noise does not come twice the same."""

Hear = Callable[[Samples], list[Utterance]]


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the recording."""

    start: float
    """Seconds."""
    end: float
    for_us: bool
    """Whether it is said to the assistant."""


@dataclass(frozen=True, slots=True)
class RecordedBuilder:
    """Whoever speaks in the recording."""

    sound: Samples
    noise: Samples
    """What the site adds to it; as long."""
    lines: tuple[Line, ...]

    def build(self, hear: Hear) -> None:
        """Says every line to `hear`, which takes sound and gives the utterances that ended in it, until it is taken."""
        for line, (begin, end) in zip(self.lines, self._pieces(), strict=True):
            for one in range(TRIES):
                heard = hear(self._piece(begin, end, one))
                waited = 0.0
                while not heard and waited < PATIENCE_S:
                    heard = hear(self._quiet(end, waited))
                    waited += _STEP_S
                if not line.for_us or any(utterance.understood and not utterance.doubt for utterance in heard):
                    break

    def _pieces(self) -> Iterator[tuple[int, int]]:
        """Where each line's piece begins and ends: they lie side by side, and part in the middle of the pauses."""
        middles = [(one.end + other.start) / 2 for one, other in pairwise(self.lines)]
        edges = [0, *(round(middle * SAMPLE_RATE) for middle in middles), len(self.sound)]
        return pairwise(edges)

    def _piece(self, begin: int, end: int, one: int) -> Samples:
        return _sum(self.sound[begin:end], self._noise(begin + one * round(_ELSEWHERE_S * SAMPLE_RATE), end - begin))

    def _quiet(self, end: int, waited: float) -> Samples:
        quiet = silence(_STEP_S)
        return _sum(quiet, self._noise(end + round(waited * SAMPLE_RATE), len(quiet)))

    def _noise(self, begin: int, count: int) -> Samples:
        return self.noise[(begin + np.arange(count)) % len(self.noise)]


def recorded_builder(noisy: bool) -> RecordedBuilder:
    """The builder of the bundled job, in the quiet or on a noisy site."""
    folder = data_dir("audio_fixtures", "job")
    sound = read_wav(folder / "job.flac")
    noise = _beside(sound.astype(float), read_wav(folder / "site.flac").astype(float)) if noisy else np.zeros_like(sound)
    entries = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))["utterances"]
    return RecordedBuilder(sound, noise, tuple(Line(entry["start"], entry["end"], bool(entry["words"])) for entry in entries))


def _beside(sound: NDArray[np.float64], site: NDArray[np.float64]) -> Samples:
    """What a noisy recording holds beside the quiet one, which may be louder or softer in it."""
    noise = site / ((sound @ site) / (sound @ sound)) - sound
    return np.clip(np.rint(noise), -32768, 32767).astype(np.int16)


def _sum(one: Samples, other: Samples) -> Samples:
    both: Samples = np.clip(one.astype(np.int32) + other, -32768, 32767).astype(np.int16)
    return both
