"""Between a device that has a rate and channels of its own and the one kind of sound that is used inside.

Crosses the border: pieces as the device hands them over, (frames, channels) 16-bit at its rate; mono samples at SAMPLE_RATE inside.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import soxr
from numpy.typing import NDArray

from assistant.speech.wav import SAMPLE_RATE, Samples

_FRONT = 2
"""Channels that are played to: with more, the first two are left and right in front, and one of the others shakes the floor."""
_CANCELLED = 0.1
"""Where the mix of all channels has a smaller share of the power of the loudest, they cancel each other."""
_LEAST = 16
"""Samples that are brought to another rate at a time."""


@dataclass(frozen=True, slots=True)
class DeviceFormat:
    """How a device is opened."""

    rate: int
    """Samples a second."""
    channels: int


OURS = DeviceFormat(SAMPLE_RATE, 1)


def formats(device: dict[str, Any], most: int) -> Iterator[DeviceFormat]:
    """What to try, ours first: a sound server takes it from every device, a bare device only what it can do itself.

    `device` is what the sound library says of it, `most` the channels it has.
    """
    rates = dict.fromkeys((SAMPLE_RATE, round(device["default_samplerate"]), 48_000, 44_100, 32_000, 22_050, 8_000))
    channels = dict.fromkeys(number for number in (1, 2, most) if number <= most)
    for rate in rates:
        for number in channels:
            yield DeviceFormat(rate, number)


class _Rate:
    """Sound brought from one rate to another, piece by piece; silence stays silence, for a dead microphone is known by its zeros."""

    def __init__(self, before: int, after: int) -> None:
        self._stream = None if before == after else soxr.ResampleStream(before, after, 1, dtype="float32")

    def changed(self, samples: Samples) -> Samples:
        """The next piece; empty while too little has come in."""
        if self._stream is None:
            return samples
        found = self._stream.resample_chunk(samples.astype(np.float32))
        whole: Samples = np.clip(np.rint(found), -32768, 32767).astype(np.int16)
        return whole


class Incoming:
    """What a microphone gives, as sound that is used inside."""

    def __init__(self, form: DeviceFormat) -> None:
        self._rate = _Rate(form.rate, SAMPLE_RATE)

    def taken(self, data: NDArray[np.int16]) -> Samples:
        """The next piece; empty while too little has come in."""
        return self._rate.changed(_mono(data))


def _mono(data: NDArray[np.int16]) -> Samples:
    """The mean of the channels, or the loudest alone where they cancel each other."""
    if data.shape[1] == 1:
        alone: Samples = data[:, 0].copy()
        return alone
    sound = data.astype(np.float64)
    mono = sound.mean(axis=1)
    powers = (sound**2).mean(axis=0)
    if (mono**2).mean() < _CANCELLED * powers.max():
        mono = sound[:, int(powers.argmax())]
    mixed: Samples = np.rint(mono).astype(np.int16)
    return mixed


class Outgoing:
    """What is used inside, as a loudspeaker wants it."""

    def __init__(self, form: DeviceFormat, fill: Callable[[Samples, float], object]) -> None:
        """`fill` fills a piece in place, whose first sample is heard at the time (seconds) that it is given."""
        self._form, self._fill = form, fill
        self._rate = _Rate(SAMPLE_RATE, form.rate)
        self._ready: Samples = np.zeros(0, dtype=np.int16)

    def give(self, data: NDArray[np.int16], heard_at: float) -> None:
        """Fill the next piece of the device, whose first sample is heard at a time in seconds."""
        if self._form == OURS:
            self._fill(data[:, 0], heard_at)
            return
        while (lacking := len(data) - len(self._ready)) > 0:
            piece: Samples = np.zeros(max(_LEAST, round(lacking * SAMPLE_RATE / self._form.rate)), dtype=np.int16)
            self._fill(piece, heard_at + len(self._ready) / self._form.rate)
            self._ready = np.concatenate([self._ready, self._rate.changed(piece)])
        data[:] = 0
        data[:, :_FRONT] = self._ready[: len(data), None]
        self._ready = self._ready[len(data) :]
