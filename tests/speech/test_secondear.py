"""The second ear on real sound: what it ranks, what it refuses, and that the first goes on without it."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from listening import Recording

from assistant.errors import ModelError
from assistant.events import Ending, Price, Utterance
from assistant.language.expecting import Expected
from assistant.language.understanding import Wants
from assistant.language.vocabulary import Stage
from assistant.setout.lengths import Unit
from assistant.speech import secondear
from assistant.speech.hearing import Hearing
from assistant.speech.listed import Listed
from assistant.speech.mel import log_mel
from assistant.speech.models import second_ear
from assistant.speech.recogniser import Recogniser
from assistant.speech.secondear import SecondEar, open_second_ear, read_lexicon
from assistant.speech.wav import SAMPLE_RATE, Samples, blocks

ASKED = Expected(Stage.ASK, Wants.LENGTH, Unit.MM)


@pytest.fixture(scope="module")
def ear() -> SecondEar:
    return SecondEar(second_ear())


def cuts(recording: Recording) -> list[tuple[tuple[str, ...], Samples]]:
    """The lines that say something, each with 0.3 s around it."""
    return [
        (tuple(line.words.split()), recording.clean[round((line.start - 0.3) * SAMPLE_RATE) : round((line.end + 0.3) * SAMPLE_RATE)])
        for line in recording.lines
        if line.words
    ]


def test_every_line_is_the_likeliest_of_all_lines(ear: SecondEar, recording: Recording) -> None:
    listed = Listed(recording.phrases())
    for words, sound in cuts(recording):
        opinion = ear.hear(sound, listed, ())
        assert opinion.readings[0].meaning == listed.meaning(words)
        assert opinion.distance(opinion.readings[0]) < 2


def test_frames_come_fifty_a_second_and_each_adds_up_to_one(ear: SecondEar) -> None:
    found = ear.posteriors(np.random.default_rng(1).normal(0, 300, 2 * SAMPLE_RATE).astype(np.int16))
    assert found.shape == (100, 40)
    assert np.exp(found).sum(axis=1) == pytest.approx(1.0, abs=1e-4)


def test_sound_too_short_for_a_word_is_no_error(ear: SecondEar) -> None:
    ear.hear(np.zeros(10, dtype=np.int16), ASKED, ("people",))


def test_a_tone_lies_in_its_own_band() -> None:
    seconds = np.arange(SAMPLE_RATE) / SAMPLE_RATE
    middles = [log_mel((3000 * np.sin(2 * np.pi * hertz * seconds)).astype(np.int16))[50].argmax() for hertz in (200, 1000, 4000)]
    # Slaney's scale: 200/3 Hz a mel up to 1000 Hz, then 27 to a factor of 6.4; 81 steps up to 8 kHz (45.2 mel).
    assert middles == [pytest.approx(mel / 45.2 * 81 - 1, abs=0.6) for mel in (3.0, 15.0, 35.2)]


def test_a_phoneme_that_is_not_named_is_an_error() -> None:
    with pytest.raises(ValueError, match="next"):
        read_lexicon(["next N EH K S T"], ["<blank>", "N", "EH"])


def test_a_folder_without_the_model_is_told_and_done_without(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(ModelError, match="cannot be loaded"):
        SecondEar(tmp_path)
    monkeypatch.setattr(secondear, "second_ear", lambda: tmp_path)
    told: list[str] = []
    assert open_second_ear(told.append) is None
    assert "done without" in told[0]


def test_one_flipped_bit_in_its_model_is_told_and_the_first_ear_hears_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for file in second_ear().iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    content = bytearray((tmp_path / "ear.onnx").read_bytes())
    content[5_000_000] ^= 16
    (tmp_path / "ear.onnx").write_bytes(content)
    monkeypatch.setattr(secondear, "second_ear", lambda: tmp_path)
    told: list[str] = []
    assert open_second_ear(told.append) is None
    assert "ear.onnx is not what SHA256SUMS says" in told[0]


def test_a_slow_machine_is_told_and_the_first_ear_hears_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(SecondEar, "delay", lambda self: 2.0)
    told: list[str] = []
    assert open_second_ear(told.append) is None
    assert "too slow" in told[0]
    assert open_second_ear(told.append, hurried=False) is not None


def test_the_sound_of_an_utterance_reaches_the_second_ear_whole(ear: SecondEar, recogniser: Recogniser, recording: Recording) -> None:
    """Heard a block at a time in a long recording, each number has the words it has when it is cut out by its manifest."""
    words = tuple(dict.fromkeys(words for words, _ in cuts(recording) if (found := ASKED.meaning(words)) and found.price is Price.NUMBER))
    hearing = Hearing(recogniser, lambda text: None, ear)
    hearing.tune([" ".join(one) for one in words], lambda words: Ending.COMPLETE, ASKED)
    ended = (hearing.recogniser.feed(block) for block in blocks(recording.clean))
    both = [hearing.judged(one) for one in ended if one is not None]
    meant = {ASKED.meaning(one.words) for one in both if one.understood and not one.doubt}
    assert len(words) >= 3
    assert meant >= {ASKED.meaning(one) for one in words}


def test_without_a_second_ear_the_first_is_believed(recogniser: Recogniser) -> None:
    utterance = Utterance(("next",), 0.0, 1.0)
    hearing = Hearing(recogniser, lambda text: None)
    hearing.tune(("next",), lambda words: Ending.COMPLETE, ASKED)
    assert hearing.judged(utterance) is utterance


class Failing:
    """A second ear that fails in one of its two ways to be used."""

    def __init__(self, where: str) -> None:
        self.where = where

    def sounds(self, graph: object, decoys: object) -> None:
        if self.where == "sounds":
            raise RuntimeError("out of memory")

    def hear(self, samples: object, expected: object, decoys: object) -> None:
        raise IndexError("no frame 7")


@pytest.mark.parametrize("where", ["sounds", "hear"])
def test_a_second_ear_that_fails_is_told_once_and_the_first_goes_on_alone(where: str, recogniser: Recogniser) -> None:
    told: list[str] = []
    hearing = Hearing(recogniser, told.append, Failing(where))  # type: ignore[arg-type]
    hearing.tune(("next",), lambda words: Ending.COMPLETE, ASKED)
    utterance = Utterance(("next",), 0.0, 1.0)
    heard = hearing.judged(utterance)
    # What the second ear should have judged is asked for once more, and then the first is believed.
    assert (heard.words, heard.doubt) == (("next",), (("next",),) if where == "hear" else ())
    assert hearing.judged(utterance) is utterance
    assert len(told) == 1 and "the first hears alone" in told[0]
