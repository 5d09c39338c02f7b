"""Story poles: every bay is named right, counted from its own post, and left out where no pole can carry it."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sample_jobs import confirmed, slipped
from subject_turns import bay, filled_in, job, kept, said, said_to
from talk import Talk

from assistant.dialogue.subjects.sloping_ground import RAKED, STEPPED
from assistant.dialogue.subjects.story_poles import FROM, HEIGHTS, POLE
from assistant.fold import apply
from assistant.job import Job, SettingsChanged
from assistant.language.vocabulary import Act
from assistant.measured import Gate, Slip
from assistant.numbers import say_count
from assistant.plan import set_out_of
from assistant.setout.ends import PICKET
from assistant.setout.lengths import mm
from assistant.setout.marks import Edge, Origin
from assistant.setout.taper import Lean
from assistant.setout.trouble import ImpossibleError

HUNG = Gate(Fraction(6), Fraction(12))


def test_the_phrase_needs_a_bay() -> None:
    assert said(said_to(job(bay(1, 2400)), Act.POLE)) == "Story pole. How long is the pole?"
    with pytest.raises(ImpossibleError, match="no bay yet"):
        said_to(job(bay(1, 1000, gate=HUNG)), Act.POLE)


def test_bays_that_share_a_pole_are_named_and_gates_are_not_counted() -> None:
    # By hand: openings of 1815 and 1817 hold ten pickets with gaps 2/11 apart, so halfway the last mark of each is out by 10/11.
    made = job(bay(1, 1000, gate=HUNG), bay(2, 1815), bay(3, 2412), bay(4, 1817))
    turn = filled_in(made, POLE, pole=3000, tolerance=2)
    assert kept(turn)["Story poles"] == (
        "Two story poles.",
        "Pole one, from the left post, serves bay two; bay four. Worst mark out by about zero point nine millimetres.",
        "Pole two, from the left post, serves bay three. Worst mark out by zero millimetres.",
    )
    assert turn.job.draft is None


def test_a_short_pole_is_set_again_in_the_bay_it_is_too_short_for() -> None:
    # By hand: 1815 has a pitch of 173.18, so a pole of 1000 reaches mark six at 949; 948 is short of it.
    made = job(bay(1, 1000, gate=HUNG), bay(2, 600), bay(3, 1815))
    assert set_out_of(made, 2).rails[0].values()[5] == 949
    assert "In bay three set the pole again on mark six." in said(filled_in(made, POLE, pole=1000, tolerance=0))
    assert "In bay three set the pole again on mark five; mark ten." not in said(filled_in(made, POLE, pole=949, tolerance=0))
    assert "In bay three set the pole again on mark five." in said(filled_in(made, POLE, pole=948, tolerance=0))
    assert "In bay two" not in said(filled_in(made, POLE, pole=1000, tolerance=0))


def test_a_pole_counts_from_the_post_the_bay_is_marked_from() -> None:
    # By hand: a picket at the left post, gaps of 91.5.  Right edges from the right stand at 91.5, then every 181.5, the sixth at 999;
    # from the left they stand at 90, the sixth at 997.5.
    turn = filled_in(job(bay(1, 1815), left=PICKET, origin=Origin.RIGHT, edge=Edge.RIGHT), POLE, pole=998, tolerance=0)
    assert "Pole one, from the right post, serves bay one" in said(turn)
    assert "In bay one set the pole again on mark five." in said(turn)
    turn = filled_in(job(bay(1, 1815), left=PICKET, edge=Edge.RIGHT), POLE, pole=998, tolerance=0)
    assert "Pole one, from the left post, serves bay one" in said(turn)
    assert "In bay one set the pole again on mark six." in said(turn)


def test_a_bay_set_out_from_one_post_shares_no_pole_with_bays_from_the_other() -> None:
    made = confirmed(job(bay(1, 1815), bay(2, 1815)), 1)
    turned = SettingsChanged(job(origin=Origin.RIGHT).settings)
    turn = filled_in(apply(made, turned), POLE, pole=3000, tolerance=5)
    assert kept(turn)["Story poles"][1:] == (
        "Pole one, from the left post, serves bay one. Worst mark out by zero millimetres.",
        "Pole two, from the right post, serves bay two. Worst mark out by zero millimetres.",
    )


def test_a_bay_that_slipped_and_a_raked_one_have_a_pole_of_their_own() -> None:
    made = job(bay(1, 1815), bay(2, 2400), bay(3, 1815), current=1)
    made = filled_in(made, RAKED, rise=700, going=2400).job
    made = slipped(confirmed(made, 3), 3, Slip(4, (("bottom", Fraction(650)),)))
    assert kept(filled_in(made, POLE, pole=3000, tolerance=0))["Story poles"] == (
        "Three story poles.",
        "Pole one, from the left post, serves bay one. Worst mark out by zero millimetres.",
        "Pole two, from the left post, is for bay two alone: it is raked.",
        "Pole three, from the left post, is for bay three alone: a picket of it slipped.",
    )


def test_a_short_pole_for_a_raked_bay_is_set_again_by_the_marks_along_its_rail() -> None:
    # 13 of 90 in 2400: gaps of 87.857.  Level, mark six is at 977.1; along 25/24 of that, 1017.9, so 1018 just reaches it.
    made = filled_in(job(bay(1, 2400)), RAKED, rise=700, going=2400).job
    assert set_out_of(made, 0).rails[0].values()[5] == 1018
    assert "In bay one set the pole again on mark six" in said(filled_in(made, POLE, pole=1018, tolerance=0))
    assert "In bay one set the pole again on mark five" in said(filled_in(made, POLE, pole=1017, tolerance=0))


AGAINST_THE_LEFT = job(bay(1, 1815), left=PICKET)


@pytest.mark.parametrize("made", [AGAINST_THE_LEFT, filled_in(AGAINST_THE_LEFT, RAKED, rise=700, going=2400).job])
def test_a_pole_counts_from_the_post_that_is_named(made: Job) -> None:
    """From the right, the marks of left edges stand where those of right edges stand from the left: by the other post, the same row."""
    right = replace(made, settings=replace(made.settings, origin=Origin.RIGHT))
    assert set_out_of(made, 0).rails[0].values() != set_out_of(right, 0).rails[0].values()
    for pole in (500, 900, 910, 950, 998, 1040, 1200):
        named, measured = (said(filled_in(*one, pole=pole, tolerance=0)) for one in ((made, FROM[Origin.RIGHT]), (right, POLE)))
        assert named == measured
        assert "from the right post" in named


def test_from_which_post_is_said_in_the_phrase() -> None:
    talk = Talk("ninety", "one hundred", "1815", "the same", "story pole from the right", "3000")
    assert "Pole one, from the right post, serves bay one" in talk.say("0")


def test_a_rod_carries_the_heights_of_the_rails() -> None:
    talk = Talk("ninety", "one hundred", "1815", "the same", "add a middle rail", "height rod", "200")
    assert talk.say("1500").startswith(
        "Top rail: one thousand five hundred. From the ground up. Bottom rail at two hundred millimetres. "
        "Middle rail at eight hundred and fifty millimetres. Top rail at one thousand five hundred millimetres."
    )
    assert talk.job.notes[-1].title == "Height rod, bay one"
    stepped = filled_in(job(bay(1, 2400)), STEPPED, rise=300, going=1200, under=40).job
    told = said(filled_in(stepped, HEIGHTS, low=200, high=1500))
    assert "At the high post, bottom rail at two hundred millimetres." in told
    assert "At the low post add six hundred millimetres to each." in told
    with pytest.raises(ImpossibleError, match="is not above"):
        filled_in(job(bay(1, 2400)), HEIGHTS, low=1500, high=200)


def test_rails_with_marks_of_their_own_have_poles_of_their_own() -> None:
    leaning = job(bay(1, 2412, 2400, leans=Lean.LEFT))
    assert "serves bay one bottom rail" in said(filled_in(leaning, POLE, pole=3000, tolerance=0))
    assert "serves bay one top rail" in said(filled_in(leaning, POLE, pole=3000, tolerance=0))
    # Plumbed from the one rail that is marked, one pole is enough.
    assert kept(filled_in(job(bay(1, 2412, 2400)), POLE, pole=3000, tolerance=0))["Story poles"] == (
        "One story pole.",
        "Pole one, from the left post, serves bay one. Worst mark out by zero millimetres.",
    )


def test_the_top_rail_of_a_leaning_bay_is_carried_where_its_pickets_really_stand() -> None:
    # Openings 12 apart: the top starts 12 nearer the post, so there a pole must be no longer than the last mark needs.
    made = job(bay(1, 2412, 2400, leans=Lean.LEFT))
    top = set_out_of(made, 0).rail("top")
    assert top is not None
    enough = top.values()[-1]
    assert "bay one top rail set the pole again" not in said(filled_in(made, POLE, pole=enough, tolerance=0))
    assert "bay one bottom rail set the pole again on mark twelve" in said(filled_in(made, POLE, pole=enough, tolerance=0))
    assert "bay one top rail set the pole again" in said(filled_in(made, POLE, pole=enough - 1, tolerance=0))


def test_a_pole_that_reaches_no_mark_is_said_and_the_form_is_closed() -> None:
    turn = filled_in(job(bay(1, 1815)), POLE, pole=100, tolerance=0)
    assert "A pole of one hundred millimetres does not reach mark" in said(turn)
    assert turn.job.draft is None
    assert kept(turn) == {}


@given(st.lists(st.integers(400, 3000), min_size=1, max_size=5), st.integers(0, 5), st.sampled_from(Origin))
def test_every_bay_is_served_by_exactly_one_pole(openings: list[int], tolerance: int, origin: Origin) -> None:
    made = job(*(bay(number, opening) for number, opening in enumerate(openings, start=1)), origin=origin)
    lines = kept(filled_in(made, POLE, pole=mm(5000), tolerance=tolerance))["Story poles"]
    served = [name for line in lines[1:] for name in line.split(" serves ")[1].split(". Worst")[0].split("; ")]
    assert sorted(served) == sorted(f"bay {say_count(number)}" for number in range(1, len(openings) + 1))
    assert lines[0].lower().startswith(say_count(len(lines) - 1))
