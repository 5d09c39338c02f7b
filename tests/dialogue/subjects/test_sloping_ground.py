"""Sloping ground: raked and stepped bays, from what was measured, and level again; a bay that is set out stays as it is."""

from __future__ import annotations

from fractions import Fraction
from math import radians, tan

import pytest
from sample_jobs import confirmed
from subject_turns import bay, filled_in, job, said, said_to
from talk import Talk

from assistant.dialogue.asking import gap_question
from assistant.dialogue.forms import Form
from assistant.dialogue.manager import resumed
from assistant.dialogue.speaking import summary
from assistant.dialogue.state import Deciding, Decision, State
from assistant.dialogue.subjects.sloping_ground import ALONG, RAKED, STEPPED
from assistant.language.vocabulary import Act, Stage
from assistant.measured import Gate, Slope
from assistant.paper.exports import marks_csv, marks_text
from assistant.paper.sheet_content import sheet
from assistant.plan import set_out_of
from assistant.setout.trouble import ImpossibleError

ONE = job(bay(1, 1000), bay(2, 2400, 2400), current=1)
PHRASES = [(Act.SLOPE_RAKED, RAKED), (Act.SLOPE_STEPPED, STEPPED), (Act.SLOPE_ALONG, ALONG)]


@pytest.mark.parametrize(("act", "form"), PHRASES)
def test_each_phrase_begins_its_form_for_the_bay_that_is_talked_about(act: Act, form: Form) -> None:
    turn = said_to(ONE, act)
    assert turn.job.draft is not None and turn.job.draft.form == form.key
    assert said(turn).replace(" Three questions.", "") == f"Bay two, {form.name}. {form.slots[0].full}"


@pytest.mark.parametrize(("act", "form"), PHRASES)
def test_a_gate_a_bay_set_out_and_no_bay_at_all_are_told(act: Act, form: Form) -> None:
    gate = bay(3, 1000, gate=Gate(Fraction(6), Fraction(12)))
    assert said(said_to(job(bay(1, 2400), gate, current=1), act)) == "A gate hangs level. Choose a bay first."
    assert said(said_to(job(), act)) == "There is no bay yet. Measure one first."
    set_out = said_to(confirmed(ONE, 2), act)
    assert said(set_out) == "Bay two is set out. To change it, say: change bay two."
    assert set_out.facts == []


def test_a_rise_of_seven_over_twenty_four_hundred_stretches_the_rail_by_twenty_five_to_twenty_four() -> None:
    # Exact triple 700, 2400, 2500; the last space too, so the far post is at 2500 along the rail.
    turn = filled_in(ONE, RAKED, rise=700, going=2400)
    made = set_out_of(turn.job, 1)
    assert made.bay.slope is Slope.RAKED
    level = [mark.horizontal for mark in made.rails[0].marks]
    assert [mark.value for mark in made.rails[0].marks] == [round(one * Fraction(25, 24)) for one in level]
    assert said(turn).startswith(
        "Bay two is raked, sixteen point three degrees. Marks run along the rail, pickets stay plumb. "
        "Its rails are two thousand five hundred millimetres long. Cut both ends plumb, at sixteen point three degrees. "
        "Bay two, raked: thirteen pickets"
    )
    assert turn.job.draft is None


def test_the_slope_is_the_rise_over_the_distance_it_was_measured_over() -> None:
    # JLC stair layout article: a rise of 7-5/8 over a run of 10 is 37.3 degrees, whatever the opening is.
    turn = filled_in(ONE, RAKED, rise="7.625", going=10)
    assert "raked, thirty seven point three degrees" in said(turn)
    # Rise 300 over 400 is 5 along for 4 level: by hand.
    values = set_out_of(filled_in(ONE, RAKED, rise=300, going=400).job, 1).rails[0].values()
    level = set_out_of(ONE, 1).rails[0].left_edges()
    assert values == tuple(round(edge * Fraction(5, 4)) for edge in level)


def test_a_rail_measured_along_gives_the_same_marks_as_its_rise() -> None:
    turn = filled_in(ONE, ALONG, along=2500, going=2400)
    by_rise = filled_in(ONE, RAKED, rise=700, going=2400)
    assert set_out_of(turn.job, 1).rails[0].values() == set_out_of(by_rise.job, 1).rails[0].values()
    made = turn.job.bays[1]
    assert (made.slope, made.along, made.rise) == (Slope.RAKED, 2500, 700)
    assert "raked, sixteen point three degrees" in said(turn)


def test_a_rail_shorter_than_its_level_length_is_refused_and_the_form_stays_open() -> None:
    with pytest.raises(ImpossibleError, match="cannot be less than the level length"):
        filled_in(ONE, ALONG, along=2400, going=2500)


def test_how_the_opening_was_taped_is_asked_before_a_bay_is_raked() -> None:
    talk = Talk("ninety", "one hundred", "2400", "2400", "raked slope", "700")
    assert talk.say("2400").endswith("Was the opening of bay one, two thousand four hundred millimetres, taped level? Yes or no.")
    assert talk.job.bays[0].slope is None
    assert talk.say("yes").startswith("Bay one is raked, sixteen point three degrees.")
    talk.say("undo")
    assert talk.job.bays[0].slope is None


def test_an_opening_taped_along_the_slope_is_shorter_on_the_level() -> None:
    # Exact triple 700, 2400, 2500.
    talk = Talk("ninety", "one hundred", "2500", "2500", "raked slope", "700", "2400")
    told = talk.say("no")
    assert told.startswith("Bay one: two thousand five hundred along the slope is two thousand four hundred millimetres level.")
    assert "Its rails are two thousand five hundred millimetres long" in told
    assert talk.job.bays[0].openings == (("bottom", 2400), ("top", 2400))
    by_level = filled_in(job(bay(1, 2400, 2400)), RAKED, rise=700, going=2400)
    assert set_out_of(talk.job, 0).rails == set_out_of(by_level.job, 0).rails


def test_back_from_the_question_goes_to_the_level_distance_and_a_break_asks_again() -> None:
    talk = Talk("ninety", "one hundred", "2400", "2400", "raked slope", "700", "2400")
    assert talk.stage is Stage.DOUBT
    assert resumed(talk.conversation.state).focus == Deciding(Decision.TAPED_LEVEL, 1)
    assert "Over what level distance?" in talk.say("back")
    talk.say("2400")
    assert talk.say("leave it").startswith("Left.")
    assert talk.job.bays[0].slope is None


@pytest.mark.parametrize(
    ("said_so", "degrees", "rise"),
    [
        # A library's tangent: 2400 tan 12 = 510.14, 2400 tan 12.5 = 532.07.
        ("twelve degrees", "twelve", "510.1"),
        ("twelve and a half degrees", "twelve point five", "532.1"),
        ("twelve point five degrees", "twelve point five", "532.1"),
    ],
)
def test_a_slope_is_taken_in_degrees(said_so: str, degrees: str, rise: str) -> None:
    talk = Talk("ninety", "one hundred", "2400", "2400", "raked slope")
    told = talk.say(said_so)
    assert "over two thousand four hundred." in told
    assert told.endswith("taped level? Yes or no.")
    assert talk.say("yes").startswith(f"Bay one is raked, {degrees} degrees.")
    assert talk.job.bays[0].rise == Fraction(rise)
    assert abs(float(talk.job.bays[0].rise) - 2400 * tan(radians(12 if degrees == "twelve" else 12.5))) <= 0.05


def test_a_stepped_bay_takes_degrees_too_and_asks_on() -> None:
    talk = Talk("ninety", "one hundred", "2400", "2400", "stepped slope")
    assert talk.say("ten degrees").endswith("At the high end, how far are the pickets off the ground?")
    told = talk.say("45")
    assert told.startswith("Off the ground: four five. Bay one is stepped; its rails are level. Step four hundred and twenty three")


def test_degrees_elsewhere_and_degrees_too_steep_are_told() -> None:
    talk = Talk("ninety", "one hundred", "2400")
    assert talk.say("twelve degrees").startswith("Degrees are for a slope. Here I need a number.")
    talk = Talk("ninety", "one hundred", "2400", "2400", "raked slope")
    assert "That is fifty degrees. Over forty five it is no slope for a fence." in talk.say("fifty degrees")
    assert talk.stage is Stage.ASK


def test_lengths_that_contradict_the_opening_are_refused() -> None:
    # 2310 along and 480 on the level would be 78 degrees; 1500 and 1400 go with no opening of 2310.
    talk = Talk("ninety", "one hundred", "2310", "2310", "slope along the rail", "2310")
    assert "That is seventy eight degrees." in talk.say("480")
    assert talk.stage is Stage.ASK
    talk = Talk("ninety", "one hundred", "2310", "2310", "slope along the rail", "1500")
    assert "Neither length goes with the opening of two thousand three hundred and ten millimetres." in talk.say("1400")
    assert talk.job.bays[0].slope is None


def test_an_opening_that_is_the_length_along_the_rail_is_taken_level() -> None:
    turn = filled_in(job(bay(1, 2500)), ALONG, along=2500, going=2400)
    assert turn.job.bays[0].openings == (("bottom", 2400),)
    assert said(turn).startswith("Bay one: two thousand five hundred along the slope is two thousand four hundred millimetres level.")


@pytest.mark.parametrize(("form", "word"), [(RAKED, "raked"), (STEPPED, "stepped")])
def test_how_a_bay_follows_the_ground_is_said_again_wherever_it_counts(form: Form, word: str) -> None:
    given = {"rise": 300, "going": 2400} | ({"under": 50} if form is STEPPED else {})
    made = filled_in(ONE, form, **given).job
    assert f"Bay two, {word}, opening two thousand four hundred" in gap_question(State(job=made))
    assert summary(made.settings, set_out_of(made, 1)).startswith(f"Bay two, {word}: ")
    assert f"13 pickets, {word}, gap" in marks_text(made)
    along = "left post, along the slope" in marks_csv(made)
    assert along is (form is RAKED)


def test_the_sheet_has_the_rails_of_a_raked_bay_and_the_step_of_a_stepped_one() -> None:
    # Exact triple 700, 2400, 2500 at 16.26 degrees; 300 over 1200 is 600 over 2400.
    (_, raked) = sheet(filled_in(ONE, RAKED, rise=700, going=2400).job, "a fence", "2026-05-04").bays
    assert dict(raked.facts)["Rails"] == "2500 mm along the slope, both ends cut plumb at 16.3 degrees"
    (_, stepped) = sheet(filled_in(ONE, STEPPED, rise=300, going=1200, under=40).job, "a fence", "2026-05-04").bays
    assert dict(stepped.facts)["Step"] == "600 mm"
    assert dict(stepped.facts)["Under the low end"] == "640 mm; over the limit"
    (_, gentle) = sheet(filled_in(ONE, STEPPED, rise=30, going=1200, under=40).job, "a fence", "2026-05-04").bays
    assert dict(gentle.facts)["Under the low end"] == "100 mm"


def test_a_stepped_bay_keeps_its_marks_and_steps_by_the_rise_over_its_own_opening() -> None:
    # 300 over 1200 is 600 over 2400, and 40 off the ground at the high end is 640 at the low one: by hand.
    turn = filled_in(ONE, STEPPED, rise=300, going=1200, under=40)
    assert said(turn).startswith(
        "Bay two is stepped; its rails are level. Step six hundred millimetres. "
        "Under its low end the gap is six hundred and forty millimetres. "
        "That is over the largest gap. Close it, or rake the bay. Bay two, stepped: thirteen pickets"
    )
    assert turn.job.bays[1].slope is Slope.STEPPED
    assert turn.job.bays[1].under == 40
    assert "That is over" not in said(filled_in(ONE, STEPPED, rise=60, going=2400, under=40))
    assert set_out_of(turn.job, 1).rails[0].values() == set_out_of(ONE, 1).rails[0].values()


def test_only_the_bay_that_is_talked_about_gets_the_slope() -> None:
    assert filled_in(ONE, RAKED, rise=700, going=2400).job.bays[0] == ONE.bays[0]


@pytest.mark.parametrize("form", [RAKED, STEPPED])
def test_level_takes_every_slope_away(form: Form) -> None:
    sloping = filled_in(ONE, form, rise=300, going=1200, under=40).job
    turn = said_to(sloping, Act.LEVEL)
    assert turn.job.bays == ONE.bays
    assert said(turn).startswith("Bay two is level, its opening two thousand four hundred. Bay two: thirteen pickets")
    along = filled_in(ONE, ALONG, along=2500, going=2400).job
    assert said_to(along, Act.LEVEL).job.bays == ONE.bays


def test_level_leaves_a_bay_that_is_set_out_as_it_is() -> None:
    made = confirmed(filled_in(ONE, RAKED, rise=700, going=2400).job, 2)
    turn = said_to(made, Act.LEVEL)
    assert turn.facts == []
    assert said(turn) == "Bay two is set out. To change it, say: change bay two."
    assert said(said_to(job(), Act.LEVEL)) == "There is no bay yet. Measure one first."
