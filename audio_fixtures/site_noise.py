"""Building-site noise made from a seed: wind, a circular saw, a hammer and a generator, none of it recorded.

``noise_bed(seconds, seed)`` gives float samples at 16 kHz with a root mean square of 1; ``add_noise`` lays it under
speech at a signal-to-noise ratio that counts only the parts where somebody speaks.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

RATE = 16_000
Sound = NDArray[np.float64]


def noise_bed(seconds: float, seed: int) -> Sound:
    """The whole site: wind and a generator all the time, the saw and the hammer now and then."""
    random = np.random.default_rng(seed)
    count = round(seconds * RATE)
    bed = 0.7 * _wind(count, random) + 0.35 * _generator(count, random)
    bed = bed + 0.9 * _saw(count, random) + 0.8 * _hammer(count, random)
    return bed / np.sqrt((bed**2).mean())


def add_noise(speech: NDArray[np.int16], decibels: float, seed: int) -> NDArray[np.int16]:
    """Speech with the site behind it, so many decibels quieter than the speech is while somebody speaks."""
    sound = speech.astype(np.float64)
    frames = np.lib.stride_tricks.sliding_window_view(sound, 400)[::400]
    levels = np.sqrt((frames**2).mean(axis=1))
    spoken = levels[levels > 0.1 * np.percentile(levels, 95)]
    bed = noise_bed(len(sound) / RATE, seed) * np.sqrt((spoken**2).mean()) / 10 ** (decibels / 20)
    mixed = sound + bed
    return np.rint(mixed * min(1.0, 32000 / np.abs(mixed).max())).astype(np.int16)


def _unit(sound: Sound) -> Sound:
    return sound / (np.sqrt((sound**2).mean()) + 1e-12)


def _shaped(count: int, random: np.random.Generator, low: float, high: float, tilt: float) -> Sound:
    """Noise between two frequencies whose power falls by ``tilt`` (1: pink, 2: red)."""
    spectrum = np.fft.rfft(random.normal(size=count))
    hertz = np.fft.rfftfreq(count, 1 / RATE)
    gain = np.where((hertz >= low) & (hertz <= high), np.maximum(hertz, low) ** (-tilt / 2), 0.0)
    return _unit(np.fft.irfft(spectrum * gain, count))


def _swell(count: int, random: np.random.Generator, hertz: float) -> Sound:
    """A slow random rise and fall between 0 and 1, about ``hertz`` times a second."""
    points = random.uniform(size=max(3, int(count / RATE * hertz) + 3))
    return np.interp(np.linspace(0, len(points) - 1, count), np.arange(len(points)), points)


def _wind(count: int, random: np.random.Generator) -> Sound:
    return _unit(_shaped(count, random, 30, 2500, 1.8) * (0.3 + _swell(count, random, 0.7)))


def _generator(count: int, random: np.random.Generator) -> Sound:
    seconds = np.arange(count) / RATE
    drift = 2 * np.pi * np.cumsum(50 + 0.8 * (_swell(count, random, 1.5) - 0.5)) / RATE
    hum = sum(np.sin(k * drift + random.uniform(0, 6)) / k**0.8 for k in (1, 2, 3, 4, 6, 8, 12))
    return _unit(hum * (1 + 0.3 * np.sin(2 * np.pi * 12.5 * seconds)) + 0.5 * _shaped(count, random, 100, 4000, 1.0))


def _saw(count: int, random: np.random.Generator) -> Sound:
    """Cuts of one to three seconds: motor whine, teeth and the rush of the cut, slower under load."""
    total = np.zeros(count)
    at = int(random.uniform(1, 4) * RATE)
    while at < count:
        length = min(int(random.uniform(1, 3) * RATE), count - at)
        load = np.hanning(length) if length > 1 else np.ones(length)
        turn = 2 * np.pi * np.cumsum(340 - 60 * load) / RATE
        whine = np.sin(turn) + 0.6 * np.sin(2 * turn) + 0.5 * np.sin(7 * turn) + 0.3 * np.sin(11 * turn)
        cut = _shaped(max(length, 2), random, 800, 7000, 0.3)[:length] * load * 1.5
        total[at : at + length] += (whine * 0.5 + cut) * np.minimum(1, np.arange(length) / (0.2 * RATE))
        at += length + int(random.uniform(3, 8) * RATE)
    return _unit(total)


def _hammer(count: int, random: np.random.Generator) -> Sound:
    """Series of four to seven blows: a click and the ring of the board."""
    total = np.zeros(count)
    ring = np.arange(int(0.18 * RATE)) / RATE
    at = int(random.uniform(0.5, 3) * RATE)
    while at < count:
        for _ in range(random.integers(4, 8)):
            blow = sum(np.exp(-ring * d) * np.sin(2 * np.pi * f * ring) for f, d in ((240, 40), (610, 55), (1450, 90)))
            blow = blow + random.normal(size=len(ring)) * np.exp(-ring * 300)
            end = min(count, at + len(ring))
            total[at:end] += (blow * random.uniform(0.6, 1.2))[: max(0, end - at)]
            at += int(random.uniform(0.45, 0.7) * RATE)
            if at >= count:
                break
        at += int(random.uniform(4, 9) * RATE)
    return _unit(total)
