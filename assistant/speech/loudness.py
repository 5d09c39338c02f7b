"""How loud the sound is, frame by frame: tells speech from a stretch that holds no more than the background.

Crosses the border: blocks of samples in, levels (root mean square, in 16-bit steps) out.
"""

from __future__ import annotations

from collections import deque

import numpy as np

from assistant.speech.wav import SAMPLE_RATE, Samples

FRAME = 400
"""Samples in one frame: 25 ms."""
FAINTEST = 40.0
"""A frame below this level (-58 dBFS) is never speech."""
ABOVE_BACKGROUND = 1.5
"""Speech stands out of a steady background by at least this factor (3.5 dB)."""
QUIET = 0.03
"""A frame this much fainter than the loudest of the last seconds (-30 dB) is quiet whatever the background."""
NEAR_BACKGROUND = 2.0
"""A frame no louder than this many times the background (6 dB) is quiet."""
UNSTEADY = 4.0
QUIET_IN_NOISE = 0.2
"""In noise that comes and goes, a frame up to UNSTEADY times the background (12 dB) is quiet too, as long as it stays this
far below the loudest (-14 dB)."""
SAME_SPEAKER = 0.3
"""Speech that goes on is at least this loud beside what went before (-10 dB)."""
_MEMORY_S = 30.0
_LAST_SECONDS = 4.0


class Loudness:
    """Levels of the last half minute, on the time of the samples fed."""

    def __init__(self) -> None:
        self._levels: deque[float] = deque(maxlen=round(_MEMORY_S * SAMPLE_RATE / FRAME))
        self._frames = 0
        self._rest: Samples = np.zeros(0, dtype=np.int16)

    def feed(self, samples: Samples) -> None:
        """Takes the next samples."""
        samples = np.concatenate([self._rest, samples])
        whole = len(samples) // FRAME
        self._rest = samples[whole * FRAME :]
        frames = samples[: whole * FRAME].reshape(whole, FRAME).astype(np.float64)
        self._levels.extend(np.sqrt((frames**2).mean(axis=1)).tolist())
        self._frames += whole

    def background(self) -> float:
        """The level that nine frames in ten exceed."""
        return float(np.percentile(self._levels, 10)) if self._levels else 0.0

    def is_speech(self, start: float, end: float) -> bool:
        """Whether the stretch between two seconds is loud enough to be speech."""
        loudest = self._loudest(start, end)
        return loudest >= FAINTEST and loudest >= ABOVE_BACKGROUND * self.background()

    def is_as_loud(self, start: float, end: float, speech_start: float, speech_end: float) -> bool:
        """Whether the first stretch can be the same speaker's speech as the second."""
        return self.is_speech(start, end) and (self._loudest(start, end) >= SAME_SPEAKER * self._loudest(speech_start, speech_end))

    def speech_end(self, start: float, end: float) -> float:
        """When the speech between two seconds was over: the end of its last frame that is not quiet."""
        first, levels = self._between(start, end)
        limit = self._surely_quiet_below(max(levels, default=0.0))
        loud = [number for number, level in enumerate(levels) if level >= limit]
        return min(end, (first + loud[-1] + 1) * FRAME / SAMPLE_RATE) if loud else end

    def quiet_for(self, seconds: float) -> bool:
        """Whether the last so many seconds hold nothing but the background."""
        frames = round(seconds * SAMPLE_RATE / FRAME)
        levels = list(self._levels)[-round(_LAST_SECONDS * SAMPLE_RATE / FRAME) :]
        return len(levels) >= frames and max(levels[-frames:]) < self._quiet_below(max(levels))

    def _quiet_below(self, loudest: float) -> float:
        """The level under which a frame is quiet, when the speech around it is as loud as this."""
        return max(self._surely_quiet_below(loudest), min(UNSTEADY * self.background(), QUIET_IN_NOISE * loudest))

    def _surely_quiet_below(self, loudest: float) -> float:
        """Likewise, but so that a weak syllable in noise is not taken for quiet."""
        return max(FAINTEST, NEAR_BACKGROUND * self.background(), QUIET * loudest)

    def _loudest(self, start: float, end: float) -> float:
        return max(self._between(start, end)[1], default=0.0)

    def _between(self, start: float, end: float) -> tuple[int, list[float]]:
        """(number of the first frame, levels) of what is remembered between two seconds; at least one frame."""
        first = self._frames - len(self._levels)
        begin = max(0, int(start * SAMPLE_RATE / FRAME) - first)
        finish = max(begin + 1, int(end * SAMPLE_RATE / FRAME) + 1 - first)
        return first + begin, list(self._levels)[begin:finish]
