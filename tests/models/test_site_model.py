"""The bundled model: complete, small, knows every word of the dialogue, refuses what it should, hears nothing in silence."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
import vosk
from listening import read_recording

from assistant.language.listening import vocabulary_words
from assistant.speech.models import find_model
from assistant.speech.wav import SAMPLE_RATE, Samples

LARGEST_MB = 15
"""Our own limit for the bundled model; no source."""
DIGITS = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"]


@pytest.fixture(scope="module")
def directory() -> Path:
    return find_model("site-en")


@pytest.fixture(scope="module")
def model(directory: Path) -> vosk.Model:
    vosk.SetLogLevel(-1)
    return vosk.Model(model_path=str(directory))


def words_in(directory: Path) -> set[str]:
    return {line.split()[0] for line in (directory / "graph/words.txt").read_text(encoding="utf-8").splitlines()}


def decode(model: vosk.Model, sound: Samples, phrases: list[str] | None) -> str:
    grammar = [] if phrases is None else [json.dumps(phrases)]
    engine = vosk.KaldiRecognizer(model, SAMPLE_RATE, *grammar)
    found = []
    for start in range(0, len(sound), 1600):
        if engine.AcceptWaveform(sound[start : start + 1600].tobytes()):
            found.append(json.loads(engine.Result())["text"])
    found.append(json.loads(engine.FinalResult())["text"])
    return " ".join(text for text in found if text)


def test_it_is_small(directory: Path) -> None:
    assert sum(file.stat().st_size for file in directory.rglob("*") if file.is_file()) <= LARGEST_MB * 1e6


def test_its_card_counts_its_words(directory: Path) -> None:
    words = {word for word in words_in(directory) if word[0] not in "<[#"}
    decoys = (directory / "decoys.txt").read_text(encoding="utf-8").split()
    card = (directory / "README.md").read_text(encoding="utf-8")
    assert f"{len(words):,} words" in card
    assert f"lists {len(decoys)} words" in card


def test_it_knows_every_word_of_the_dialogue(directory: Path) -> None:
    assert vocabulary_words() - words_in(directory) == set()


def test_the_word_list_of_the_pipeline_holds_every_word_of_the_dialogue() -> None:
    """Or the next rebuild of the graph would lose it."""
    listed = Path(__file__).parents[2] / "models/build/words.txt"
    assert vocabulary_words() - {line.split()[0] for line in listed.read_text(encoding="utf-8").splitlines()} == set()


def test_decoys_are_known_and_no_words_of_the_dialogue(directory: Path) -> None:
    decoys = (directory / "decoys.txt").read_text(encoding="utf-8").split()
    assert len(decoys) >= 500
    assert set(decoys) <= words_in(directory)
    assert set(decoys).isdisjoint(vocabulary_words())


@pytest.mark.parametrize("spread", [0.5, 5.0, 40.0], ids="hiss {}".format)
@pytest.mark.parametrize("phrases", [DIGITS, [*DIGITS, "oh"], ["yes", "no", "next"]], ids=["digits", "oh", "commands"])
def test_silence_holds_no_word(model: vosk.Model, spread: float, phrases: list[str]) -> None:
    hiss = np.random.default_rng(1).normal(0, spread, 4 * SAMPLE_RATE).round().astype(np.int16)
    assert decode(model, hiss, [*phrases, "[unk]"]) in ("", "[unk]")


def test_what_is_not_listed_is_not_taken_for_a_command(model: vosk.Model) -> None:
    """Lengths spoken to a grammar of two commands: every one must come back with garbage in it, or as nothing."""
    recording = read_recording("phrases")
    taken = []
    for line in recording.lines:
        if len(line.words.split()) >= 3:
            sound = recording.clean[round((line.start - 0.3) * SAMPLE_RATE) : round((line.end + 0.5) * SAMPLE_RATE)]
            text = decode(model, sound, ["faster", "louder", "[unk]"])
            if text and "[unk]" not in text.split():
                taken.append((line.words, text))
    assert taken == []


def test_free_decoding_over_the_whole_vocabulary_works(model: vosk.Model) -> None:
    recording = read_recording("phrases")
    line = next(line for line in recording.lines if len(line.words.split()) >= 3)
    sound = recording.clean[round((line.start - 0.3) * SAMPLE_RATE) : round((line.end + 0.5) * SAMPLE_RATE)]
    heard = decode(model, sound, None).split()
    assert set(heard) & set(line.words.split())
