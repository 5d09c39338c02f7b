"""Keeping what the microphone hears, only where the user asked for it.

Crosses the border: the blocks of the microphone go on unchanged, and into a WAV file that only its owner may read.
"""

from __future__ import annotations

import os
from pathlib import Path

import soundfile

from assistant.errors import AudioError
from assistant.speech.devices import Block, SoundCard
from assistant.speech.player import Player
from assistant.speech.wav import SAMPLE_RATE


class KeepingCard(SoundCard):
    """A sound card that writes what its microphone hears to a file."""

    def __init__(self, microphone: str | None, loudspeaker: str | None, player: Player, path: Path) -> None:
        """Opens the file anew.  Raises AudioError when it cannot be written."""
        super().__init__(microphone, loudspeaker, player)
        try:
            descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
            self._file = soundfile.SoundFile(descriptor, "w", SAMPLE_RATE, 1, "PCM_16", format="WAV", closefd=True)
        except (OSError, soundfile.LibsndfileError) as error:
            raise AudioError(f"The sound cannot be kept in {path}: choose another file for --keep-audio.") from error

    def read(self, seconds: float) -> Block | None:
        """The next block, kept before it is handed on."""
        block = super().read(seconds)
        if block is not None:
            self._file.write(block.samples)
        return block

    def finish(self) -> None:
        """Complete the file."""
        self._file.close()
