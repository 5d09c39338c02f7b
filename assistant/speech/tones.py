"""Three short signals of our own, told apart by their melody alone: listening, got it, did not catch that."""

from __future__ import annotations

import numpy as np

from assistant.events import Tone
from assistant.speech.wav import SAMPLE_RATE, Samples

_LEVEL = 0.25 * 32767
_EDGE_S = 0.008


def _melody(*notes: tuple[float, float]) -> Samples:
    """Notes (hertz, seconds) one after another, each with soft edges and a faint octave."""
    parts = []
    for hertz, seconds in notes:
        time = np.arange(round(seconds * SAMPLE_RATE)) / SAMPLE_RATE
        edges = np.minimum(1.0, np.minimum(time, time[::-1]) / _EDGE_S)
        wave = np.sin(2 * np.pi * hertz * time) + 0.25 * np.sin(4 * np.pi * hertz * time)
        parts.append(wave * edges / 1.25)
    return np.rint(np.concatenate(parts) * _LEVEL).astype(np.int16)


LISTENING = _melody((660, 0.07), (990, 0.07))
"""Rises: it is your turn."""
GOT_IT = _melody((880, 0.06))
"""One short note: done, there is nothing to say."""
NOT_CAUGHT = _melody((440, 0.10), (330, 0.14))
"""Falls: that was not understood."""
SIGNALS = {Tone.GOT_IT: GOT_IT, Tone.NOT_CAUGHT: NOT_CAUGHT}
"""What is played in place of words."""
