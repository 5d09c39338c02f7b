"""The subjects reached by typed lines, through the whole conversation."""

from __future__ import annotations

from talk import Talk

from assistant.language.vocabulary import Stage

BAY = ("ninety", "one hundred", "1815", "the same")
ON = "Say: next bay, gate, or no more bays."


def test_a_timber_list_is_asked_for_told_and_taken_back() -> None:
    talk = Talk(*BAY, "timber list", "two", "two", "4800", "3", "zero", "zero")
    said = talk.say("ten")
    assert "Ten pickets; buy eleven. Two posts, forty four fixings. Two rails from one stock length. Caution." in said
    assert talk.say("understood").endswith(ON)
    assert talk.stage is Stage.HUB
    talk.say("undo")
    talk.say("undo")
    assert talk.job.notes == ()


def test_stock_too_short_is_asked_for_again() -> None:
    talk = Talk(*BAY, "timber list", "two", "two", "1800", "3", "1200", "the same", "1300", "600")
    assert talk.say("ten").endswith("It takes longer stock. How long is a stock length of rail?")
    assert "Each post is one thousand nine hundred millimetres long. Two rails from one stock length." in talk.say("3900")
    assert talk.stage is Stage.CAUTION


def test_posts_wait_for_the_caution_to_be_understood() -> None:
    talk = Talk(*BAY, "post positions", "7600", "100", "the same")
    assert talk.say("2400").endswith("Say: understood.")
    assert talk.stage is Stage.CAUTION
    talk.say("understood")
    assert talk.say("post two") == (
        "Post two: near face two thousand five hundred, centre two thousand five hundred and fifty, far face two thousand six hundred."
    )
    talk.say("post positions")
    assert "Caution" not in [talk.say(line) for line in ("5100", "100", "the same", "2400")][-1]


def test_a_slope_is_for_bays_that_are_not_set_out() -> None:
    talk = Talk(*BAY, "raked slope", "700")
    talk.say("2400")
    assert "Bay one is raked, sixteen point three degrees" in talk.say("yes")
    assert talk.say("level bay").startswith("Bay one is level, its opening one thousand eight hundred and fifteen.")
    for line in ("start marking", "gap confirmed", "understood", "stop"):
        talk.say(line)
    for line in ("raked slope", "stepped slope", "slope along the rail", "level bay"):
        assert talk.say(line) == "Bay one is set out. To change it, say: change bay one."


def test_a_wrong_level_length_is_asked_for_once_more() -> None:
    talk = Talk(*BAY, "slope along the rail", "1900")
    told = talk.say("2000")
    assert told.endswith("cannot be less than the level length, two thousand millimetres. And the same on the level?")
    assert "Bay one is raked" in talk.say("1815")


def test_checks_follow_the_rail_that_is_being_marked() -> None:
    lines = ("ninety", "one hundred", "2412", "2400", "share the lean", "start marking", "gap confirmed", "understood")
    talk = Talk(*lines)
    assert "Bottom rail: eighty six millimetres, about two point seven millimetres under the plan." in talk.say("gap is 86")
    talk.say("top rail")
    assert "Top rail: eighty six millimetres, about one point nine millimetres under the plan." in talk.say("gap is 86")
    assert talk.say("check every 6").startswith("Picket six at nine hundred and seventy seven.")
    assert talk.stage is Stage.WALK


def test_poles_widths_and_a_row_past_the_posts() -> None:
    talk = Talk(*BAY, "story pole", "1000")
    assert "In bay one set the pole again on mark six." in talk.say("0")
    talk.say("picket widths")
    talk.say("90")
    assert talk.say("92").endswith("The next one? Or say: all measured.")
    assert "Two pickets measured, mean ninety one millimetres" in talk.say("all measured")
    talk.say("continuous run")
    assert "One row of eleven pickets over two posts" in talk.say("100")
    assert talk.say("compare the bays").endswith("None stands out.")


def test_posts_are_changed_by_what_is_said_of_them() -> None:
    talk = Talk(*BAY, "posts by centres", "8000", "100", "120", "2500", "understood")
    assert "Four bays, five posts." in talk.say("how many posts")
    assert "Three openings of" not in talk.say("full bays first")
    assert talk.say("gate in the run").startswith("Gate in the run. How far from the first post's outer face")
    talk.say("4000")
    assert "one gate" in talk.say("1000")
    talk.say("undo")
    talk.say("leave it")
    assert talk.job.posts is not None and talk.job.posts.gates == ()
    for line in ("measured between centres", "measured inside the posts", "measured over the posts", "equal bays"):
        assert "posts." in talk.say(line), line
    assert talk.stage is Stage.HUB
