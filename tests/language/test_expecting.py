"""What the second ear is bound to: everything a state understands, with the numbers' own grammar, and nothing else."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.events import Price
from assistant.language.expecting import Expected
from assistant.language.patterns import expand, parse_template
from assistant.language.understanding import Wants
from assistant.language.vocabulary import PHRASES, Stage
from assistant.numbers import NoParse, PhraseKind, number_graph, number_phrases, parse_count, parse_length, say_length
from assistant.numbers.styles import NumberStyle
from assistant.setout.lengths import Length, Unit, inches

OPENINGS = (Length(300), Length(6000))
POINTS = [Expected(stage, wants, unit) for stage in Stage for wants in (Wants.LENGTH, Wants.COUNT) for unit in (Unit.MM, Unit.INCH)]


def meaning(at: Expected, words: str) -> tuple[str, tuple[Fraction | int, ...]] | None:
    found = at.meaning(tuple(words.split()))
    return None if found is None else (found.act, found.values)


@pytest.mark.parametrize("at", POINTS, ids=lambda at: f"{at.stage.name}-{at.wants.name}-{at.unit.name}")
def test_every_wording_is_in_the_graph_where_it_counts_and_nowhere_else(at: Expected) -> None:
    for phrase in PHRASES:
        for template in phrase.templates:
            for wording in expand(parse_template(template)):
                words = tuple({"<length>": "ninety", "<second>": "ninety", "<count>": "nine"}.get(part, part) for part in wording)
                if at.stage in phrase.stages:
                    assert at.graph.accepts(words), words
                elif at.graph.accepts(words):
                    assert at.meaning(words) is not None, words  # another phrase has the same words here


@pytest.mark.parametrize("kind", [PhraseKind.MILLIMETRES, PhraseKind.INCHES, PhraseKind.COUNT])
def test_the_grammar_as_a_graph_holds_every_listed_phrase(kind: PhraseKind) -> None:
    assert all(number_graph(kind).accepts(phrase.split()) for phrase in number_phrases(kind))


@given(st.data())
def test_whatever_the_graph_of_numbers_says_is_a_number(data: st.DataObject) -> None:
    kind = data.draw(st.sampled_from([PhraseKind.MILLIMETRES, PhraseKind.INCHES, PhraseKind.COUNT]))
    graph = number_graph(kind)
    words: list[str] = []
    state = 0
    while graph.arcs[state] and not (state in graph.finals and data.draw(st.booleans())):
        word, state = data.draw(st.sampled_from(graph.arcs[state]))
        words.append(word)
    read = parse_count(words) if kind is PhraseKind.COUNT else parse_length(words, Unit.MM if kind is PhraseKind.MILLIMETRES else Unit.INCH)
    assert not isinstance(read, NoParse), words


@given(st.integers(1, 99_999), st.sampled_from([Unit.MM, Unit.INCH]))
def test_every_number_that_is_said_back_can_be_heard(number: int, unit: Unit) -> None:
    length = Length(number) if unit is Unit.MM else inches(Fraction(number, 16))
    at = Expected(Stage.ASK, Wants.LENGTH, unit)
    words = tuple(say_length(length, unit, NumberStyle.WHOLE).split())
    assert at.graph.accepts(words)
    found = at.meaning(words)
    assert found is not None and length in found.values and found.price is Price.NUMBER


def test_wordings_of_one_value_mean_the_same() -> None:
    at = Expected(Stage.ASK, Wants.LENGTH, Unit.INCH, OPENINGS)
    assert meaning(at, "seventy and a quarter") == meaning(at, "seventy and one quarter") == ("VALUE", (inches(Fraction(281, 4)),))


def test_of_two_readings_only_the_likely_one_counts() -> None:
    at = Expected(Stage.ASK, Wants.LENGTH, Unit.INCH, OPENINGS)
    assert meaning(at, "thirty one five eighths") == meaning(at, "thirty one and five eighths")


def test_a_number_far_from_what_is_asked_is_unlikely_unless_a_hundred_was_left_out() -> None:
    at = Expected(Stage.ASK, Wants.LENGTH, Unit.MM, OPENINGS)
    anything = replace(at, likely=(Fraction(0), Fraction(10**9)))
    assert at.prior(("eleven",)) == anything.prior(("eleven",))  # eleven hundred
    assert at.prior(("ninety", "thousand")) < anything.prior(("ninety", "thousand"))


def test_the_price_of_a_phrase_is_what_a_mistake_costs() -> None:
    prices = {
        ("yes", Stage.DOUBT): Price.DEAR, ("no", Stage.DOUBT): Price.DEAR, ("undo", Stage.HUB): Price.DEAR,
        ("gap confirmed", Stage.GAP): Price.DEAR, ("understood", Stage.CAUTION): Price.DEAR, ("remove bay two", Stage.HUB): Price.DEAR,
        ("next", Stage.WALK): Price.CHEAP, ("ninety", Stage.ASK): Price.NUMBER, ("no ninety", Stage.ASK): Price.NUMBER,
        ("the same", Stage.ASK): Price.NUMBER,
    }  # fmt: skip
    for (words, stage), price in prices.items():
        found = Expected(stage, Wants.LENGTH, Unit.MM).meaning(tuple(words.split()))
        assert found is not None and found.price is price, words


def test_a_yes_while_marking_means_what_next_means() -> None:
    at = Expected(Stage.WALK, Wants.LENGTH, Unit.MM)
    assert at.meaning(("yes",)) == at.meaning(("next",))
    assert at.meaning(("no",)) != at.meaning(("next",))


@pytest.mark.parametrize("words", ["half use same the", "next five", "five mark end", "the bay the six"])
def test_what_an_ear_makes_of_talk_means_nothing_however_near_it_comes(words: str) -> None:
    for stage in (Stage.ASK, Stage.HUB, Stage.WALK):
        assert meaning(Expected(stage, Wants.LENGTH, Unit.MM), words) is None


def test_words_of_another_state_mean_nothing_here() -> None:
    assert meaning(Expected(Stage.CAUTION, Wants.LENGTH, Unit.MM), "gap confirmed") is None
