"""What is to be heard, handed out to the loudspeaker in the pieces it asks for.

Crosses the border: samples in from the session, samples out to the device's thread.  No clock and no device of its own: the
device says when each piece will have been heard.
"""

from __future__ import annotations

import threading
from collections import deque

import numpy as np

from assistant.speech.wav import SAMPLE_RATE, Samples


class Player:
    """A queue of sounds.  ``play``, ``stop`` and the properties belong to the session, ``fill`` to the device."""

    def __init__(self) -> None:
        self.volume = 1.0
        """Factor on everything that is played from now on."""
        self.stops = 0
        """How often it was told to stop: a device that holds more than a moment of sound then has to forget it."""
        self._lock = threading.Lock()
        self._waiting: deque[Samples] = deque()
        self._heard_until = 0.0
        self._begun: float | None = None

    def play(self, samples: Samples) -> None:
        """Puts a sound behind those that wait."""
        louder = np.clip(samples * self.volume, -32768, 32767).astype(np.int16)
        with self._lock:
            if not self._waiting:
                self._begun = None
            self._waiting.append(louder)

    def stop(self, now: float) -> None:
        """Forgets everything that waits.  What the device holds is still heard, about 40 ms: stopping the stream as well
        would save those, but a stream that starts again can keep silent for a second or more (seen with PulseAudio).
        """
        with self._lock:
            self._waiting.clear()
            self.stops += 1
            self._heard_until = min(self._heard_until, now)

    def fill(self, piece: Samples, heard_at: float) -> int:
        """Fills a piece in place; its first sample will be heard at ``heard_at`` (seconds on the session's clock).  The samples that were
        there; the rest is silence.
        """
        filled = 0
        with self._lock:
            while self._waiting and filled < len(piece):
                head = self._waiting[0]
                part = head[: len(piece) - filled]
                piece[filled : filled + len(part)] = part
                filled += len(part)
                if len(part) == len(head):
                    self._waiting.popleft()
                else:
                    self._waiting[0] = head[len(part) :]
            if filled:
                self._begun = heard_at if self._begun is None else self._begun
                self._heard_until = heard_at + filled / SAMPLE_RATE
        piece[filled:] = 0
        return filled

    def delayed(self, until: float) -> None:
        """The device has found that what it holds will be heard to its end later than it said."""
        with self._lock:
            self._heard_until = max(self._heard_until, until)

    def speaking(self, now: float) -> bool:
        """Whether something is still to be heard."""
        with self._lock:
            return bool(self._waiting) or now < self._heard_until

    @property
    def ended(self) -> float:
        """When the last sound was, or will be, heard to its end."""
        return self._heard_until

    @property
    def begun(self) -> float | None:
        """When the first sample since the queue was last empty was heard; None while it has not been handed out."""
        return self._begun
