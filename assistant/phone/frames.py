"""What crosses the phone's connection, and how much of it in what time: pure, no socket and no clock.

Sound goes both ways as 16-bit samples at SAMPLE_RATE, little-endian.  From the phone come frames of FRAME samples and small notes of what
it has played; anything else is a breach, after which the connection is closed.
"""

from __future__ import annotations

import json
from dataclasses import dataclass

import numpy as np

from assistant.speech.wav import SAMPLE_RATE, Samples

FRAME = SAMPLE_RATE // 50
"""Samples in a frame of the microphone: 20 ms."""
FRAME_BYTES = 2 * FRAME
MOST_NOTE = 64
"""Characters in a note."""
JITTER_MS = 80
"""What the phone waits for before it begins to play, so that late pieces leave no hole."""
MOST_PLAYED = 1 << 40
FRAMES_A_SECOND = 75.0
"""A microphone gives 50; a phone's clock may run fast, and what the network held back comes at once."""
BURST = 500.0
"""Frames that may come at once: ten seconds held back by the network."""
NOTES_A_SECOND = 25.0
NOTES_BURST = 100.0


class BreachError(Exception):
    """What came is nothing that our page sends."""


@dataclass(frozen=True, slots=True)
class Played:
    """A note of the phone: samples played since the connection began."""

    samples: int


def read_frame(data: bytes) -> Samples:
    """The samples of one frame, shape (FRAME,).  Raises BreachError for any other size."""
    if len(data) != FRAME_BYTES:
        raise BreachError(f"a frame of {len(data)} bytes")
    return np.frombuffer(data, "<i2").astype(np.int16)


def read_note(text: str) -> Played:
    """What the phone has played.  Raises BreachError for anything else."""
    if len(text) > MOST_NOTE:
        raise BreachError("a long note")
    try:
        note = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise BreachError("no note") from error
    match note:
        case {"played": int(samples), **rest} if not rest and type(samples) is int and 0 <= samples < MOST_PLAYED:
            return Played(samples)
    raise BreachError("another note")


class Pace:
    """How much may come: so many a second, and a burst at once (a bucket that fills with time)."""

    def __init__(self, a_second: float, burst: float, now: float) -> None:
        self._a_second, self._burst = a_second, burst
        self._left, self._at = burst, now

    def take(self, now: float) -> None:
        """One came at `now` (seconds).  Raises BreachError when it was one too many."""
        self._left = min(self._burst, self._left + (now - self._at) * self._a_second) - 1
        self._at = now
        if self._left < 0:
            raise BreachError("too much at once")
