"""What the comparison with other recognisers makes of their answers: a text laid onto a grammar, phonemes searched with one."""

from __future__ import annotations

import sys
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "bench"))

from peers import free_text, phonemes
from peers.free_text import FreeText, spoken

from assistant.speech.recogniser import Grammar
from assistant.speech.wav import silence

PRONOUNCED = {"two": [["T", "UW"]], "tea": [["T", "IY"]], "too": [["T", "UW", "UW"]]}


class Written(FreeText):
    """A recogniser that always writes the same."""

    tuned, files = "", []  # type: ignore[assignment]

    def __init__(self, text: str) -> None:
        super().__init__()
        self._text = text

    def write(self, sound: object) -> str:
        return self._text


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Two thousand, four hundred.", ("two", "thousand", "four", "hundred")),
        ("2,400", ("two", "thousand", "four", "hundred")),
        ("4 2", ("four", "two")),
        ("42.", ("four", "two")),
        ("", ()),
        ("hundred two", None),
        ("cat", None),
    ],
)
def test_a_text_counts_when_the_grammar_has_a_way_to_speak_it(
    text: str, words: tuple[str, ...] | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(free_text, "distance", lambda word, other: float(word != other))
    peer = Written(text)
    peer.listen_for(Grammar(("two thousand four hundred", "four two"), ("cat",)))
    peer.feed(silence(0.1))
    heard = peer.flush()
    assert (heard.words, heard.understood) == (words or (), words is not None)


def test_a_numeral_is_spoken_by_digits_or_as_one_number() -> None:
    assert spoken("105") == [["one", "zero", "five"], ["one", "hundred", "and", "five"], ["one", "hundred", "five"]]


@pytest.mark.parametrize(
    ("heard", "words"),
    [
        ("- t - u - -", ("two",)),
        ("t u t i", ("two", "tea")),
        ("t u - u", ("too",)),
        ("t t u u", ("two",)),
        ("- - - -", ()),
    ],
)
def test_the_search_finds_the_words_of_the_phonemes(heard: str, words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(phonemes, "pronunciations", PRONOUNCED.__getitem__)
    signs = ["t", "u", "i", "ə", "ɚ", "g", "ʌ", "ɝ", "ɡ", "<wb>", "-"]
    frames = np.log(np.full((len(heard.split()), len(signs)), 0.01))
    for frame, sign in zip(frames, heard.split(), strict=True):
        frame[signs.index(sign)] = np.log(0.9)
    answer = np.expand_dims(frames, 0), np.array([len(frames)])
    peer = phonemes.Phonemes.__new__(phonemes.Phonemes)
    session = SimpleNamespace(run=lambda *_: answer)
    peer._model = SimpleNamespace(decoder_tokens=signs, blank_id=len(signs) - 1, session=session)
    peer.prepare(Grammar(("two", "tea", "too", "two tea")))
    assert peer.hear(silence(0.1)) == words
