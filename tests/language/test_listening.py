"""What the recogniser is told to listen for."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from talk import TO_REACH, Talk

from assistant.dialogue.asking import listened_for, wanted
from assistant.dialogue.manager import step
from assistant.dialogue.state import State, Walking
from assistant.events import Ending, JobOpened
from assistant.language.listening import ending, phrases, vocabulary_words
from assistant.language.patterns import expand, parse_template
from assistant.language.understanding import Intent, Wants, understand
from assistant.language.vocabulary import PHRASES, Stage
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
    assert any(line.startswith("twenty one") for line in phrases(*listened_for(asking)))


def test_asleep_only_the_wake_up_phrase_counts(asking: State) -> None:
    assert set(phrases(*listened_for(replace(asking, asleep=True)))) == {"wake up assistant", "assistant wake up"}


@pytest.mark.parametrize("stage", [stage for stage in Stage if stage is not Stage.ASK], ids=lambda stage: stage.name)
def test_every_phrase_without_a_length_is_understood_as_what_it_was_written_for(stage: Stage) -> None:
    for phrase in PHRASES:
        for template in phrase.templates if stage in phrase.stages else ():
            for words in expand(parse_template(template)):
                if "<length>" not in words:
                    said = tuple("twelve" if word == "<count>" else word for word in words)
                    meaning = understand(said, stage, Wants.LENGTH, Unit.MM)
                    assert isinstance(meaning, Intent), said
                    assert meaning.act is phrase.act


def test_while_marking_those_phrases_are_listened_for() -> None:
    heard = set(phrases(*listened_for(State(focus=Walking()))))
    assert {"next", "go to mark twelve", "how many left", "call every three seconds"} <= heard
    assert not {"no more bays", "gap confirmed", "understood"} & heard
    assert not {"yes", "no"} & heard  # nothing is asked, and both sound like “next”


def test_at_the_last_mark_of_a_rail_a_yes_and_a_no_are_listened_for() -> None:
    talk = Talk(*TO_REACH[Stage.WALK])
    assert not {"yes", "no"} & set(talk.conversation.phrases())
    assert "does the tape agree?" in talk.type("go to mark 10")
    assert {"yes", "no"} <= set(talk.conversation.phrases())
    graph = talk.conversation.expected().graph
    assert graph.accepts(("yes",)) and graph.accepts(("no",))


OPEN = ("no", "picket width", "picket width two", "twenty one", "ninety")
BREATH = ("two thousand", "two thousand one hundred", "two thousand one hundred and", "one hundred", "no two thousand")
COMPLETE = ("two thousand one hundred and forty", "two one four", "the same")
FINISHED = ("two thousand one hundred and forty five", "twenty one forty five", "two one four five", "nine hundred millimetres",
            "no twenty one forty five", "leave it", "what can i say", "six leave")  # fmt: skip


@pytest.mark.parametrize(
    ("words", "expected"),
    [(words, end) for end, many in zip(Ending, (FINISHED, COMPLETE, OPEN, BREATH), strict=True) for words in many],
)
def test_where_a_length_is_asked_for_a_breath_is_waited_out_and_a_whole_length_is_not(asking: State, words: str, expected: Ending) -> None:
    assert ending(tuple(words.split()), *listened_for(asking)) is expected


@pytest.mark.parametrize(
    ("words", "expected"),
    [("ninety", Ending.COMPLETE), ("nineteen", Ending.COMPLETE), ("one hundred", Ending.COMPLETE),
     ("one hundred and", Ending.BREATH), ("one", Ending.OPEN), ("two thousand", Ending.BREATH)],
)  # fmt: skip
def test_where_only_short_numbers_are_likely_no_second_group_is_waited_for(words: str, expected: Ending) -> None:
    at = Stage.ASK, Wants.LENGTH, Unit.MM, (Fraction(10), Fraction(200))
    assert ending(tuple(words.split()), *at) is expected


@pytest.mark.parametrize(
    ("words", "expected"),
    [("six feet", Ending.BREATH), ("seventy two", Ending.BREATH), ("ten feet four", Ending.BREATH), ("ten feet four and", Ending.BREATH),
     ("three and five", Ending.BREATH), ("seventy two inches", Ending.COMPLETE), ("six feet four inches", Ending.COMPLETE),
     ("three and a half", Ending.FINISHED), ("ten feet four and five sixteenths", Ending.FINISHED)],
)  # fmt: skip
def test_in_inches_a_part_is_waited_for_until_it_was_said(words: str, expected: Ending) -> None:
    assert ending(tuple(words.split()), Stage.ASK, Wants.LENGTH, Unit.INCH) is expected
    if "feet" in words:
        assert ending(tuple(words.split()), Stage.ASK, Wants.LENGTH, Unit.MM) is expected


@pytest.mark.parametrize(
    ("words", "expected"),
    [("next", Ending.COMPLETE), ("back", Ending.COMPLETE), ("pardon", Ending.FINISHED),
     ("mark", Ending.OPEN), ("mark twelve", Ending.FINISHED),
     ("mark twenty", Ending.COMPLETE), ("gap is", Ending.OPEN), ("gap is one hundred", Ending.BREATH), ("eight", Ending.FINISHED)],
)  # fmt: skip
def test_while_marking_a_word_that_can_go_on_is_waited_behind(words: str, expected: Ending) -> None:
    assert ending(tuple(words.split()), *listened_for(State(focus=Walking()))) is expected
