"""Sentences of several parts are taken apart in one way only, and a number with a word too many is not taken for two."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.language.expecting import Expected
from assistant.language.understanding import Several, Unknown, Wants, intents, understand
from assistant.language.vocabulary import Act, Stage
from assistant.numbers import SpokenLength, say_length
from assistant.numbers.styles import NumberStyle
from assistant.setout.lengths import Length, Unit

OPENINGS = st.integers(700, 2900).map(Length)


def said(length: Length, style: NumberStyle = NumberStyle.WHOLE) -> str:
    return say_length(length, Unit.MM, style, with_unit=False)


def parts(words: str, stage: Stage = Stage.ASK) -> list[tuple[Act, Length | None, int | None]]:
    found = intents(understand(tuple(words.split()), stage, Wants.LENGTH, Unit.MM))
    return [(one.act, one.length.mm if isinstance(one.length, SpokenLength) else None, one.count) for one in found]


@given(OPENINGS, OPENINGS)
def test_a_bay_in_one_breath_is_its_two_openings(bottom: Length, top: Length) -> None:
    words = f"bottom {said(bottom)} top {said(top)}"
    assert parts(words) == [(Act.SET_BOTTOM, bottom, None), (Act.SET_TOP, top, None)]
    assert Expected(Stage.ASK, Wants.LENGTH, Unit.MM).graph.accepts(words.split()), "the second ear cannot hear it"


@given(st.integers(1, 19), OPENINGS, st.sampled_from([NumberStyle.WHOLE, NumberStyle.DIGITS]))
def test_the_number_of_a_bay_does_not_run_into_its_opening(number: int, opening: Length, style: NumberStyle) -> None:
    words = f"bay {say_length(Length(number), Unit.MM, NumberStyle.WHOLE, with_unit=False)} {said(opening, style)} both"
    assert parts(words, Stage.HUB) == [(Act.GO_BAY, None, number), (Act.BOTH, opening, None)]


@pytest.mark.parametrize("words", ["two thousand and one hundred seventeen", "nine hundred and two thousand", "twenty one and sixty"])
def test_a_number_with_a_word_too_many_is_not_two_numbers(words: str) -> None:
    assert not isinstance(understand(tuple(words.split()), Stage.ASK, Wants.LENGTH, Unit.MM), Several)


@pytest.mark.parametrize("words", ["no next", "sorry gap confirmed", "ninety understood", "yes start marking", "no remove bay one"])
@pytest.mark.parametrize("stage", [Stage.ASK, Stage.HUB, Stage.GAP, Stage.CAUTION])
def test_nothing_that_confirms_or_takes_away_is_part_of_a_sentence(words: str, stage: Stage) -> None:
    found = understand(tuple(words.split()), stage, Wants.LENGTH, Unit.MM)
    assert isinstance(found, Unknown) or not any(
        one.act in (Act.CONFIRM_GAP, Act.UNDERSTOOD, Act.YES, Act.REMOVE_BAY) for one in intents(found)
    )


def test_manner_of_speaking_changes_nothing() -> None:
    plain = parts("next bay eighteen fifteen both", Stage.HUB)
    assert plain == parts("ok mate next bay eighteen fifteen both please", Stage.HUB)
    assert plain[0][0] is Act.NEW_BAY
