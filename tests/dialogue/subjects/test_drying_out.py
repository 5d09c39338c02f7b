"""Drying: the published rule, the bay it is told for, and moisture the rule is not made for."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from subject_turns import bay, filled_in, job, kept, said, said_to

from assistant.dialogue.subjects.drying_out import DRYING
from assistant.language.vocabulary import Act
from assistant.setout.lengths import mm
from assistant.setout.limits import GapLimit
from assistant.setout.trouble import ImpossibleError

# Nine pickets of 90 and ten gaps of 99.
NINETY_NINE = bay(1, 1800)


def test_the_phrase_needs_a_bay() -> None:
    assert said(said_to(job(NINETY_NINE), Act.DRYING)) == "Drying. What is the moisture of the timber now, in percent?"
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


def test_timber_too_wet_for_the_rule_closes_the_form_and_a_wrong_end_leaves_it_open() -> None:
    # With the form left open every answer to its last question would be refused without end.
    turn = filled_in(job(NINETY_NINE), DRYING, now=25, later=12)
    assert said(turn) == "The moisture content has to be from eight to nineteen percent for this rule."
    assert turn.job.draft is None
    assert kept(turn) == {}
    with pytest.raises(ImpossibleError, match="from 8 to 19 percent"):
        filled_in(job(NINETY_NINE), DRYING, now=15, later=5)
