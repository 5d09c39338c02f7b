"""What is confirmed stands: conversations in which a change of mind once moved marks that were on the timber."""

from __future__ import annotations

from fractions import Fraction

import pytest
from talk import Talk, watched

from assistant.events import JobOpened
from assistant.language.vocabulary import Stage
from assistant.measured import Slope
from assistant.plan import is_marked, set_out_of

# Pickets of 90, gaps up to 100; 1815 takes ten pickets and gaps of 915/11, 2145 takes eleven of 96.25.
SETUP = ("ninety", "one hundred")
ONE = (*SETUP, "one eight one five", "the same")
TWO = (*ONE, "next bay", "2145", "the same")
THREE = (*TWO, "next bay", "2000", "the same")
MARK = ("start marking", "gap confirmed", "understood")
LEANING = (*SETUP, "2145", "2138")


def finish(talk: Talk) -> str:
    """Next, until the bay is marked."""
    for _ in range(80):
        said = talk.say("next")
        if "marked" in said:
            return said
    raise AssertionError("the marks never came to an end")


def marks(talk: Talk, index: int = 0) -> list[list[Fraction]]:
    """What is spoken for each rail of a bay."""
    return [list(rail.values()) for rail in set_out_of(talk.job, index).rails]


@pytest.mark.parametrize(
    "change",
    ["picket at both ends", "from the right post", "share the lean", "mark centres", "picket width 80", "largest gap 85", "end gap 42",
     "mark to the half millimetre", "work in inches", "half gap at the left post"],
)  # fmt: skip
@pytest.mark.parametrize("lines", [(*ONE, *MARK, *["next"] * 4), (*LEANING, *MARK, *["next"] * 4)])
def test_a_setting_in_the_middle_of_a_rail_is_for_bays_still_to_come(change: str, lines: tuple[str, ...]) -> None:
    talk = Talk(*lines)
    before = marks(talk)
    said = talk.say(change)
    assert "bay one stays as it is set out" in said.lower()
    assert "change bay one" in said
    assert marks(talk) == before
    mark_six = talk.say("next")
    assert mark_six == Talk(*lines).say("next") or "work in" in change
    assert marks(talk) == before


def test_the_first_bay_that_is_not_marked_comes_next_and_the_last_is_said_when_all_are() -> None:
    talk = Talk(*TWO)
    assert talk.say("start marking").startswith("Bay one")
    for line in MARK[1:]:
        talk.say(line)
    assert "For bay two, say: start marking" in finish(talk)
    assert talk.say("next bay").startswith("Bay two, opening two thousand one hundred and forty five")
    talk.say("gap confirmed")
    assert "last bay" in finish(talk)
    assert is_marked(talk.job, 0) and is_marked(talk.job, 1)


def test_a_bay_chosen_by_name_is_marked_first_and_the_other_offered_then() -> None:
    talk = Talk(*TWO, "bay two")
    assert talk.say("start marking").startswith("Bay two")
    talk.say("gap confirmed")
    talk.say("understood")
    assert "For bay one, say: start marking" in finish(talk)


def test_a_setting_said_after_a_bay_was_set_out_names_the_bays_it_is_for() -> None:
    talk = Talk(*THREE, *MARK)
    finish(talk)
    first, second = marks(talk, 0), marks(talk, 1)
    said = talk.say("picket at the left post")
    assert "That is for bays two and three; bay one stays as it is set out." in said
    assert marks(talk, 0) == first
    assert marks(talk, 1) != second


def test_a_gate_that_is_set_out_keeps_its_pickets_whatever_becomes_of_the_fence() -> None:
    talk = Talk(*ONE, "gate", "1000", "20", "same", "1", "bay two", *MARK, "next", "next")
    before = marks(talk, 1)
    talk.say("stop")
    for line in ("change bay one", "1700", "the same", "picket at both ends"):
        talk.say(line)
    assert marks(talk, 1) == before
    talk.say("bay two")
    assert "mark three" in talk.say("start marking").lower()


def test_matching_tells_its_cost_and_takes_set_out_bays_as_they_are() -> None:
    talk = Talk(*THREE, *MARK)
    finish(talk)
    first = marks(talk)
    said = talk.say("match whatever it takes")
    assert "more picket" in said or "no more pickets" in said
    assert "Match them? Yes or no." in said
    talk.say("yes")
    assert marks(talk) == first
    two = marks(talk, 1)
    talk.say("remove bay three")
    talk.say("yes")
    talk.say("bay two")
    talk.say("start marking")
    talk.say("gap confirmed")
    standing = marks(talk, 1)
    talk.say("leave it")
    talk.say("new bay")
    talk.say("1400")
    talk.say("the same")
    assert marks(talk, 1) == standing
    assert two


def test_declined_the_match_changes_nothing() -> None:
    talk = Talk(*THREE)
    before = talk.job
    talk.say("match the bays")
    assert "It stays" in talk.say("no")
    assert talk.job == before


def test_a_match_that_changes_nothing_is_not_asked_about() -> None:
    """2145 and 2150 take eleven pickets each, their gaps 0.4 apart: nothing looks more alike."""
    talk = Talk(*SETUP, "2145", "the same", "next bay", "2150", "the same")
    assert "takes no more pickets" in talk.say("match the bays")
    assert talk.stage is Stage.HUB


def test_a_slip_is_on_the_whole_bay_with_one_question_and_a_second_slip_keeps_the_first() -> None:
    talk = Talk(*SETUP, "2145", "2138", "left post leans", "share the lean", *MARK, *["next"] * 6)
    plain = marks(talk)
    talk.say("picket slipped")
    talk.say("4")
    asked = talk.say(str(plain[0][3] + 6))
    assert "off by the same on every rail?" in asked
    said = talk.say("yes")
    assert "picket four is off by six millimetres" in said.lower()
    assert "gap confirmed" in said
    after = marks(talk)
    for rail in (0, 1):
        assert after[rail][:3] == plain[rail][:3]
        assert after[rail][3] == plain[rail][3] + 6
        assert after[rail][4] != plain[rail][4]
    talk.say("gap confirmed")
    talk.say("picket slipped")
    talk.say("8")
    talk.say(str(after[0][7] - 4))
    talk.say("no")
    talk.say(str(after[1][7]))
    again = marks(talk)
    for rail in (0, 1):
        assert again[rail][:7] == after[rail][:7]
    assert again[0][7] == after[0][7] - 4
    assert again[1][7] == after[1][7]
    assert len(set_out_of(talk.job, 0).slips) == 2


def test_a_slip_in_a_raked_bay_spaces_the_rest_again_along_the_rail() -> None:
    """Rise 700 over 2400: 25/24 along the rail.  Eleven pickets, twelve gaps of 1155/12 = 96.25 on the level, times 25/24 = 100.26."""
    talk = Talk(*SETUP, "2145", "the same", "raked bay", "700", "2400", "yes", *MARK, "next", "next")
    assert talk.job.bays[0].slope is Slope.RAKED
    before = marks(talk)
    talk.say("picket slipped")
    talk.say("3")
    talk.say(str(before[0][2] + 5))
    talk.say("yes")
    after = marks(talk)
    assert after[0] == after[1]
    assert after[0][:2] == before[0][:2]
    assert after[0][2] == before[0][2] + 5
    # The last space to the post is the gap again: eight pickets and nine gaps share what is left, 5 less, along the rail.
    rail = set_out_of(talk.job, 0).rails[0]
    assert rail.right_space == rail.gap == rail.spaces[5]
    assert rail.opening == 2145


def test_a_slip_that_breaks_the_limit_is_told_by_the_space_it_leaves_not_by_the_gap_behind_it() -> None:
    """Gaps of 83.18; mark four of 603 said at 640 leaves 640 - 519.5 = 120.5 before it, over 100; those behind it are smaller."""
    said = Talk(*ONE, *MARK, *["next"] * 5, "picket slipped", "4", "640").say("yes")
    assert "over the largest gap" in said
    assert "The widest space is about one hundred and twenty point five millimetres, over your limit" in said


def test_plumb_stays_plumb_with_one_more_picket_and_when_matched() -> None:
    talk = Talk(*LEANING, "right post leans", "next bay", "2000", "the same", "bay one")
    talk.say("one more picket")
    made = set_out_of(talk.job, 0)
    assert made.plumb
    assert made.count == 12
    talk = Talk(*LEANING, "next bay", "2000", "the same", "match whatever it takes", "yes")
    assert set_out_of(talk.job, 0).plumb


def test_raked_and_out_of_plumb_both_rails_run_along_the_slope() -> None:
    talk = Talk(*LEANING, "right post leans", "raked bay", "700", "2400", "yes")
    bottom, top = set_out_of(talk.job, 0).rails
    assert [mark.value for mark in bottom.marks] == [mark.value for mark in top.marks]  # the right post leans: the left ends are alike
    # 96.25 on the level times 25/24 is 100.26
    assert bottom.marks[0].value == top.marks[0].value == 100


def test_a_gap_on_site_is_held_against_the_rail_being_marked_and_after_a_slip_against_the_new_gap() -> None:
    talk = Talk(*SETUP, "2145", "2105", "share the lean", *MARK)
    talk.say("top rail")  # 2105: eleven pickets, 1115/12 = 92.9; the bottom has 96.25
    assert "about zero point one millimetres over the plan" in talk.say("gap is 93")
    talk = Talk(*ONE, *MARK, "picket slipped", "2", "266", "yes", "gap confirmed")
    new = set_out_of(talk.job, 0).rails[0].gap
    assert new < Fraction(915, 11)
    assert "carry on" in talk.say("gap is 82").lower()


def test_nothing_dangles_when_the_bay_being_marked_is_opened_again_or_taken_away() -> None:
    for lines in (("stop", "change bay one", "yes", "leave it"), ("stop", "remove bay one", "yes")):
        talk = Talk(*TWO, *MARK, "next", *lines)
        for line in ("top rail", "stop", "keep pickets plumb", "space again", "leave it", "carry on", "what is the gap", "repeat",
                     "where am i"):  # fmt: skip
            assert talk.say(line) is not None
        assert talk.job.position is None


def test_undo_says_what_it_undid_across_a_break_too() -> None:
    talk = watched((*TWO, "remove bay one", "yes"))
    talk.reopen()
    assert [bay.number for bay in talk.conversation.state.job.bays] == [2]
    assert talk.say("undo").startswith("Undone: bay one stands again")
    assert [bay.number for bay in talk.conversation.state.job.bays] == [1, 2]
    assert talk.say("undo").startswith("Undone: bay two, just measured")


def test_no_after_the_same_takes_it_off_and_a_number_puts_it_right() -> None:
    talk = Talk(*SETUP, "2145")
    talk.say("the same")
    said = talk.say("no 2133")
    assert "Top: two thousand one hundred and thirty three" in said
    assert talk.job.bays[0].openings == (("bottom", Fraction(2145)), ("top", Fraction(2133)))
    talk = Talk(*SETUP, "2145", "the same")
    assert "Top opening?" in talk.say("no")


def test_both_openings_wrong_are_put_right_one_after_the_other() -> None:
    talk = Talk(*ONE)
    said = talk.say("bottom opening 2815")
    assert "is that right?" in said.lower()
    said = talk.say("yes")
    assert "top opening?" in said.lower()
    talk.say("2820")
    assert talk.job.bays[0].openings == (("bottom", Fraction(2815)), ("top", Fraction(2820)))
    assert len(talk.job.bays) == 1


def test_the_leaning_post_named_after_the_bay_is_set_out_does_not_begin_it_anew() -> None:
    talk = Talk(*LEANING, *MARK, "next", "stop")
    before = marks(talk)
    said = talk.say("left post leans")
    assert said == "Bay one is set out. To change it, say: change bay one."
    assert marks(talk) == before
    assert "mark two" in talk.say("carry on").lower()


def test_after_a_break_it_says_job_bay_rail_and_mark() -> None:
    talk = Talk(*TWO, *MARK, "next", "next")
    said = talk.take(JobOpened("garden fence"))
    assert said.startswith("Back to garden fence. It was left at bay one, bottom rail, mark three.")


def test_opening_a_marked_bay_again_says_how_many_marks_move_and_how_far_and_begins_at_mark_one() -> None:
    """Picket at both ends: 915/9 = 101.67 breaks the limit, so eleven pickets and ten gaps of 82.5."""
    talk = Talk(*ONE, *MARK, "next", "next", "stop", "picket at both ends")
    said = talk.say("change bay one")
    # 83.2, 256.4, 429.5 against 0, 172.5, 345: the third moves farthest, from 430 to 345
    assert "Three marks of it are called. By the settings as they are, three marks would move, by up to eighty five" in said
    talk.say("yes")
    talk.say("leave it")
    assert "gap confirmed" in talk.say("start marking")
    said = talk.say("gap confirmed")
    assert "Three marks called before have moved, by up to eighty five" in said
    assert "Mark one: zero" in said


def test_between_bays_where_marking_was_left_is_told() -> None:
    talk = Talk(*ONE)
    assert talk.say("where was I").startswith("No mark is called yet.")
    for line in ("no more bays", *MARK, "next", "next", "stop"):
        talk.say(line)
    assert "It was left at bay one, bottom rail" in talk.say("where was I")
    assert "mark three" in talk.say("where was I")
    assert "Mark three" in talk.say("carry on")


def test_after_a_break_what_comes_next_is_where_marking_was_left() -> None:
    talk = Talk(*ONE, *MARK, "next", "stop")
    wanted = "Bay one is left at mark two. To go on, say: carry on."
    assert talk.say("next") == wanted
    assert talk.say("it slipped") != wanted
    assert wanted in talk.say("leave it")
    assert "Mark two" in talk.say("carry on")
    assert "say: start marking" in finish(Talk(*TWO, *MARK))
