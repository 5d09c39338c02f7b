"""The one table of the conversation, held against the vocabulary."""

from __future__ import annotations

import pytest

from assistant.dialogue.finishing import FINISHERS
from assistant.dialogue.registry import FORMS
from assistant.dialogue.state import Kind
from assistant.dialogue.subjects import SUBJECTS
from assistant.dialogue.table import TABLE
from assistant.language.rarer import RARER
from assistant.language.vocabulary import PHRASES, Act, Stage

SAID = (*PHRASES, *RARER)


def test_whatever_can_be_said_where_has_one_who_handles_it_and_nothing_else_has() -> None:
    said = {(kind, phrase.act) for phrase in SAID for kind in Kind if kind.stage in phrase.stages}
    asleep = {(kind, phrase.act) for phrase in SAID for kind in Kind if Stage.ASLEEP in phrase.stages}
    assert set(TABLE) == said | asleep


def test_every_act_has_a_phrase() -> None:
    assert {phrase.act for phrase in SAID} == set(Act)


def test_every_form_has_what_finishes_it_and_a_key_of_its_own() -> None:
    assert set(FINISHERS) == set(FORMS.values())
    assert len({form.key for form in FINISHERS}) == len(FINISHERS)


@pytest.mark.parametrize("place", range(len(SUBJECTS)))
def test_no_two_subjects_handle_the_same_act(place: int) -> None:
    others = {act for other, subject in enumerate(SUBJECTS) if other != place for act in subject.handlers}
    assert not others & set(SUBJECTS[place].handlers)
