"""Checks on site read the rail that is being marked, as it stands."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sample_jobs import called, confirmed, slipped
from subject_turns import bay, filled_in, job, kept, said, said_to

from assistant.dialogue.state import State, Walking
from assistant.dialogue.subjects.site_checks import gap_measures
from assistant.dialogue.subjects.sloping_ground import RAKED
from assistant.dialogue.turn import Turn
from assistant.fold import apply
from assistant.job import BayChosen, Job
from assistant.language.understanding import Intent
from assistant.language.vocabulary import Act
from assistant.measured import Gate, Slip
from assistant.numbers import say_number
from assistant.numbers.styles import NumberStyle
from assistant.plan import set_out_of
from assistant.setout.ends import PICKET
from assistant.setout.lengths import Resolution, Unit, inches
from assistant.setout.limits import GapLimit
from assistant.setout.marks import Edge, Origin
from assistant.setout.trouble import ImpossibleError

# Gaps of 88.7 on the bottom rail, and of 87.9 on the top: 13 pickets of 90 on both, by hand.
SHARED = confirmed(job(bay(1, 2412, 2400), bay(2, 1815), share_lean=True), 1)


def measured(made: Job, value: str) -> str:
    """The answer to a gap that was measured."""
    turn = Turn(State(job=made, focus=Walking()), redo=Intent(Act.VALUE))
    gap_measures(turn, Intent(Act.GAP_MEASURES), Fraction(value))
    assert turn.facts == []
    assert turn.redo is None
    return said(turn)


# A gap that was measured ----------------------------------------------------------------------------------------------


def test_a_gap_as_planned_over_and_under_it() -> None:
    made = job(bay(1, 1800))  # nine pickets and ten gaps of 99, by hand
    assert measured(made, "99") == "Ninety nine millimetres, as planned. Inside the tolerance. Carry on."
    assert measured(made, "97") == "Ninety seven millimetres, two millimetres under the plan. Inside the tolerance. Carry on."
    assert measured(made, "96") == "Ninety six millimetres, three millimetres under the plan. Set the picket after it to its own mark."
    assert measured(made, "100") == "One hundred millimetres, one millimetre over the plan. Inside the tolerance. Carry on."
    assert measured(made, "101") == (
        "One hundred and one millimetres, two millimetres over the plan. That breaks the largest gap. Move the picket."
    )
    assert measured(job(), "99") == "There is no bay yet. Measure one first."


def test_a_strict_limit_is_broken_by_its_own_value() -> None:
    # England's guard: a 100 mm sphere must not pass (Approved Document K), so a gap of 100 is too wide.
    strict = GapLimit(Fraction(100), strict=True)
    assert measured(job(bay(1, 1800, limit=strict)), "100").endswith("Move the picket.")


def test_a_gap_is_judged_by_the_rail_that_is_being_marked() -> None:
    bottom = measured(called(SHARED, 1, "bottom", 3), "89.9")
    assert bottom == (
        "Bottom rail: eighty nine point nine millimetres, about one point two millimetres over the plan. Inside the tolerance. Carry on."
    )
    top = measured(called(SHARED, 1, "top", 3), "89.9")
    assert top == (
        "Top rail: eighty nine point nine millimetres, about two millimetres over the plan. Set the picket after it to its own mark."
    )


def test_a_gap_is_judged_by_the_spacing_after_a_slip() -> None:
    # By hand: 1815 holds ten pickets with gaps of 83.18; with mark four at 650 the six that follow leave seven gaps of 76.43.
    made = confirmed(job(bay(1, 1815)), 1)
    assert measured(made, "76").endswith("Set the picket after it to its own mark.")
    again = slipped(made, 1, Slip(4, (("bottom", Fraction(650)),)))
    assert measured(again, "76") == (
        "Seventy six millimetres, about zero point four millimetres under the plan. Inside the tolerance. Carry on."
    )


def test_a_gap_is_judged_by_the_bay_that_is_talked_about_once_another_was_chosen() -> None:
    made = confirmed(job(bay(1, 2412), bay(2, 1815)), 1)
    made = apply(called(made, 1, "bottom", 3), BayChosen(1))
    assert "about zero point two millimetres under the plan" in measured(made, "83")  # 83.18


def test_a_gap_is_judged_by_the_limit_the_bay_was_set_out_with() -> None:
    made = confirmed(job(bay(1, 1800, limit=GapLimit(Fraction(120), strict=False), count=9)), 1)
    assert measured(made, "101") == "One hundred and one millimetres, two millimetres over the plan. Inside the tolerance. Carry on."


# Check marks ----------------------------------------------------------------------------------------------------------


@given(st.integers(1, 14), st.sampled_from(Edge), st.sampled_from(Origin), st.integers(500, 3000))
def test_check_marks_are_every_so_many_of_the_marks_that_are_called_and_the_last(
    every: int, edge: Edge, origin: Origin, opening: int
) -> None:
    made = job(bay(1, opening), edge=edge, origin=origin, right=PICKET)
    values = set_out_of(made, 0).rails[0].values()
    numbers = [*range(every, len(values), every), len(values)]
    said_for = [
        f"picket {say_number(number, NumberStyle.WHOLE)} at {say_number(values[number - 1], NumberStyle.WHOLE)}." for number in numbers
    ]
    lines = kept(said_to(made, Act.CHECK_EVERY, every))["Check marks, bay one"]
    assert [line.lower() for line in lines[: len(said_for)]] == said_for
    assert [line.startswith("A spacer puts the last ") for line in lines[len(said_for) :]] in ([], [True])


def test_every_fifth_of_twelve_pickets_is_the_fifth_the_tenth_and_the_last() -> None:
    # hammerzone.com fence section 8: 96 in, 12 pickets of 5.5, picket at both ends, gap 30/11.  A pitch is 181/22 in, so the left
    # edges of the fifth, the tenth and the twelfth stand at 32 10/11, 74 1/22 and 90 1/2 in: to a sixteenth by hand.
    wide = bay(1, inches(96), picket=inches("5.5"), limit=GapLimit(inches(3), strict=False))
    made = job(wide, unit=Unit.INCH, resolution=Resolution.INCH_16, left=PICKET, right=PICKET)
    assert said(said_to(made, Act.CHECK_EVERY, 5)) == (
        "Picket five at thirty two and fifteen sixteenths. Picket ten at seventy four and one sixteenth. "
        "Picket twelve at ninety and a half. A spacer puts the last a quarter of an inch past its mark."
    )
    # The quarter is the page's own; where the gap is on a graduation nothing is said of it.
    assert "spacer" not in said(said_to(job(bay(1, 1800)), Act.CHECK_EVERY, 5))


def test_check_marks_are_those_of_the_rail_that_is_being_marked() -> None:
    top = said_to(called(SHARED, 1, "top", 3), Act.CHECK_EVERY, 6)
    values = [rail.values() for rail in set_out_of(SHARED, 0).rails]
    assert values[0][5] == 982 and values[1][5] == 977
    assert kept(top)["Check marks, bay one, top rail"][0] == "Picket six at nine hundred and seventy seven."
    bottom = said_to(called(SHARED, 1, "bottom", 3), Act.CHECK_EVERY, 6)
    assert kept(bottom)["Check marks, bay one, bottom rail"][0] == "Picket six at nine hundred and eighty two."


def test_check_marks_after_a_slip_and_along_a_slope_are_the_marks_that_are_called() -> None:
    made = slipped(confirmed(job(bay(1, 1815)), 1), 1, Slip(4, (("bottom", Fraction(650)),)))
    # By hand: 650 + 90 + 76.43 is mark five at 816.43, so mark eight at 1315.71 and mark ten at 1648.57.
    assert said(said_to(made, Act.CHECK_EVERY, 4)) == (
        "Picket four at six hundred and fifty. Picket eight at one thousand three hundred and sixteen. "
        "Picket ten at one thousand six hundred and forty nine."
    )
    # Rise 300 over 400 is five along for four level: the first of 83.18 becomes 103.98.
    raked = filled_in(job(bay(1, 1815)), RAKED, rise=300, going=400).job
    assert said(said_to(raked, Act.CHECK_EVERY, 1)).startswith("Picket one at one hundred and four.")


def test_check_marks_stay_as_set_out_when_settings_change() -> None:
    made = confirmed(job(bay(1, 1815), bay(2, 1815)), 1)
    turn = Turn(State(job=made))
    turn.settle(edge=Edge.CENTRE)
    assert said(said_to(turn.job, Act.CHECK_EVERY, 1)).startswith("Picket one at eighty three.")
    assert said(said_to(apply(turn.job, BayChosen(1)), Act.CHECK_EVERY, 1)).startswith("Picket one at one hundred and twenty eight.")


def test_no_check_marks_without_a_bay_or_every_none() -> None:
    assert said(said_to(job(), Act.CHECK_EVERY, 3)) == "There is no bay yet. Measure one first."
    with pytest.raises(ImpossibleError, match="every 0 pickets"):
        said_to(job(bay(1, 1815)), Act.CHECK_EVERY, 0)


# Openings compared ----------------------------------------------------------------------------------------------------


def test_openings_that_stand_out_are_named_and_gates_are_not_compared() -> None:
    # A bay 38 short of the others; common practice, no source.
    gate = bay(1, 1000, gate=Gate(Fraction(6), Fraction(12)))
    made = job(gate, bay(2, 2400), bay(3, 2362, 2350), bay(4, 2400), bay(5, 2412))
    assert kept(said_to(made, Act.POSTS_JUDGE))["Openings compared"] == (
        "The usual opening is two thousand four hundred millimetres.",
        "Bay three is thirty eight millimetres short.",
        "Bay five is twelve millimetres over.",
    )


def test_openings_that_are_alike_are_told_so() -> None:
    assert said(said_to(job(bay(1, 2400), bay(2, 2405)), Act.POSTS_JUDGE)).endswith("None stands out.")
    with pytest.raises(ImpossibleError, match="no bay yet"):
        said_to(job(), Act.POSTS_JUDGE)


# A spacer block -------------------------------------------------------------------------------------------------------


def test_the_size_of_a_spacer_is_said_where_one_will_do() -> None:
    # By hand: nine pickets and ten gaps of 99; ten of 90 in 1815 leave eleven of 83.18, and nine spacers of 83 fall 1.6 short.
    assert said(said_to(job(bay(1, 1800)), Act.SPACER)) == (
        "Bay one: a spacer of ninety nine millimetres ends on the last mark. Set the first picket on its mark."
    )
    assert said(said_to(job(bay(1, 1815)), Act.SPACER)) == (
        "Bay one: a spacer of eighty three millimetres will do. "
        "It sets the last picket about one point six millimetres short of its mark. Set the first picket on its mark."
    )


def test_where_a_spacer_will_not_do_the_marks_are_used() -> None:
    # By hand: 23 pickets of 90 in 4290 leave 24 gaps of 92.5, cut to 92: 22 spacers fall 11 short.
    turn = said_to(job(bay(1, 4290)), Act.SPACER)
    assert said(turn) == (
        "Bay one: a spacer of ninety two millimetres will not do. "
        "It sets the last picket eleven millimetres short of its mark. Use the marks."
    )
    assert "Spacer block" in kept(turn)
    made = slipped(confirmed(job(bay(1, 1800)), 1), 1, Slip(4, (("bottom", Fraction(670)),)))
    assert said(said_to(made, Act.SPACER)) == "A picket of bay one slipped, so its gaps differ. Use the marks."
    assert said(said_to(job(), Act.SPACER)) == "There is no bay yet. Measure one first."
