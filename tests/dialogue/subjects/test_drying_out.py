"""Drying: the published rule, the bay it is told for, and moisture the rule is not made for."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from subject_turns import bay, filled_in, job, kept, said, said_to
from talk import Talk

from assistant.dialogue.subjects.drying_out import DRYING, OF_TIMBER
from assistant.language.vocabulary import DRYING_TIMBERS, Act
from assistant.numbers import say_number
from assistant.numbers.styles import NumberStyle
from assistant.setout.drying import width_at
from assistant.setout.lengths import mm
from assistant.setout.limits import GapLimit
from assistant.setout.trouble import ImpossibleError

WHOLE = NumberStyle.WHOLE
# Nine pickets of 90 and ten gaps of 99.
NINETY_NINE = bay(1, 1800)


def test_the_phrase_needs_a_bay() -> None:
    assert said(said_to(job(NINETY_NINE), Act.DRYING)) == "Bay one, drying. What is the moisture of the timber now, in percent?"
    with pytest.raises(ImpossibleError, match="no bay yet"):
        said_to(job(), Act.DRYING)


def test_a_gap_of_ninety_nine_opens_past_a_hundred_as_pickets_dry() -> None:
    # FPL-RP-489's formula: 90 mm from 19 to 12 % is 88.62, and the gap becomes 100.38 (arithmetic from it).
    turn = filled_in(job(NINETY_NINE), DRYING, now=19, later=12)
    assert kept(turn)["Drying"] == (
        "A picket of ninety millimetres becomes about eighty eight point six millimetres.",
        "The gap of bay one becomes about one hundred point four millimetres.",
        "That is over the largest gap.",
    )
    assert "FPL-RP-489" in kept(turn)["Drying, where it comes from"][0]
    assert turn.job.draft is None


def test_pickets_that_swell_until_they_meet_are_warned_of() -> None:
    # By hand: 24 pickets of 90 in 2160.25 leave gaps of 0.01, and 12 to 19 % adds more than a millimetre to each.
    tight = replace(NINETY_NINE, openings=(("bottom", mm("2160.25")),), limit=GapLimit(Fraction(1, 50), strict=False))
    assert kept(filled_in(job(tight), DRYING, now=12, later=19))["Drying"] == (
        "A picket of ninety millimetres becomes about ninety one point four millimetres.",
        "The pickets of bay one meet, and push each other off: leave a larger gap.",
    )
    assert "meet" not in said(filled_in(job(NINETY_NINE), DRYING, now=12, later=19))


def test_it_is_told_for_the_bay_that_is_talked_about() -> None:
    made = job(bay(1, 1000), replace(NINETY_NINE, number=2), current=1)
    assert "The gap of bay two becomes about one hundred point four millimetres." in said(filled_in(made, DRYING, now=19, later=12))


@pytest.mark.parametrize("line", DRYING_TIMBERS)
def test_a_timber_that_is_named_goes_by_its_own_shrinkage(line: str) -> None:
    timber = DRYING_TIMBERS[line]
    began = said_to(job(NINETY_NINE), Act.DRYING_OF, words=line)
    assert said(began) == f"Bay one, drying, {timber.name}. What is the moisture of the timber now, in percent?"
    turn = filled_in(job(NINETY_NINE), OF_TIMBER[timber], now=16, later=12)
    dry = width_at(Fraction(90), timber, Fraction(16), Fraction(12))
    assert said(turn).startswith(f"A picket of ninety millimetres becomes about {say_number(round(dry * 10) / Fraction(10), WHOLE)}")
    assert kept(turn)["Drying, where it comes from"] == (f"{timber.name.capitalize()}: {timber.source}.",)


def test_red_cedar_from_eighteen_to_twelve_percent() -> None:
    # 5 % spread over 18 points: 90 * 6 / (18 * 100 / 5 - 18 + 18) is 1.5, by ICC 400's formula.
    red_cedar = OF_TIMBER[DRYING_TIMBERS["moisture of western red cedar"]]
    assert said(filled_in(job(NINETY_NINE), red_cedar, now=18, later=12)).startswith(
        "A picket of ninety millimetres becomes eighty eight point five millimetres. "
        "The gap of bay one becomes one hundred point five millimetres. That is over the largest gap."
    )


def test_wet_timber_is_taken_for_a_species_and_refused_at_once_without_one() -> None:
    lines = ("ninety", "one hundred", "1800", "the same")
    talk = Talk(*lines, "drying")
    told = talk.say("25")
    assert "That rule goes from eight to nineteen percent. For wetter timber: leave it, then say: moisture of western red cedar." in told
    assert told.endswith("What is the moisture of the timber now, in percent?")
    talk.say("19")
    assert "That rule goes from eight to nineteen percent." in talk.say("seven")
    assert "The gap of bay one becomes about one hundred point four millimetres." in talk.say("12")
    talk = Talk(*lines, "moisture of western red cedar", "25")
    assert "becomes eighty eight point five" in talk.say("12")


def test_timber_that_stays_green_does_not_move() -> None:
    fir = OF_TIMBER[DRYING_TIMBERS["moisture of douglas fir"]]
    assert said(filled_in(job(NINETY_NINE), fir, now=50, later=30)).startswith(
        "A picket of ninety millimetres stays as it is. The timber is green at both. The gap of bay one becomes ninety nine millimetres."
    )
