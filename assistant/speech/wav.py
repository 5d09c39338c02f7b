"""Sound files in and out.

Crosses the border: any sound file becomes mono 16-bit samples at 16 kHz, the one form used everywhere inside; samples
become a 16-bit WAV file.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
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
_PIECE = 65_536
"""Frames of a file that are read at a time."""
_MOST_CHANNELS = 32
_RATES = range(2_000, 400_000)
"""Samples a second; a damaged header asks for others, and for memory to match."""
_AT_LIMIT = 0.9999
_TOO_LOUD = 0.001
"""Share of samples at full scale from which words are misheard."""
_CANCELLED = 0.001
"""Power of the mix, as a share of the loudest channel's, below which the channels cancel each other out."""


def read_wav(path: Path, tell: Callable[[str], None] = lambda _: None) -> Samples:
    """The sound in a file (any rate, any number of channels, 16, 24 or 32 bit or float), mixed down to mono at 16 kHz.

    It is read piece by piece, so that an hour takes no more room than its samples.  `tell` is told what spoils it: parts too loud for the
    file, channels that cancel each other out (then one alone is taken).  Raises AudioError when the file is missing, empty or not sound.
    """
    if not path.exists():
        raise AudioError(f"there is no sound file {path}: check the name")
    if path.is_dir():
        raise AudioError(f"{path} is a folder: name the sound file in it")
    found = _mixed(path, None)
    if found.channels > 1 and found.power < _CANCELLED * found.powers.max():
        one = int(found.powers.argmax())
        tell(f"The channels of {path.name} cancel each other out: channel {one + 1} alone is taken. Check how the microphone is wired.")
        found = _mixed(path, one)
    if found.clipped > _TOO_LOUD:
        tell(f"{path.name} is too loud in places ({found.clipped:.1%} at the limit): words may be misheard. Record it with less gain.")
    return found.samples


@dataclass(frozen=True, slots=True)
class _Mixed:
    """A file's sound as one channel, and what it was like."""

    samples: Samples
    channels: int
    powers: NDArray[np.float64]
    """Mean square of each channel, full scale 1."""
    power: float
    """Mean square of the mix."""
    clipped: float
    """Share of the samples that stand at full scale."""


def _mixed(path: Path, channel: int | None) -> _Mixed:
    """The mean of all channels, or one alone.  Raises AudioError."""
    try:
        with soundfile.SoundFile(path) as file:
            rate, channels = file.samplerate, file.channels
            if channels > _MOST_CHANNELS or rate not in _RATES:
                raise AudioError(f"{path} is damaged: it says that it has {channels} channels and {rate} samples a second")
            stream = soxr.ResampleStream(rate, SAMPLE_RATE, 1, dtype="float64")
            parts: list[Samples] = []
            powers, power, clipped, count = np.zeros(channels), 0.0, 0, 0
            while len(sound := file.read(_PIECE, dtype="float64", always_2d=True)):
                if not np.isfinite(sound).all():
                    raise AudioError(f"{path} is damaged, it holds numbers that are no sound: record it again")
                mono = sound.mean(axis=1) if channel is None else sound[:, channel]
                parts.append(_samples(mono if rate == SAMPLE_RATE else stream.resample_chunk(mono)))
                powers += (sound**2).sum(axis=0)
                power += float((mono**2).sum())
                clipped += int((np.abs(sound).max(axis=1) >= _AT_LIMIT).sum())
                count += len(sound)
            if count and rate != SAMPLE_RATE:
                parts.append(_samples(stream.resample_chunk(np.zeros(0), last=True)))
    except (soundfile.LibsndfileError, OSError, TypeError, ValueError) as error:  # a TypeError is a .raw file, which tells no rate
        raise AudioError(f"{path} is not a sound file that can be read: give a WAV or FLAC file") from error
    if not count:
        raise AudioError(f"{path} holds no sound: record it again")
    return _Mixed(np.concatenate(parts), channels, powers / count, power / count, clipped / count)


def _samples(sound: NDArray[np.float64]) -> Samples:
    """Sound between -1 and 1 as samples; louder parts are clipped."""
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
