"""Graphs of words hold what was woven into them, and nothing else."""

from __future__ import annotations

from math import exp, inf

import pytest
from hypothesis import given
from strategies import small_languages

from assistant.wordgraph import Net, WordGraph

Language = tuple[list[tuple[str, ...]], dict[str, tuple[tuple[int, ...], ...]]]


def graph_of(phrases: list[tuple[str, ...]]) -> WordGraph:
    net = Net()
    start, end = net.state(), net.state()
    for phrase in phrases:
        net.chain(start, phrase, end)
    return net.graph(start, end)


@given(small_languages())
def test_a_graph_says_the_phrases_it_was_made_of_and_no_others(language: Language) -> None:
    phrases, _ = language
    graph = graph_of(phrases)
    assert set(graph.phrases()) == set(phrases)
    assert all(graph.accepts(phrase) for phrase in phrases)
    assert not graph.accepts((*phrases[0], "never"))
    assert graph.words() == {word for phrase in phrases for word in phrase}


@given(small_languages(), small_languages())
def test_a_graph_put_into_a_net_says_there_what_it_says_alone(first: Language, second: Language) -> None:
    net = Net()
    start, middle, end = net.state(), net.state(), net.state()
    net.insert(graph_of(first[0]), start, middle)
    net.insert(graph_of(second[0]), middle, end)
    assert set(net.graph(start, end).phrases()) == {(*one, *other) for one in first[0] for other in second[0]}


@given(small_languages())
def test_chances_of_all_that_can_be_said_add_up_to_one(language: Language) -> None:
    graph = graph_of(language[0])
    # Where the last word has been said the end is one of the things that can come next, and the only one in a dead end.
    total = sum(exp(graph.prior(phrase)) for phrase in graph.phrases())
    assert total == pytest.approx(1.0)
    assert graph.prior(("never",)) == -inf


def test_words_beside_a_graph_are_said_alone() -> None:
    graph = graph_of([("go", "on"), ("go",)]).beside(["people", "go"])
    assert set(graph.phrases()) == {("go", "on"), ("go",), ("people",)}


def test_what_cannot_be_said_at_all_is_an_error() -> None:
    net = Net()
    with pytest.raises(ValueError, match="nothing"):
        net.graph(net.state(), net.state())
