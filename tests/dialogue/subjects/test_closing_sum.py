"""The run held against the bays: what it comes to, where a difference may lie, and the correction that ends it."""

from __future__ import annotations

from fractions import Fraction

import pytest
from subject_turns import bay, filled_in, job, kept, said
from talk import Talk

from assistant.dialogue.state import Deciding, Decision
from assistant.dialogue.subjects.closing_sum import RUN, after_a_change, sounds_like
from assistant.dialogue.turn import Turn
from assistant.job import BaySet, RunCheck
from assistant.language.vocabulary import Stage
from assistant.measured import Gate, Slope
from assistant.setout.lengths import Unit
from assistant.setout.posts import Between

# Between posts of 100: 2160 + 1850 + 2145 and four posts come to 6555.
THREE = job(bay(1, 2160, 2160), bay(2, 1850, 1850), bay(3, 2145, 2140))
WHOLE = {"first": 1, "last": 0, "post": 100}
DICTATED = ("ninety", "one hundred", "2160", "same", "next bay", "1850", "same", "next bay", "2145", "same")


def typed(*lines: str) -> Talk:
    """Three bays between posts of 100, typed, and what follows them."""
    talk = Talk()
    for line in (*DICTATED, *lines):
        talk.type(line)
    return talk


def test_a_run_that_closes_is_said_to_agree() -> None:
    turn = filled_in(THREE, RUN, run=6555, between=0, **WHOLE)
    assert said(turn) == (
        "Your bays and posts come to six thousand five hundred and fifty five. "
        "The tape says six thousand five hundred and fifty five. They agree."
    )
    assert turn.job.runs == (RunCheck(1, None, Between.OUTER_FACES, Fraction(6555), Fraction(100)),)
    assert kept(turn)["Tape over the whole run"][-1] == "Agree."


def test_inside_to_inside_leaves_out_both_end_posts() -> None:
    assert "come to six thousand three hundred and fifty five" in said(filled_in(THREE, RUN, run=6355, between=2, **WHOLE))


def test_an_opening_that_sounds_like_the_right_one_is_named_and_offered() -> None:
    """1815 heard as 1850 leaves the run 35 over."""
    turn = filled_in(THREE, RUN, run=6520, between=0, **WHOLE)
    assert said(turn).endswith("That is thirty five over. Bay two may be one eight one five.")
    assert turn.state.focus == Deciding(Decision.SUSPECT, 2)


def test_a_bay_that_was_in_doubt_is_named() -> None:
    talk = Talk("ninety", "one hundred", "eighteen fifteen", "the first", "same", "next bay", "2145", "same")
    assert talk.job.unsure == ((1, "bottom"),)
    for line in ("the run is 4282", "outside to outside"):
        talk.type(line)
    told = talk.type("100")
    assert "That is twenty two short. Bay one was heard unsure; one eight three seven would close it." in told


def test_a_corrected_opening_counts_as_unsure() -> None:
    talk = typed("next bay", "1820", "no 1830", "same")
    assert talk.job.unsure == ((4, "bottom"),)


def test_where_nothing_tells_one_bay_from_another_all_are_said() -> None:
    told = said(filled_in(THREE, RUN, run=6563, between=0, **WHOLE))
    assert told.endswith(
        "That is eight short. Bay one, two one six zero. Bay two, one eight five zero. Bay three, two one four five. "
        "For one that is wrong, say: change bay, and its number."
    )


def test_just_one_post_and_a_whole_bay_are_told_as_such() -> None:
    assert "That is just one post. Which faces was it measured to?" in said(filled_in(THREE, RUN, run=6655, between=0, **WHOLE))
    assert "A bay may not be measured yet." in said(filled_in(THREE, RUN, run=8700, between=0, **WHOLE))


def test_part_of_a_run_adds_the_bays_between_its_posts() -> None:
    turn = filled_in(THREE, RUN, first=2, last=4, run=4295, between=0, post=100)
    assert said(turn).startswith("Those bays and posts come to four thousand two hundred and ninety five.")
    assert turn.job.runs[-1].first == 2


def test_a_gate_counts_with_its_opening() -> None:
    hung = bay(2, 1000, gate=Gate(Fraction(20), Fraction(20)))
    turn = filled_in(job(bay(1, 2160, 2160), hung), RUN, run=3460, between=0, **WHOLE)
    assert "They agree." in said(turn)


def test_on_a_slope_the_tape_is_held_level() -> None:
    raked = bay(1, 2160, 2160, slope=Slope.RAKED, rise=Fraction(100), going=Fraction(2000))
    assert "On a slope the tape has to be held level." in said(filled_in(job(raked), RUN, run=2360, between=0, **WHOLE))


def test_a_post_that_does_not_stand_is_refused_and_the_way_out_told() -> None:
    talk = typed("post to post", "2", "9", "4000", "outside to outside")
    assert talk.type("100") == "There is no post nine: these bays have four. Say: leave it, and begin again. How wide is a post?"
    assert talk.job.runs == ()


def test_what_was_not_said_is_asked_once_and_the_width_of_a_post_remembered() -> None:
    talk = typed()
    assert talk.type("the run is 6555") == ("The run, six thousand five hundred and fifty five. Outside to outside, or inside to inside?")
    assert talk.type("inside to inside") == "How wide is a post?"
    assert "That is two hundred short." in talk.type("100")
    assert "They agree." in talk.type("outside to outside 6555")


def test_the_correction_of_the_named_bay_ends_it() -> None:
    talk = typed("the run is 6520", "outside to outside", "100", "yes", "1815")
    assert "With that, the run agrees with the tape." in talk.type("same")
    assert talk.stage is Stage.HUB


def test_no_to_the_named_bay_says_them_all() -> None:
    talk = typed("the run is 6520", "outside to outside", "100")
    assert talk.type("no").startswith("Bay one, two one six zero. Bay two, one eight five zero.")


def test_a_change_that_does_not_close_it_says_what_is_left() -> None:
    talk = typed("the run is 6563", "outside to outside", "100", "change bay one", "2166")
    assert "The run is still two short." in talk.type("same")


def test_undo_takes_the_measure_back() -> None:
    talk = typed("the run is 6555", "outside to outside", "100")
    assert talk.job.runs
    talk.type("undo")
    assert talk.job.runs == ()


def test_a_run_before_any_bay_is_heard_and_asked_for_later() -> None:
    talk = Talk("ninety", "one hundred")
    assert talk.type("the run is 14220") == "The run, fourteen thousand two hundred and twenty. Say it again once the bays are measured."


@pytest.mark.parametrize(("opening", "other"), [(1815, 1850), (2160, 2116), (1895, 1855), (2019, 2090), (2095, 2055)])
def test_openings_that_sound_alike(opening: int, other: int) -> None:
    """Teens and tens, five and nine (“fife” and “niner” in ICAO Annex 10, volume II, 5.2.1.4.3.1)."""
    assert Fraction(other) in sounds_like(Unit.MM, Fraction(opening))


def test_a_new_bay_that_does_not_close_the_run_is_met_with_silence() -> None:
    """Who says the run first is not told after every bay how much is missing."""
    first = filled_in(THREE, RUN, run=9000, between=0, **WHOLE).state
    turn = Turn(first)
    turn.fact(BaySet(3, bay(4, 1000, 1000)))
    after_a_change(turn)
    assert turn.parts == []
    turn.fact(BaySet(3, bay(4, 2345, 2345)))
    after_a_change(turn)
    assert turn.parts == ["With that, the run agrees with the tape."]


def test_what_sounds_like_a_limit_while_the_run_is_asked_about_changes_no_setting_unasked() -> None:
    """The end of a length, cut off by a breath: “the run is four thousand four hundred” … “and fifty one”."""
    talk = Talk("seventy three", "ninety five", "2174", "the same", "no more bays", "the run is four thousand four hundred")
    before = talk.job.settings
    assert "It was ninety five millimetres. Is that right?" in talk.say("under fifty one")
    assert talk.job.settings == before


def test_a_bay_that_is_taken_away_leaves_no_doubt_behind() -> None:
    """The next one may get its number."""
    talk = typed("next bay", "1820", "no 1830", "same", "remove bay four", "yes")
    assert talk.job.unsure == ()
