"""Scoring a model: the figures are those that can be counted by hand."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from listening import read_recording

from assistant.events import Ending
from assistant.language.expecting import Expected
from assistant.language.understanding import Wants
from assistant.language.vocabulary import Stage
from assistant.setout.lengths import Unit
from assistant.speech.evaluate import (
    EvaluationError,
    Heard,
    Item,
    as_there,
    evaluate,
    grammars,
    read_manifest,
    score,
    table,
    wilson,
)
from assistant.speech.hearing import WAITS
from assistant.speech.models import find_model
from assistant.speech.recogniser import Grammar, Recogniser
from assistant.speech.wav import SAMPLE_RATE, write_wav


def heard(said: str, words: str, understood: bool = True, snr: str = "clean", speaker: str = "a") -> Heard:
    item = Item(Path("x.wav"), tuple(said.split()), "length", speaker, snr)
    return Heard(item, tuple(words.split()), understood, seconds=2.0, cpu=0.1)


@pytest.mark.parametrize(
    ("hits", "count", "low", "high"),
    # Newcombe 1998, Statistics in Medicine 17, table I, score method without continuity correction (method 3).
    [(81, 263, 25.53, 36.62), (15, 148, 6.24, 16.05), (0, 20, 0.0, 16.11), (1, 29, 0.61, 17.18)],
)
def test_intervals_are_the_published_ones(hits: int, count: int, low: float, high: float) -> None:
    assert wilson(hits, count) == pytest.approx((low, high), abs=0.01)


def test_exact_phrases_and_word_errors_are_counted() -> None:
    """Two of four phrases right; of nine words one is wrong and one missing."""
    (found,) = score(
        [
            heard("one oh two", "one zero two"),
            heard("three four", "three four"),
            heard("five six", "five nine"),
            heard("seven eight", "seven"),
        ]
    )
    assert (found.count, found.percent, found.refusal) == (4, 50.0, False)
    assert found.word_errors == pytest.approx(100 * 2 / 9)
    assert found.real_time_factor == pytest.approx(0.05)


def test_a_right_phrase_with_garbage_is_not_right() -> None:
    (found,) = score([heard("one", "one", understood=False)])
    assert (found.percent, found.missed) == (0.0, 100.0)


def test_wrongly_accepted_is_what_came_back_as_words_alone() -> None:
    (found,) = score([heard("", "stop"), heard("", ""), heard("", "stop", understood=False), heard("", "")])
    assert found.refusal
    assert found.percent == 25.0
    assert found.word_errors is None


def test_figures_are_kept_apart_by_noise_and_speaker() -> None:
    found = score([heard("one", "one"), heard("one", "two", snr="5", speaker="b")], by_speaker=True)
    assert {(s.snr, s.speaker, s.percent) for s in found} == {
        ("clean", "", 100.0),
        ("clean", "a", 100.0),
        ("5", "", 0.0),
        ("5", "b", 0.0),
    }


def test_a_kind_to_be_refused_is_offered_everything_and_decoys_never_collide() -> None:
    items = [Item(Path("x"), ("stop",), "command", "", "clean"), Item(Path("y"), (), "other", "", "clean")]
    found = grammars(items, {}, ["people", "stop"])
    assert found["other"].phrases == ("stop",)
    assert found["other"].decoys == ("people",)


@pytest.mark.parametrize("text", ["", "path\tkind\nx\ty\n", "path\ttranscript\tkind\n"])
def test_a_manifest_that_cannot_be_used_is_named(tmp_path: Path, text: str) -> None:
    file = tmp_path / "manifest.tsv"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(EvaluationError, match=r"manifest\.tsv"):
        read_manifest(file)


def test_a_missing_manifest_is_named(tmp_path: Path) -> None:
    with pytest.raises(EvaluationError, match=r"nowhere\.tsv"):
        read_manifest(tmp_path / "nowhere.tsv")


def test_the_bundled_model_is_scored_on_recordings(tmp_path: Path) -> None:
    recording = read_recording("phrases")
    rows = ["path\ttranscript\tkind\tspeaker\tsnr_db"]
    lines = [line for line in recording.lines if line.words][:4]
    for number, line in enumerate(lines):
        sound = recording.clean[round((line.start - 0.2) * SAMPLE_RATE) : round((line.end + 0.3) * SAMPLE_RATE)]
        write_wav(tmp_path / f"{number}.wav", sound)
        rows.append(f"{number}.wav\t{line.words}\tlength\t{line.voice}\t")
    write_wav(tmp_path / "hiss.wav", np.random.default_rng(1).normal(0, 5, SAMPLE_RATE).round().astype(np.int16))
    rows.append("hiss.wav\t\tnothing\t\t")
    (tmp_path / "manifest.tsv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    (tmp_path / "grammar.json").write_text(json.dumps({"length": list(recording.phrases())}), encoding="utf-8")
    model = find_model("site-en")
    report = evaluate(model, tmp_path / "manifest.tsv", tmp_path / "grammar.json", model / "decoys.txt")
    by_kind = {found.kind: found for found in report.scores}
    assert by_kind["length"].count == len(lines)
    assert by_kind["length"].percent == 100.0
    assert by_kind["nothing"].percent == 0.0
    assert "length" in table(report)


def test_at_a_point_of_the_conversation_it_is_listened_to_as_there() -> None:
    """The phrases of the point, and as long a wait inside a number; phrases that were listed stay."""
    recogniser = Recogniser(find_model(None))
    point = Expected(Stage.ASK, Wants.LENGTH, Unit.MM)
    bare = Grammar(("ninety",), ("people", "leave"))
    there = as_there(recogniser, bare, point, listed=False)
    assert "the same" in there.phrases and there.decoys == ("people",)
    assert there.waits(("two", "thousand")) == WAITS[Ending.BREATH]
    assert there.waits(("two", "one", "four", "five")) == WAITS[Ending.FINISHED]
    assert as_there(recogniser, bare, point, listed=True).phrases == bare.phrases
