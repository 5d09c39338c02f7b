"""What two ears make of an utterance: taken, asked or refused by what a mistake would cost."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.events import Meaning, Price
from assistant.speech.judgement import BARS, FAR, UNHEARD, AskAgain, AskWhich, Heard, NotForUs, Take, judge
from assistant.speech.readings import Opinion, Reading

NOTHING = Heard((), None)
NEXT = Meaning("NEXT")
YES = Meaning("YES", price=Price.DEAR)
NO = Meaning("NO", price=Price.DEAR)


def length(mm: int) -> Meaning:
    return Meaning("VALUE", (Fraction(mm),), Price.NUMBER)


def heard(meaning: Meaning, words: str) -> Heard:
    return Heard(tuple(words.split()), meaning)


def opinion(*readings: tuple[Meaning | None, str, float]) -> Opinion:
    """Readings of ten phonemes, so far behind the free path."""
    return Opinion(tuple(Reading(meaning, tuple(words.split()), -behind, 10) for meaning, words, behind in readings), 0.0)


def test_a_number_that_both_heard_is_taken() -> None:
    second = opinion((length(1815), "eighteen fifteen", 2.0), (length(1850), "eighteen fifty", 9.5))
    assert judge(heard(length(1815), "eighteen fifteen"), second) == Take(("eighteen", "fifteen"))


def test_a_number_that_both_heard_is_asked_about_where_another_is_close() -> None:
    second = opinion((length(2132), "twenty one thirty two", 1.0), (length(2133), "twenty one thirty three", 1.5))
    assert isinstance(judge(heard(length(2132), "twenty one thirty two"), second), AskWhich)


def test_two_numbers_are_offered_only_where_one_of_them_is_likely() -> None:
    far = opinion((length(627), "six two seven", 12.0), (length(27), "two seven", 13.0))
    assert judge(heard(length(670), "six and seventy"), far) == AskAgain(("six", "two", "seven"))


def test_the_words_of_the_first_are_kept_where_both_mean_the_same() -> None:
    second = opinion((length(1815), "one eight one five", 1.0))
    assert judge(heard(length(1815), "eighteen fifteen"), second) == Take(("eighteen", "fifteen"))


def test_a_number_that_only_the_second_heard_is_taken_when_it_is_sure() -> None:
    assert judge(NOTHING, opinion((length(2160), "twenty one sixty", 1.0))) == Take(("twenty", "one", "sixty"))


def test_of_two_numbers_the_ears_ask_which() -> None:
    second = opinion((length(1815), "eighteen fifteen", 1.0), (length(1850), "eighteen fifty", 3.5))
    verdict = judge(heard(length(1850), "eighteen fifty"), second)
    assert isinstance(verdict, AskWhich)
    assert {verdict.first, verdict.second} == {("eighteen", "fifteen"), ("eighteen", "fifty")}


def test_a_number_is_never_asked_about_beside_a_command() -> None:
    verdict = judge(heard(NEXT, "next"), opinion((length(6), "six", 9.0), (NEXT, "next", 9.5)))
    assert not isinstance(verdict, AskWhich)


def test_a_cheap_command_is_taken_on_one_ear() -> None:
    assert judge(NOTHING, opinion((NEXT, "next", 3.0))) == Take(("next",))


@pytest.mark.parametrize("act", ["CONFIRM_GAP", "UNDERSTOOD", "YES", "UNDO", "REMOVE_BAY"])
def test_what_is_dear_needs_both_however_sure_the_second_is(act: str) -> None:
    dear = Meaning(act, price=Price.DEAR)
    assert not isinstance(judge(NOTHING, opinion((dear, "so be it", 0.0))), Take)
    assert not isinstance(judge(Heard(("but", "no"), NO), opinion((dear, "so be it", 0.0))), Take)
    assert judge(heard(dear, "so be it"), opinion((dear, "so be it", 0.0))) == Take(("so", "be", "it"))


def test_a_yes_against_a_no_is_asked_again() -> None:
    assert isinstance(judge(heard(NO, "no"), opinion((YES, "yes", 1.0), (NO, "no", 3.0))), AskAgain)


def test_ordinary_words_are_not_for_us() -> None:
    assert judge(NOTHING, opinion((None, "people", 1.0), (NEXT, "next", 12.0))) == NotForUs()


def test_what_is_far_from_everything_sayable_is_not_for_us_even_where_the_first_heard_it() -> None:
    assert judge(heard(NEXT, "next"), opinion((NEXT, "next", 10 * BARS[Price.CHEAP].both + 1))) == NotForUs()
    assert judge(heard(length(90), "ninety"), opinion((length(90), "ninety", 10 * FAR + 1))) == NotForUs()
    assert judge(heard(NEXT, "next"), opinion()) == NotForUs()


def test_talk_of_which_the_first_made_nothing_gets_no_question() -> None:
    assert judge(NOTHING, opinion((NEXT, "next", 30.0))) == NotForUs()


@st.composite
def cases(draw: st.DrawFn) -> tuple[Heard, Opinion]:
    meanings = (NEXT, YES, NO, length(1815), length(1850), None)
    found = draw(st.lists(st.tuples(st.sampled_from(meanings), st.floats(0, 60)), max_size=4, unique_by=lambda one: one[0]))
    ranked = sorted(found, key=lambda one: one[1])
    first = draw(st.sampled_from(meanings))
    said = ("nothing",) if first is None else (first.act, *map(str, first.values))
    readings = ((one, " ".join((one.act, *map(str, one.values))) if one else "people", far) for one, far in ranked)
    return Heard(said, first), opinion(*readings)


@given(cases())
def test_nothing_dear_is_ever_taken_that_one_ear_did_not_hear(case: tuple[Heard, Opinion]) -> None:
    first, second = case
    verdict = judge(first, second)
    if isinstance(verdict, Take) and verdict.words[0] in ("YES", "NO"):
        assert first.words == verdict.words
        assert any(reading.words == verdict.words for reading in second.readings)


@given(cases())
def test_whatever_is_taken_or_asked_was_heard_by_an_ear(case: tuple[Heard, Opinion]) -> None:
    first, second = case
    all_words = {first.words, *(reading.words for reading in second.readings)}
    match judge(first, second):
        case Take(words) | AskAgain(words):
            assert words in all_words
        case AskWhich(one, other):
            assert {one, other} <= all_words
            assert one != other


@given(cases(), st.floats(0, 30))
def test_more_distance_never_turns_a_refusal_into_a_take(case: tuple[Heard, Opinion], more: float) -> None:
    first, second = case
    if not isinstance(judge(first, second), Take):
        assert not isinstance(judge(first, Opinion(second.readings, second.free + more)), Take)


def test_the_bars_rise_with_the_price() -> None:
    assert BARS[Price.CHEAP].margin < BARS[Price.NUMBER].margin < UNHEARD
    assert BARS[Price.NUMBER].alone < BARS[Price.CHEAP].alone < FAR <= BARS[Price.CHEAP].both
    assert max(BARS[Price.DEAR].both, BARS[Price.NUMBER].both) < FAR
