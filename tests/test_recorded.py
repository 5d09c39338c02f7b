"""The bundled builder: he says every line, and says again what was not taken."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.events import Utterance
from assistant.recorded import TRIES, Line, RecordedBuilder, recorded_builder
from assistant.speech.models import data_dir
from assistant.speech.wav import SAMPLE_RATE, Samples, read_wav

LINES = (Line(0.5, 1.0, True), Line(2.0, 2.5, True), Line(3.0, 3.5, False))
SOUND = np.arange(4 * SAMPLE_RATE, dtype=np.int16)
QUIET = np.zeros_like(SOUND)
TAKEN = Utterance(("next",), 0, 1)
UNSURE = Utterance(("next",), 0, 1, doubt=(("next",),))
REFUSED = Utterance((), 0, 1, understood=False)


def told(noise: Samples, *answers: list[Utterance]) -> list[Samples]:
    """What he says to somebody who answers so, piece by piece."""
    heard, given = [], list(answers)

    def hear(samples: Samples) -> list[Utterance]:
        heard.append(samples)
        return given.pop(0) if given else [TAKEN]

    RecordedBuilder(SOUND, noise, LINES).build(hear)
    return heard


def test_all_that_was_recorded_is_said_in_order_and_once() -> None:
    assert (np.concatenate(told(QUIET)) == SOUND).all()


@pytest.mark.parametrize("answer", [UNSURE, REFUSED])
def test_a_line_that_is_not_taken_is_said_again(answer: Utterance) -> None:
    first, again, *_ = told(QUIET, [answer])
    assert (first == again).all()


def test_said_again_it_has_other_noise() -> None:
    noise = np.random.default_rng(1).integers(-99, 99, len(SOUND)).astype(np.int16)
    first, again, *_ = told(noise, [REFUSED])
    assert len(first) == len(again) and (first != again).any()


def test_he_waits_for_an_answer_and_gives_up_in_the_end() -> None:
    assert len(told(QUIET, [], [TAKEN])) == len(LINES) + 1
    assert len(told(QUIET, *[[REFUSED]] * TRIES)) == len(LINES) + TRIES - 1


def test_what_is_not_said_to_the_assistant_is_said_once() -> None:
    assert len(told(QUIET, [TAKEN], [TAKEN], [REFUSED])) == len(LINES)


def test_on_a_noisy_site_he_speaks_as_loud_and_the_noise_is_that_of_the_site() -> None:
    """Ten decibels below the speech, as the recording was made."""
    quiet, noisy = recorded_builder(False), recorded_builder(True)
    assert (quiet.sound == noisy.sound).all() and not quiet.noise.any()
    line = noisy.lines[0]
    spoken = noisy.sound[round(line.start * SAMPLE_RATE) : round(line.end * SAMPLE_RATE)].astype(float)
    decibels = 20 * np.log10(spoken.std() / noisy.noise.astype(float).std())
    assert decibels == pytest.approx(10, abs=4)
    site = read_wav(data_dir("audio_fixtures", "job") / "site.flac").astype(float)
    assert np.corrcoef(site, noisy.sound.astype(float) + noisy.noise)[0, 1] > 0.999
