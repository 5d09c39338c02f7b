"""What is left to the far post: said with the last mark of a rail, answered or passed over, and what a difference means."""

from __future__ import annotations

from fractions import Fraction

import pytest
from talk import Talk

from assistant.dialogue.state import Deciding, Decision
from assistant.plan import marking, set_out_of
from assistant.setout.lengths import rounded

MARKED = ("start marking", "gap confirmed", "understood")
# Pickets of 90 in 2160, gaps up to 100: eleven, the last at 10 * 187.5 + 97.5 = 1972.5, called as 1972 (midway to the even one).
PLAIN = ("ninety", "one hundred", "2160", "same", *MARKED)
ASKED = "One hundred and eighty eight to the far post; does the tape agree?"


def at_last(*lines: str, mark: int = 11) -> Talk:
    """A conversation at the last mark of the first rail."""
    talk = Talk()
    for line in (*lines, f"go to mark {mark}"):
        talk.type(line)
    return talk


def test_the_rest_is_said_with_the_last_mark_and_with_no_other() -> None:
    talk = at_last(*PLAIN, mark=10)
    assert "far post" not in talk.type("repeat")
    assert talk.type("next") == f"Mark eleven: one thousand nine hundred and seventy two, last one. {ASKED}"


@pytest.mark.parametrize("line", ["next", "yes", "that's right"])
def test_next_and_yes_go_on_alike(line: str) -> None:
    talk = at_last(*PLAIN, mark=1)
    for _ in range(10):
        talk.type("next")
    assert talk.type(line) == (
        "The other rails have the same marks. Bay one is marked. That was the last bay. "
        "Check it over before you nail, and keep the caution in mind."
    )


def test_a_number_beside_it_says_what_the_opening_may_be() -> None:
    """196 where 188 should be: eight more, so 2168 in place of 2160."""
    talk = at_last(*PLAIN)
    assert talk.type("no 196") == (
        "To the far post one hundred and ninety six. Eight more than it should be. The bottom opening may be two one six eight. "
        "Or the last mark is off. Measure bay one again? Yes or no."
    )
    assert talk.conversation.state.focus == Deciding(Decision.FAR_POST, 1)


@pytest.mark.parametrize("lines", [("no", "196"), ("the tape says 196",), ("far post 196",)])
def test_no_asks_for_the_number_and_the_tape_may_be_named(lines: tuple[str, ...]) -> None:
    talk = at_last(*PLAIN)
    for line in lines[:-1]:
        assert talk.type(line) == "How far is it to the far post?"
    assert "Eight more than it should be." in talk.type(lines[-1])


@pytest.mark.parametrize("value", [187, 188, 189])
def test_a_step_of_the_tape_is_no_difference(value: int) -> None:
    assert "The tape agrees." in at_last(*PLAIN).type(f"no {value}")
    assert "The tape agrees." not in at_last(*PLAIN).type(f"no {value + (3 if value > 187 else -1)}")


def test_yes_measures_the_bay_again_and_no_goes_back_to_the_mark() -> None:
    talk = at_last(*PLAIN)
    talk.type("no 196")
    assert ASKED in talk.type("no")
    talk.type("no 196")
    assert talk.type("yes").endswith("Bottom opening?")
    talk.type("2168")
    talk.type("same")
    assert talk.job.bays[0].openings == (("bottom", Fraction(2168)), ("top", Fraction(2168)))


def test_each_rail_has_its_own_rest() -> None:
    """Both rails are marked where the lean is shared."""
    talk = Talk("ninety", "one hundred", "share the lean", "2160", "2140", *MARKED)
    for rail, opening in (("bottom", 2160), ("top", 2140)):
        talk.type(f"{rail} rail")
        at = marking(talk.job)
        assert at is not None
        left = opening - rounded(at.rail.marks[-1].value, at.set_out.resolution)
        assert at.rail.to_far_post(len(at.rail.marks)) == left


def test_the_rest_of_a_raked_rail_is_measured_along_it() -> None:
    """3 in 4: every length along the rail is five quarters of the level one (a triangle of 3, 4 and 5)."""
    talk = Talk("ninety", "one hundred", "2000", "2000")
    level = set_out_of(talk.job, 0).rails[0]
    for line in ("raked bay", "1500", "2000", "yes"):
        talk.type(line)
    raked = set_out_of(talk.job, 0)
    last = len(level.marks)
    along = raked.rails[0].to_far_post(last)
    assert abs(along - (level.opening - level.left_edges()[-1]) * Fraction(5, 4)) <= raked.resolution.step


def test_a_leaf_has_no_far_post() -> None:
    talk = Talk("ninety", "one hundred")
    for line in ("leave it", "gate", "1000", "20", "20", "1", *MARKED):
        talk.type(line)
    said = ""
    for _ in range(20):
        said = talk.type("next")
        if "last one" in said:
            break
    assert "last one" in said and "far post" not in said
