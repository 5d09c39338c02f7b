"""The phone as a sound device: the same face as a sound card's, with the network where the wires would be.

Crosses the border: frames of the phone's microphone come in from the server's thread, pieces of the player go out to it; blocks go to the
session's thread.  The phone plays what is sent a little ahead of time, so the card reckons when each piece will be heard.
"""

from __future__ import annotations

import queue
import threading
import time
from dataclasses import dataclass

import numpy as np

from assistant.errors import AudioError
from assistant.phone.frames import FRAME, JITTER_MS, Played
from assistant.speech.devices import Block
from assistant.speech.player import Player
from assistant.speech.wav import BLOCK, SAMPLE_RATE, Samples

LOST_AFTER_S = 2.0
"""A phone from which no sound has come for this long is gone; a lost packet on a poor network costs less than a second."""
AHEAD_S = 0.5
"""How much more than is being heard the phone holds, so that a network that stands still for a moment is not heard."""
WAY_S = 0.03
"""From here to the phone, until it has told better."""
_LATEST = 400
"""Blocks that wait for the session (20 s); older ones are given up."""


@dataclass(frozen=True, slots=True)
class Piece:
    """What the phone is to do next: forget what it holds, then play these samples."""

    forget: bool
    samples: Samples


class PhoneCard:
    """One phone as microphone and loudspeaker; `open` and `read` belong to the session, the rest to the server."""

    name = "the phone"

    def __init__(self, player: Player) -> None:
        self._player = player
        self._blocks: queue.Queue[Block] = queue.Queue(_LATEST)
        self._lock = threading.Lock()
        self._came = threading.Event()
        self._rest: list[Samples] = []
        self._last = 0.0
        self._until = 0.0
        self._sent = 0
        self._stops = player.stops
        self.overruns = 0
        """How often sound was lost because nobody fetched it in time."""

    # The session's side ---------------------------------------------------------------------------------------------

    def open(self) -> None:
        """Waits until the phone is there."""
        while not self._came.wait(0.2):
            pass

    def read(self, seconds: float) -> Block | None:
        """The next block; None when none came in that time."""
        try:
            block = self._blocks.get(timeout=seconds)
        except queue.Empty:
            return None
        self.overruns += block.overrun
        return block

    @property
    def microphone_lost(self) -> bool:
        """Whether the phone is gone, or sends nothing."""
        return not self._came.is_set() or time.monotonic() - self._last > LOST_AFTER_S

    @property
    def loudspeaker_lost(self) -> bool:
        """The same: they are lost together."""
        return self.microphone_lost

    @property
    def unheard(self) -> bool:
        """Whether the last words were cut off: they were to be heard after the phone was heard of last."""
        return self._until > self._last

    def close(self) -> None:
        """Forgets sound that was not fetched."""
        while self.read(0) is not None:
            pass

    def reopen(self) -> None:
        """Raises AudioError while the phone is not there."""
        if self.microphone_lost:
            raise AudioError("the phone is not connected: open the page on it once more")
        self.close()

    # The server's side ----------------------------------------------------------------------------------------------

    def connected(self) -> None:
        """The phone is there, holds nothing and has sent nothing."""
        with self._lock:
            self._rest.clear()
            self._sent, self._until = 0, 0.0
            self._stops = self._player.stops
        self._last = time.monotonic()
        self._came.set()

    def disconnected(self) -> None:
        """The phone is gone."""
        self._came.clear()

    def take(self, samples: Samples) -> None:
        """One frame of the microphone."""
        self._last = time.monotonic()
        self._rest.append(samples)
        if sum(map(len, self._rest)) < BLOCK:
            return
        held = np.concatenate(self._rest)
        self._rest = [held[BLOCK:]]
        overrun = self._blocks.full()
        if overrun:  # the session is far behind: what is oldest is of no use any more
            self._blocks.get_nowait()
        self._blocks.put_nowait(Block(held[:BLOCK], self._last, overrun))

    def give(self) -> Piece | None:
        """What the phone is to do now; None when it has enough.  To be asked some fifty times a second."""
        now = time.monotonic()
        with self._lock:
            forget = self._stops != self._player.stops
            if forget:
                self._stops, self._until = self._player.stops, now
            pieces = []
            while self._until < now + AHEAD_S:
                begin = self._until if self._until > now else now + WAY_S + JITTER_MS / 1000
                piece = np.zeros(FRAME, np.int16)
                filled = self._player.fill(piece, begin)
                if not filled:
                    break
                self._until = begin + filled / SAMPLE_RATE
                self._sent += filled
                pieces.append(piece[:filled])
            if not pieces and not forget:
                return None
            return Piece(forget, np.concatenate(pieces) if pieces else np.zeros(0, np.int16))

    def played(self, note: Played) -> None:
        """The phone tells how far it is: what it has not played yet will be heard later than was reckoned."""
        with self._lock:
            left = max(0, self._sent - note.samples) / SAMPLE_RATE
            heard = time.monotonic() + left
            if left and heard > self._until:
                self._until = heard
                self._player.delayed(heard)
