"""What the recogniser is told to listen for."""

from __future__ import annotations

from dataclasses import replace

import pytest

from assistant.dialogue.asking import wanted
from assistant.dialogue.listening import phrases, vocabulary_words
from assistant.dialogue.manager import step
from assistant.dialogue.state import State, Walking
from assistant.dialogue.understand import Unknown, Wants, understand
from assistant.dialogue.vocabulary import Stage
from assistant.events import JobOpened
from assistant.setout.lengths import Unit
from assistant.speech.models import find_model
from assistant.speech.recogniser import Recogniser


@pytest.fixture(scope="module")
def asking() -> State:
    return step(State(), JobOpened())[0]


def test_the_bundled_model_knows_every_word_of_the_vocabulary() -> None:
    assert Recogniser(find_model(None)).missing(sorted(vocabulary_words())) == ()


def test_where_a_number_is_asked_for_numbers_are_listened_for(asking: State) -> None:
    assert wanted(asking) is Wants.LENGTH
    assert "twenty one sixty" in phrases(asking) or any(line.startswith("twenty one") for line in phrases(asking))


def test_asleep_only_the_wake_up_phrase_counts(asking: State) -> None:
    assert set(phrases(replace(asking, asleep=True))) == {"wake up assistant", "assistant wake up"}


def test_what_is_listened_for_while_marking_is_understood_there() -> None:
    """Every complete phrase of the grammar means something; only beginnings of phrases with a length may not."""
    walking = State(focus=Walking())
    for line in phrases(walking):
        if line.split()[-1] in {"a", "point", "double", "triple", "half", "hundred"} or "gap" in line or "width" in line:
            continue
        meaning = understand(tuple(line.split()), Stage.WALK, Wants.LENGTH, Unit.MM)
        if isinstance(meaning, Unknown):
            assert understand(tuple(line.split()), Stage.ASK, Wants.LENGTH, Unit.MM) is not meaning
