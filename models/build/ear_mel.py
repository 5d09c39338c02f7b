"""Filters and numbers of the log-mel frames that the pretrained encoder of the second ear wants; numpy alone.

100 frames a second: a Hann window of 25 ms every 10 ms, reflected at both ends, 80 triangular filters of equal area that are linear in
hertz up to 1 kHz and logarithmic above, base-10 logarithm, at most 8 below the loudest value, then (x + 4) / 4.  The assistant computes
the frames of one utterance with numpy (assistant.speech.mel), ear_net those of whole batches with torch; here the filters may be warped.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

SAMPLE_RATE = 16000
"""Samples a second."""
WINDOW = 400
"""Samples of one frame."""
HOP = 160
"""Samples from one frame to the next."""
BANDS = 80
RANGE = 8.0
"""What lies further below the loudest value of an utterance is raised, in base-10 logarithms of power."""
LEAST = 1e-10
"""Power taken for silence, so that its logarithm exists."""

LINEAR_TO = 1000.0
"""The scale is linear in hertz below it."""
HERTZ_A_STEP = 200.0 / 3.0
STEP_RATIO = math.log(6.4) / 27.0

Floats = npt.NDArray[np.float32]


def _hertz(steps: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """Frequency at a place on the scale."""
    corner = LINEAR_TO / HERTZ_A_STEP
    return np.where(steps < corner, steps * HERTZ_A_STEP, LINEAR_TO * np.exp(STEP_RATIO * (steps - corner)))


def _warped(hertz: npt.NDArray[np.float64], warp: float, highest: float) -> npt.NDArray[np.float64]:
    """Frequencies times ``warp`` up to a knee, from there straight to ``highest``: a longer or shorter vocal tract."""
    knee = 4800.0 / max(warp, 1.0)
    return np.where(hertz <= knee, hertz * warp, knee * warp + (hertz - knee) * (highest - knee * warp) / (highest - knee))


def mel_bank(warp: float = 1.0) -> Floats:
    """The filters, (WINDOW // 2 + 1, BANDS); ``warp`` above 1 moves each of them up, as for a shorter vocal tract."""
    highest = SAMPLE_RATE / 2
    top = LINEAR_TO / HERTZ_A_STEP + math.log(highest / LINEAR_TO) / STEP_RATIO
    edges = _hertz(np.linspace(0.0, top, BANDS + 2))
    if warp != 1.0:
        edges = _warped(edges, warp, highest)
    lower, middle, upper = edges[:-2], edges[1:-1], edges[2:]
    hertz = np.arange(WINDOW // 2 + 1)[:, None] * SAMPLE_RATE / WINDOW
    rising, falling = (hertz - lower) / (middle - lower), (upper - hertz) / (upper - middle)
    return (np.maximum(0.0, np.minimum(rising, falling)) * 2.0 / (upper - lower)).astype(np.float32)
