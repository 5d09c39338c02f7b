"""The search finds what is likeliest out of all that can be said, and says how likely it is: held against brute force."""

from __future__ import annotations

from itertools import product
from math import exp, inf, log

import numpy as np
import pytest
from hypothesis import given
from numpy.typing import NDArray
from strategies import posteriors, small_languages

from assistant.speech.search import STRINGS, search
from assistant.speech.soundgraph import Phones, SoundGraph
from assistant.wordgraph import Net, WordGraph

EVERYTHING = ((1000.0, 100_000),)
"""A beam that gives nothing up."""


def graph_of(phrases: list[tuple[str, ...]]) -> WordGraph:
    net = Net()
    start, end = net.state(), net.state()
    for phrase in phrases:
        net.chain(start, phrase, end)
    return net.graph(start, end)


def collapsed(path: tuple[int, ...]) -> Phones:
    """The phonemes of one alignment: repeats made one, blanks left out."""
    return tuple(phone for at, phone in enumerate(path) if phone and (at == 0 or path[at - 1] != phone))


def by_brute_force(frames: NDArray[np.float32]) -> dict[Phones, float]:
    """The probability of every string, added up over every alignment."""
    found: dict[Phones, float] = {}
    for path in product(range(frames.shape[1]), repeat=len(frames)):
        chance = exp(sum(float(frames[at, phone]) for at, phone in enumerate(path)))
        found[collapsed(path)] = found.get(collapsed(path), 0.0) + chance
    return found


def pronounced(phrases: list[tuple[str, ...]], lexicon: dict[str, tuple[Phones, ...]]) -> dict[Phones, set[tuple[str, ...]]]:
    """Every way to pronounce every phrase."""
    found: dict[Phones, set[tuple[str, ...]]] = {}
    for phrase in phrases:
        for parts in product(*(lexicon[word] for word in phrase)):
            found.setdefault(tuple(phone for part in parts for phone in part), set()).add(phrase)
    return found


@given(small_languages(), posteriors())
def test_every_string_has_the_probability_of_all_its_alignments(
    language: tuple[list[tuple[str, ...]], dict[str, tuple[Phones, ...]]], frames: NDArray[np.float32]
) -> None:
    phrases, lexicon = language
    all_of = by_brute_force(frames)
    sayable = pronounced(phrases, lexicon)
    wanted = {phones: log(all_of[phones]) for phones in sayable if phones in all_of}
    found = search(frames, SoundGraph(graph_of(phrases), lexicon), EVERYTHING)
    if len(wanted) <= STRINGS:
        assert {said.phones for said in found} == set(wanted)
    assert [said.score for said in found] == sorted((said.score for said in found), reverse=True)
    for said in found:
        assert said.score == pytest.approx(wanted[said.phones], abs=1e-4)


@given(small_languages())
def test_a_string_is_turned_back_into_every_phrase_it_may_be_and_no_other(
    language: tuple[list[tuple[str, ...]], dict[str, tuple[Phones, ...]]],
) -> None:
    phrases, lexicon = language
    sounds = SoundGraph(graph_of(phrases), lexicon)
    for phones, wanted in pronounced(phrases, lexicon).items():
        assert set(sounds.wordings(phones)) == wanted
        assert not sounds.wordings((*phones, 9))


@given(small_languages(), posteriors())
def test_a_narrow_beam_never_makes_a_string_likelier_than_it_is(
    language: tuple[list[tuple[str, ...]], dict[str, tuple[Phones, ...]]], frames: NDArray[np.float32]
) -> None:
    phrases, lexicon = language
    sounds = SoundGraph(graph_of(phrases), lexicon)
    whole = {said.phones: said.score for said in search(frames, sounds, EVERYTHING)}
    for said in search(frames, sounds, ((2.0, 3),)):
        assert said.score <= whole.get(said.phones, inf) + 1e-4


def test_a_wider_beam_is_tried_where_the_narrow_one_ends_with_nothing_sayable() -> None:
    frames = np.log(np.array([[0.01, 0.97, 0.01, 0.01], [0.01, 0.01, 0.97, 0.01]], dtype=np.float32))
    sounds = SoundGraph(graph_of([("ab", "cd"), ("ef",)]), {"ab": ((1, 2),), "cd": ((3,),), "ef": ((3,),)})
    assert search(frames, sounds, ((1.0, 10),)) == ()
    assert [said.phones for said in search(frames, sounds, ((1.0, 10), (20.0, 10)))] == [(3,)]


def test_a_word_without_a_pronunciation_is_not_heard() -> None:
    sounds = SoundGraph(graph_of([("ab",), ("cd",)]), {"ab": ((1,),)})
    assert [said.phones for said in search(np.log(np.full((2, 4), 0.25, dtype=np.float32)), sounds)] == [(1,)]
