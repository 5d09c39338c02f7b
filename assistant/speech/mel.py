"""Log-mel features as the second ear was trained on them: 80 bands, 100 frames a second, Slaney's scale, the loudest 8 decades.

Crosses the border: 16-bit samples at 16 kHz in, (frames, 80) out.  Pure arithmetic.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from assistant.speech.wav import SAMPLE_RATE, Samples

BANDS = 80
_WINDOW = 400
_HOP = 160
_KNEE_HZ, _KNEE_MEL = 1000.0, 15.0
"""Slaney's scale is straight up to here, and logarithmic above."""
_STEP = np.log(6.4) / 27

Features = NDArray[np.float32]


def _mel(hertz: float) -> float:
    return hertz * _KNEE_MEL / _KNEE_HZ if hertz < _KNEE_HZ else _KNEE_MEL + float(np.log(hertz / _KNEE_HZ) / _STEP)


def _hertz(mel: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.where(mel < _KNEE_MEL, mel * _KNEE_HZ / _KNEE_MEL, _KNEE_HZ * np.exp(_STEP * (mel - _KNEE_MEL)))


def _filters() -> Features:
    """(bins, bands): triangles of equal area."""
    edges = _hertz(np.linspace(0.0, _mel(SAMPLE_RATE / 2), BANDS + 2))
    bins = np.arange(_WINDOW // 2 + 1)[:, None] * SAMPLE_RATE / _WINDOW
    low, middle, high = edges[:-2], edges[1:-1], edges[2:]
    rising, falling = (bins - low) / (middle - low), (high - bins) / (high - middle)
    return (np.maximum(0, np.minimum(rising, falling)) * 2 / (high - low)).astype(np.float32)


_FILTERS = _filters()
_HANN = (0.5 - 0.5 * np.cos(2 * np.pi * np.arange(_WINDOW) / _WINDOW)).astype(np.float32)


def log_mel(samples: Samples) -> Features:
    """(frames, 80), an even number of frames; at least 0.02 s of sound."""
    sound = samples.astype(np.float32) / 32768
    padded = np.pad(sound, (0, -len(sound) % (2 * _HOP)))
    around = np.pad(padded, _WINDOW // 2, mode="reflect")
    frames = np.lib.stride_tricks.sliding_window_view(around, _WINDOW)[::_HOP][:-1] * _HANN
    power = np.abs(np.fft.rfft(frames, axis=1)).astype(np.float32) ** 2
    found = np.log10(np.maximum(power @ _FILTERS, 1e-10))
    scaled: Features = ((np.maximum(found, found.max() - 8) + 4) / 4).astype(np.float32)
    return scaled
