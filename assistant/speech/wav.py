"""Sound files in and out.

Crosses the border: any sound file becomes mono 16-bit samples at 16 kHz, the one form used everywhere inside; samples
become a 16-bit WAV file.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TypeAlias

import numpy as np
import soundfile
import soxr
from numpy.typing import NDArray

from assistant.errors import AudioError

Samples: TypeAlias = NDArray[np.int16]
"""Mono sound at SAMPLE_RATE, shape (n,), full scale ±32768."""

SAMPLE_RATE = 16_000
"""Samples a second, everywhere inside."""
BLOCK = 800
"""Samples in one block: 50 ms."""

_FULL_SCALE = 32768


def read_wav(path: Path) -> Samples:
    """The sound in a file (any rate, any number of channels, 16, 24 or 32 bit or float), mixed down to mono at 16 kHz.

    Raises AudioError when the file is missing, empty or not sound.
    """
    if not path.exists():
        raise AudioError(f"there is no sound file {path}: check the name")
    if path.is_dir():
        raise AudioError(f"{path} is a folder: name the sound file in it")
    try:
        sound, rate = soundfile.read(path, dtype="float64", always_2d=True)
    except (soundfile.LibsndfileError, OSError) as error:
        raise AudioError(f"{path} is not a sound file that can be read: give a WAV or FLAC file") from error
    if not len(sound):
        raise AudioError(f"{path} holds no sound: record it again")
    if not np.isfinite(sound).all():
        raise AudioError(f"{path} is damaged, it holds numbers that are no sound: record it again")
    return from_float(sound.mean(axis=1), rate)


def from_float(sound: NDArray[np.float64], rate: int) -> Samples:
    """Mono sound between -1 and 1 at any rate, as samples at 16 kHz; louder parts are clipped."""
    if rate != SAMPLE_RATE:
        sound = soxr.resample(sound, rate, SAMPLE_RATE)
    return _clipped(np.rint(sound * _FULL_SCALE))


def write_wav(path: Path, samples: Samples) -> None:
    """Writes samples as a 16-bit mono WAV file at 16 kHz.  Raises AudioError when the place cannot be written."""
    try:
        soundfile.write(path, samples, SAMPLE_RATE, subtype="PCM_16", format="WAV")
    except (soundfile.LibsndfileError, OSError) as error:
        raise AudioError(f"cannot write {path}: check the folder and the free space") from error


def blocks(samples: Samples, size: int = BLOCK) -> Iterator[Samples]:
    """The samples in pieces of ``size``; the last may be shorter."""
    for start in range(0, len(samples), size):
        yield samples[start : start + size]


def silence(seconds: float) -> Samples:
    """That much silence."""
    return np.zeros(round(seconds * SAMPLE_RATE), dtype=np.int16)


def mix_at(parts: Sequence[tuple[float, Samples]]) -> Samples:
    """Sounds laid on one timeline, each from its second on; where they overlap they add up (clipped)."""
    starts = [round(second * SAMPLE_RATE) for second, _ in parts]
    length = max((start + len(part) for start, (_, part) in zip(starts, parts, strict=True)), default=0)
    total = np.zeros(length, dtype=np.int32)
    for start, (_, part) in zip(starts, parts, strict=True):
        total[start : start + len(part)] += part
    return _clipped(total)


def _clipped(sound: NDArray[np.float64] | NDArray[np.int32]) -> Samples:
    return np.clip(sound, -_FULL_SCALE, _FULL_SCALE - 1).astype(np.int16)
