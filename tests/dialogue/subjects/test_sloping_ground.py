"""Sloping ground: raked and stepped bays, from what was measured, and level again; a bay that is set out stays as it is."""

from __future__ import annotations

from fractions import Fraction

import pytest
from sample_jobs import confirmed
from subject_turns import bay, filled_in, job, said, said_to

from assistant.dialogue.forms import Form
from assistant.dialogue.subjects.sloping_ground import ALONG, RAKED, STEPPED
from assistant.language.vocabulary import Act
from assistant.measured import Gate, Slope
from assistant.plan import set_out_of
from assistant.setout.trouble import ImpossibleError

ONE = job(bay(1, 1000), bay(2, 2400, 2400), current=1)
PHRASES = [(Act.SLOPE_RAKED, RAKED), (Act.SLOPE_STEPPED, STEPPED), (Act.SLOPE_ALONG, ALONG)]


@pytest.mark.parametrize(("act", "form"), PHRASES)
def test_each_phrase_begins_its_form_for_the_bay_that_is_talked_about(act: Act, form: Form) -> None:
    turn = said_to(ONE, act)
    assert turn.job.draft is not None and turn.job.draft.form == form.key
    assert said(turn) == f"Bay two, {form.name}. {form.slots[0].full}"


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
        "Bay two is raked, sixteen point three degrees; marks run along the rail, pickets stay plumb. Bay two: thirteen pickets"
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


def test_a_stepped_bay_keeps_its_marks_and_steps_by_the_rise_over_its_own_opening() -> None:
    # 300 over 1200 is 600 over 2400: by hand.
    turn = filled_in(ONE, STEPPED, rise=300, going=1200)
    assert said(turn).startswith("Bay two is stepped; its rails are level, and step six hundred millimetres. Bay two: thirteen pickets")
    assert turn.job.bays[1].slope is Slope.STEPPED
    assert set_out_of(turn.job, 1).rails[0].values() == set_out_of(ONE, 1).rails[0].values()


def test_only_the_bay_that_is_talked_about_gets_the_slope() -> None:
    assert filled_in(ONE, RAKED, rise=700, going=2400).job.bays[0] == ONE.bays[0]


@pytest.mark.parametrize("form", [RAKED, STEPPED])
def test_level_takes_every_slope_away(form: Form) -> None:
    sloping = filled_in(ONE, form, rise=300, going=1200).job
    turn = said_to(sloping, Act.LEVEL)
    assert turn.job.bays == ONE.bays
    assert said(turn).startswith("Bay two is level. Bay two: thirteen pickets")
    along = filled_in(ONE, ALONG, along=2500, going=2400).job
    assert said_to(along, Act.LEVEL).job.bays == ONE.bays


def test_level_leaves_a_bay_that_is_set_out_as_it_is() -> None:
    made = confirmed(filled_in(ONE, RAKED, rise=700, going=2400).job, 2)
    turn = said_to(made, Act.LEVEL)
    assert turn.facts == []
    assert said(turn) == "Bay two is set out. To change it, say: change bay two."
    assert said(said_to(job(), Act.LEVEL)) == "There is no bay yet. Measure one first."
