"""Keeping what the microphone hears, only where the user asked for it.

Crosses the border: the blocks of the microphone go on unchanged, and into a WAV file that only its owner may read.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import soundfile

from assistant.errors import AudioError
from assistant.speech.devices import Block
from assistant.speech.live import Card
from assistant.speech.wav import SAMPLE_RATE

_REFUSED = "The sound cannot be kept in {}: choose another file for --keep-audio."


def keepable(path: Path) -> None:
    """See to it, before a job is begun, that sound can be kept in a file.  Raises AudioError."""
    try:
        os.close(os.open(path, os.O_WRONLY | os.O_CREAT, 0o600))
    except OSError as error:
        raise AudioError(_REFUSED.format(path)) from error


class KeepingCard:
    """A card whose microphone is written to a file as well, as long as that can be written."""

    def __init__(self, card: Card, path: Path, tell: Callable[[str], None]) -> None:
        """Opens the file anew; `tell` is told when no more can be kept.  Raises AudioError when it cannot be written."""
        self._card = card
        self.name = card.name
        self._path, self._tell = path, tell
        self._keeping = True
        self._frames = 0
        try:
            descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
            self._file = soundfile.SoundFile(descriptor, "w", SAMPLE_RATE, 1, "PCM_16", format="WAV", closefd=True)
        except (OSError, soundfile.LibsndfileError) as error:
            raise AudioError(_REFUSED.format(path)) from error

    def open(self) -> None:
        """Opens the card."""
        self._card.open()

    def read(self, seconds: float) -> Block | None:
        """The next block, kept before it is handed on."""
        block = self._card.read(seconds)
        if block is not None and self._keeping:
            try:
                self._file.write(block.samples)
                self._frames += len(block.samples)
            except (OSError, soundfile.LibsndfileError, RuntimeError):
                self._keeping = False  # the job goes on; of the sound, what is kept so far stays
                self._tell(f"No more sound can be kept in {self._path}: the disk is full or gone. The job goes on without.")
        return block

    @property
    def overruns(self) -> int:
        """As the card says."""
        return self._card.overruns

    @property
    def microphone_lost(self) -> bool:
        """As the card says."""
        return self._card.microphone_lost

    @property
    def loudspeaker_lost(self) -> bool:
        """As the card says."""
        return self._card.loudspeaker_lost

    @property
    def unheard(self) -> bool:
        """As the card says."""
        return self._card.unheard

    def close(self) -> None:
        """Closes the card; the file stays open for what comes after a loss."""
        self._card.close()

    def reopen(self) -> None:
        """Opens the card again.  Raises AudioError."""
        self._card.reopen()

    def finish(self) -> None:
        """Complete the file, as well as the disk allows; where that is not well, it is told."""
        with suppress(OSError, soundfile.LibsndfileError):
            self._file.close()
        try:
            whole = soundfile.info(str(self._path)).frames == self._frames
        except soundfile.LibsndfileError:
            whole = False
        if self._keeping and not whole:
            self._tell(f"The sound in {self._path} could not be completed: the disk is full or gone.")
