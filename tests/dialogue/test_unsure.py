"""What the ears were not sure of is asked about, and never taken."""

from __future__ import annotations

from talk import TO_REACH, Talk

from assistant.events import Utterance
from assistant.language.vocabulary import Stage

FIFTEEN, FIFTY = ("eighteen", "fifteen"), ("eighteen", "fifty")


def in_doubt(*readings: tuple[str, ...]) -> Utterance:
    return Utterance(readings[0], 0.0, 1.0, doubt=readings)


def test_two_numbers_are_put_to_the_user_and_the_choice_is_taken() -> None:
    talk = Talk(*TO_REACH[Stage.ASK])
    asked = talk.take(in_doubt(("twenty", "one", "sixty"), ("twenty", "one", "sixty", "four")))
    assert "two one six zero" in asked and "two one six four" in asked
    assert talk.conversation.state.stage is Stage.CHOOSE
    assert not talk.job.bays
    assert "two one six four" in talk.say("the second")


def test_of_two_numbers_the_only_likely_one_is_asked_about() -> None:
    talk = Talk("ninety")
    asked = talk.take(in_doubt(("three", "eight", "three", "four", "two"), ("ninety", "five")))
    assert asked == "Largest gap: ninety five millimetres. Is that right? Yes, or the right number."
    assert talk.job.settings.limit is None
    assert "gaps up to ninety five" in talk.say("yes")


def test_a_doubt_changes_nothing_in_the_job() -> None:
    for stage in Stage:
        talk = Talk(*TO_REACH[stage])
        before = talk.job
        talk.take(in_doubt(FIFTEEN, FIFTY))
        talk.take(in_doubt(("gap", "confirmed")))
        assert talk.job == before


def test_one_unsure_reading_is_asked_for_again_and_the_third_time_with_help() -> None:
    talk = Talk(*TO_REACH[Stage.GAP])
    first = talk.take(in_doubt(("gap", "confirmed")))
    second = talk.take(in_doubt(("gap", "confirmed")))
    assert first == "Say that again."
    assert second not in ("", first)
    assert talk.conversation.state.stage is Stage.GAP


def test_numbers_of_one_value_are_no_choice() -> None:
    talk = Talk(*TO_REACH[Stage.ASK])
    assert talk.take(in_doubt(("ninety",), ("nine", "zero"))) == "Say that again."


def test_a_doubt_in_a_choice_is_asked_for_again() -> None:
    talk = Talk(*TO_REACH[Stage.CHOOSE])
    assert talk.take(in_doubt(FIFTEEN, FIFTY)) == "Say that again."
    assert talk.conversation.state.stage is Stage.CHOOSE


def test_asleep_a_doubt_gets_no_answer() -> None:
    assert Talk(*TO_REACH[Stage.ASLEEP]).take(in_doubt(FIFTEEN, FIFTY)) == ""


def test_an_opening_in_doubt_is_asked_about_by_its_name_and_given_to_the_bay_that_is_measured() -> None:
    talk = Talk(*TO_REACH[Stage.HUB], "next bay")
    asked = talk.take(in_doubt(("top", "twenty", "one", "sixty"), ("top", "twenty", "one", "sixty", "four")))
    assert asked.startswith("Top: was that two one six zero")
    assert "Bottom opening?" in talk.say("the second")
    assert talk.job.draft is not None and talk.job.draft.answers == (("top", 2164),)


def test_of_two_numbers_only_the_one_in_doubt_is_asked_about() -> None:
    talk = Talk(*TO_REACH[Stage.ASK])
    one = ("bottom", "twenty", "one", "sixty", "two", "top", "twenty", "one", "fifty", "eight")
    other = (*one[:-1], "nine")
    asked = talk.take(in_doubt(one, other))
    assert asked.startswith("Top: was that two one five eight") and "bottom" not in asked.lower()
    assert not talk.job.bays
    talk.say("the second")
    assert [bay.openings for bay in talk.job.bays] == [(("bottom", 2162), ("top", 2159))]


def test_a_bay_whose_opening_is_in_doubt_is_begun_and_asked_about() -> None:
    talk = Talk(*TO_REACH[Stage.HUB])
    one = ("next", "bay", "bottom", "twenty", "one", "sixty", "two", "top", "twenty", "one", "sixty", "three")
    assert "was that two one six two" in talk.take(in_doubt(one, (*one[:6], "four", *one[7:])))
    talk.say("the second")
    assert [length for _, length in talk.job.bays[-1].openings] == [2164, 2163]


def test_where_two_numbers_are_in_doubt_all_is_asked_for_again() -> None:
    talk = Talk(*TO_REACH[Stage.ASK])
    one = ("bottom", "twenty", "one", "sixty", "two", "top", "twenty", "one", "fifty", "eight")
    other = (*one[:4], "four", *one[5:-1], "nine")
    assert talk.take(in_doubt(one, other)) == "Say that again."
    assert talk.stage is Stage.ASK


def test_a_correction_in_doubt_is_asked_for_again_and_corrects_nothing() -> None:
    talk = Talk(*TO_REACH[Stage.ASK], "2145")
    before = talk.job
    assert talk.take(in_doubt(("no", "twenty", "one", "sixty"), ("no", "twenty", "one", "sixty", "four"))) == "Say that again."
    assert talk.job == before
