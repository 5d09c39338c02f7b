"""The three signals are short, soft at both ends, told apart by ear, and no speech to our recogniser."""

from __future__ import annotations

import numpy as np
import pytest
from listening import Recording, hear

from assistant.speech.recogniser import Grammar, Recogniser
from assistant.speech.tones import GOT_IT, LISTENING, NOT_CAUGHT
from assistant.speech.wav import SAMPLE_RATE, Samples, silence

TONES = {"listening": LISTENING, "got it": GOT_IT, "not caught": NOT_CAUGHT}


def pitches(tone: Samples) -> tuple[float, float]:
    """The strongest frequency of the first and the last 60 ms."""
    size = round(0.06 * SAMPLE_RATE)
    found = []
    for part in (tone[:size], tone[-size:]):
        spectrum = np.abs(np.fft.rfft(part * np.hanning(len(part)), 16 * size))
        found.append(float(np.argmax(spectrum)) * SAMPLE_RATE / (16 * size))
    return found[0], found[1]


@pytest.mark.parametrize("tone", TONES.values(), ids=TONES)
def test_a_tone_is_short_and_begins_and_ends_without_a_click(tone: Samples) -> None:
    assert len(tone) <= 0.25 * SAMPLE_RATE
    assert abs(int(tone[0])) < 200 and abs(int(tone[-1])) < 200
    assert 4000 < np.abs(tone).max() < 16000


def test_the_melodies_differ() -> None:
    (first, last), (low, lower) = pitches(LISTENING), pitches(NOT_CAUGHT)
    assert last > 1.3 * first and lower < 0.8 * low
    assert pitches(GOT_IT)[0] == pytest.approx(pitches(GOT_IT)[1], rel=0.02)


@pytest.mark.parametrize("tone", TONES.values(), ids=TONES)
def test_a_tone_that_the_microphone_picks_up_is_no_word(tone: Samples, recogniser: Recogniser, recording: Recording) -> None:
    sound = np.concatenate([silence(1.0), tone, silence(1.0)])
    assert not any(u.understood for u in hear(recogniser, sound, Grammar(recording.phrases())))
