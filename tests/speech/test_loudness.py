"""Speech stands out of the background; a steady background never counts as speech."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.speech.loudness import Loudness
from assistant.speech.wav import SAMPLE_RATE, Samples, silence


def noise(level: float, seconds: float) -> Samples:
    return np.random.default_rng(5).normal(0, level, round(seconds * SAMPLE_RATE)).astype(np.int16)


def fed(*parts: Samples) -> Loudness:
    loudness = Loudness()
    for start in range(0, sum(map(len, parts)), 777):  # blocks that are no multiple of a frame
        loudness.feed(np.concatenate(parts)[start : start + 777])
    return loudness


@pytest.mark.parametrize("level", [0, 0.5, 5, 40, 400, 4000])
def test_steady_noise_is_no_speech_at_any_level(level: float) -> None:
    assert not fed(noise(level, 6)).is_speech(2, 4)


@pytest.mark.parametrize("background", [0.5, 40, 400, 2000])
def test_a_louder_stretch_is_speech_where_it_is_and_nowhere_else(background: float) -> None:
    loudness = fed(noise(background, 3), noise(2 * background + 100, 1), noise(background, 3))
    assert loudness.is_speech(3, 4)
    assert not loudness.is_speech(1, 2)
    assert not loudness.is_speech(5, 6)


def test_a_loud_stretch_too_faint_in_itself_is_no_speech() -> None:
    assert not fed(silence(2), noise(20, 1), silence(2)).is_speech(2, 3)


def test_time_still_fits_after_the_memory_has_rolled_over() -> None:
    loudness = fed(noise(5, 70), noise(3000, 1), noise(5, 9))
    assert loudness.is_speech(70, 71)
    assert not loudness.is_speech(72, 79)


@pytest.mark.parametrize("background", [0.5, 40, 400])
def test_quiet_begins_when_speech_ends_and_not_in_a_short_gap(background: float) -> None:
    speech = noise(4 * background + 1000, 1)
    assert fed(noise(background, 2), speech, noise(background, 0.45)).quiet_for(0.4)
    assert not fed(noise(background, 2), speech, noise(background, 0.3)).quiet_for(0.4)
    assert not fed(noise(background, 2), speech).quiet_for(0.4)


def test_going_on_means_as_loud_as_before() -> None:
    loudness = fed(noise(5, 2), noise(3000, 1), noise(300, 1), noise(2000, 1))
    assert not loudness.is_as_loud(3.1, 3.9, 2, 3)
    assert loudness.is_as_loud(4.1, 4.9, 2, 3)
