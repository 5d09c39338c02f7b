"""Invented builders who speak: phrases by offline voices that no model was trained on, and the noise of the site they stand on.

Needed: what audio_fixtures/make_fixtures.py needs.  What was once rendered is kept in a folder of the system's temporary directory.
"""

from __future__ import annotations

import hashlib
import os
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path
from random import Random

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "audio_fixtures"))

from make_fixtures import LEVEL, VOICES, line
from site_noise import noise_bed

KEPT = Path(tempfile.gettempdir()) / "site-assistant-voices"
SAMPLE = ("two thousand one hundred and forty five", "no more bays", "eighteen fifteen", "gap confirmed", "next")
"""What tells how loud a voice is."""

PACE = (0.95, 1.05)

Samples = NDArray[np.int16]


def voice(name: str, words: str) -> Samples:
    """A phrase, from the beginning of its first word to the end of its last."""
    path = KEPT / name / f"{hashlib.sha1(words.encode()).hexdigest()}.npy"
    if path.exists():
        return np.load(path)
    samples = np.rint(line({"voice": name, "say": words}) * 32767).astype(np.int16)
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_suffix(f".{os.getpid()}.npy")
    np.save(part, samples)
    part.replace(path)
    return samples


def speech_level(name: str) -> float:
    """Root mean square of a voice while it speaks: of the frames that are not pauses."""
    sound = np.concatenate([voice(name, words) for words in SAMPLE]).astype(np.float64)
    frames = sound[: len(sound) // 400 * 400].reshape(-1, 400)
    levels = np.sqrt((frames**2).mean(axis=1))
    spoken = levels[levels > 0.1 * np.percentile(levels, 95)]
    return float(np.sqrt((spoken**2).mean()))


@dataclass(frozen=True)
class Site:
    """A voice, and noise that goes round and round so many decibels below it."""

    voice: str
    decibels: float
    noise: Samples

    @staticmethod
    def of(name: str, decibels: float, seed: int, seconds: float = 60.0) -> Site:
        """The noise is made from a seed; its level is that of the whole bed, so a saw or a hammer stands well above it."""
        level = speech_level(name) / 10 ** (decibels / 20)
        return Site(name, decibels, np.rint(noise_bed(seconds, seed) * level).clip(-32768, 32767).astype(np.int16))

    def say(self, words: str, random: Random) -> Samples:
        """A phrase without the noise, a little slower and deeper or faster and higher each time: nobody says a thing twice alike."""
        sound = voice(self.voice, words).astype(np.float64)
        pace = random.uniform(*PACE)
        return np.rint(np.interp(np.arange(0, len(sound) - 1, pace), np.arange(len(sound)), sound)).astype(np.int16)


__all__ = ["LEVEL", "VOICES", "Samples", "Site", "speech_level", "voice"]
