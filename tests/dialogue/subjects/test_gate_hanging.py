"""Gates in the conversation: what is asked, what is cut, each leaf by itself, and a place in the run that stays."""

from __future__ import annotations

import csv
import io
import json
from fractions import Fraction

from sample_jobs import METRIC, confirmed, slipped
from subject_turns import bay, job
from talk import Talk

from assistant.measured import Gate, Side, Slip
from assistant.paper.elevation import Part, picture
from assistant.paper.exports import job_json, marks_csv, marks_text
from assistant.paper.sheet_content import sheet
from assistant.plan import set_out_of, to_mark

BAY = ("ninety", "one hundred", "1815", "the same")
ONE_LEAF = (*BAY, "gate", "1000", "20", "25", "one")
TWO_LEAVES = (*BAY, "gate", "1200", "10", "12", "two")


def said(talk: Talk) -> str:
    """The last answer."""
    return talk.conversation.state.said


def test_the_latch_and_where_two_leaves_meet_are_one_question() -> None:
    talk = Talk(*BAY, "gate", "1200", "10")
    assert "How much clearance at the latch, or between two leaves?" in said(talk)
    assert talk.say("12").endswith("One leaf or two?")
    # By hand: 1200 less 10 and 10 at the hinges and 12 between are 1168, 584 a leaf.
    assert "Cut each leaf five hundred and eighty four millimetres wide." in talk.say("two")
    assert talk.job.bays[1].gate == Gate(Fraction(10), Fraction(12), 2, Fraction(12))


def test_the_leaf_is_the_first_thing_to_be_cut() -> None:
    # By hand: 1000 - 20 - 25 is 955.
    assert "Cut the leaf nine hundred and fifty five millimetres wide." in said(Talk(*ONE_LEAF))


def test_pickets_of_two_leaves_are_counted_alike_aloud_and_on_paper() -> None:
    talk = Talk(*TWO_LEAVES)
    assert "Gate two: eight pickets, four in each leaf" in said(talk)
    assert sheet(talk.job, "t", "d").bays[1].headline.startswith("8 pickets (4 in each leaf), 6 gaps of")
    assert "  8 pickets" in marks_text(talk.job)
    assert json.loads(job_json(talk.job, "t", "d"))["bays"][1]["pickets"] == 8


def test_the_hinge_side_is_asked_kept_drawn_and_written() -> None:
    talk = Talk(*ONE_LEAF)
    assert "Hinges on the left, or on the right?" in said(talk)
    made = set_out_of(talk.job, 1)
    assert talk.say("on the right").startswith("Gate two: hinges on the right.")
    assert talk.job.bays[1].gate == Gate(Fraction(20), Fraction(25), 1, Fraction(0), Side.RIGHT)
    hung = set_out_of(talk.job, 1)
    # The leaf is the same; it stands 25 from the left post, where the latch is, in place of 20.
    assert hung.rails == made.rails
    first = [min(x for shape in picture(one).shapes if shape.part is Part.PICKET for x, _ in shape.points) for one in (made, hung)]
    assert first == [20, 25]
    assert ("Hinges", "on the right") in sheet(talk.job, "t", "d").bays[1].facts
    assert json.loads(job_json(talk.job, "t", "d"))["bays"][1]["measured"]["gate"]["hinges"] == "RIGHT"


def test_two_leaves_are_not_asked_for_a_hinge_side() -> None:
    talk = Talk(*TWO_LEAVES)
    assert "Hinges" not in said(talk)
    assert talk.say("hinges on the left").startswith("Gate two has two leaves: hinges on both sides.")
    assert said(Talk(*BAY, "on the left")).startswith("There is no gate yet. To measure one, say: gate.")


def test_a_changed_gate_stays_in_its_place_and_keeps_its_side() -> None:
    talk = Talk(*ONE_LEAF, "on the left", "next bay", "1900", "the same", "change gate two", "1100", "10", "12", "one")
    assert [one.name for one in talk.job.bays] == ["bay 1", "gate 2", "bay 3"]
    assert talk.job.bays[1].openings == (("bottom", Fraction(1100)),)
    assert talk.job.bays[1].gate == Gate(Fraction(10), Fraction(12), 1, Fraction(0), Side.LEFT)
    assert "Hinges" not in said(talk)


def test_a_gate_that_is_set_out_is_opened_and_measured_again() -> None:
    talk = Talk(*ONE_LEAF, "bay two", "start marking", "gap confirmed", "understood", "stop", "change gate two")
    assert talk.say("yes").startswith("Gate two is open again; to keep it as it is, say: leave it. What is the clear opening")
    talk.say("leave it")
    assert talk.job.bays[1].openings == (("bottom", Fraction(1000)),)


def test_a_gate_is_removed_by_its_number() -> None:
    talk = Talk(*ONE_LEAF, "remove gate two")
    assert said(talk) == "Remove gate two? Yes or no."
    talk.say("yes")
    assert [one.name for one in talk.job.bays] == ["bay 1"]


def test_a_clearance_over_the_limit_is_told_at_the_gate_at_the_gap_and_on_the_sheet() -> None:
    talk = Talk(*BAY, "gate", "1000", "120", "yes", "20", "one")
    assert "That is over the largest gap, up to one hundred millimetres." in said(talk)
    assert "A clearance beside the leaf is over the largest gap." in said(talk)
    talk.say("bay two")
    assert "The widest space is one hundred and twenty millimetres, over your limit" in talk.say("start marking")
    assert sheet(talk.job, "t", "d").bays[1].warnings == ("Over the limit: the largest space is 120 mm, but it at most 100 mm.",)


def test_a_picket_that_slips_in_one_leaf_leaves_the_other_as_it_was() -> None:
    """By hand: leaves of 585 with four of 90 have gaps of 75; the second at 178 in place of 165 leaves 68.5 behind it."""
    talk = Talk(*BAY, "gate", "1200", "10", "10", "two", "bay two", "start marking", "gap confirmed", "understood", "next")
    assert talk.say("picket slipped").startswith("Gate two, left leaf, spacing again.")
    talk.say("2")
    assert "the gap is left leaf sixty eight point five millimetres, right leaf seventy five millimetres" in talk.say("178")
    left, right = set_out_of(talk.job, 1).rails
    assert left.values() == (0, 178, 336, 495)
    assert right.values() == (0, 165, 330, 495)
    # What was called of the left leaf tells nothing of the right one any more.
    talk.say("gap confirmed")
    assert {(at.rail, at.mark) for at in to_mark(talk.job, 1) if at.rail == "right leaf"} == {("right leaf", n) for n in (1, 2, 3, 4)}


def test_the_other_leaf_is_reached_by_its_name_and_told_of_at_the_end() -> None:
    talk = Talk(*TWO_LEAVES, "bay two", "start marking", "gap confirmed", "understood")
    assert said(talk).startswith("Gate two, left leaf, from its left end, left edges.")
    assert talk.say("other leaf").startswith("Gate two, right leaf, from its left end, left edges.")
    assert "The other leaf has the same marks." in [talk.say("next") for _ in range(4)][-1]


def test_a_slip_on_the_right_leaf_is_drawn_there() -> None:
    hung = bay(1, 3000, gate=Gate(Fraction(6), Fraction(6), 2, Fraction(10)))
    made = slipped(confirmed(job(hung), 1), 1, Slip(2, (("right leaf", Fraction(200)),)))
    edges = sorted(min(x for x, _ in shape.points) for shape in picture(set_out_of(made, 0)).shapes if shape.part is Part.PICKET)
    leaf = set_out_of(made, 0).rails[0].opening
    assert edges[1] < 6 + 200
    assert 6 + leaf + 10 + 200 in edges


def test_every_file_says_that_a_leaf_is_marked_from_its_own_edge() -> None:
    rows = [row for row in csv.DictReader(io.StringIO(marks_csv(METRIC))) if row["bay"].startswith("gate")]
    assert {row["from"] for row in rows} == {"left edge of the leaf"}
    assert {row["rail"] for row in rows} == {"leaf", "left leaf", "right leaf"}
    assert "left edges from the left edge of the leaf" in marks_text(METRIC)
    gates = [one for one in json.loads(job_json(METRIC, "t", "d"))["bays"] if one["measured"]["gate"]]
    assert [one["measured_from"] for one in gates] == ["left edge of the leaf"] * 2
    assert [one["leaf"] for one in gates] == ["982/1", "1489/1"]  # 1000 - 6 - 12, and half of 3000 - 6 - 6 - 10
    assert all("from the left edge of the leaf" in rail.how for rail in sheet(METRIC, "t", "d").bays[6].rails)
