"""Overlapping boards in the conversation: asked for, told, each by its number, on the sheet and in the files."""

from __future__ import annotations

import json

from subject_turns import kept
from talk import Talk

from assistant.dialogue.turn import Turn
from assistant.language.vocabulary import Stage
from assistant.paper.exports import job_json

BAY = ("ninety", "one hundred", "1815", "the same")
ROW = (*BAY, "overlapping boards", "2546", "152")


def test_boards_are_told_and_each_is_called_by_its_number() -> None:
    # By hand: 20 boards of 152 over 2546 overlap by 494/19 = 26, so each stands 126 after the one before.
    talk = Talk(*ROW)
    told = talk.say("25")
    assert "Twenty boards, each over the next by twenty six millimetres. On alternate sides: odd boards in front, even ones behind." in told
    assert talk.say("board two").startswith("Board two: one hundred and twenty six, behind.")
    assert talk.say("board 20").startswith("Board twenty, last one: two thousand three hundred and ninety four, behind.")
    assert talk.say("board 21").startswith("There is no board twenty one; there are twenty.")
    talk.say("mark centres")
    assert talk.say("board one").startswith("Board one: seventy six, front.")
    assert talk.stage is Stage.HUB


def test_next_goes_on_with_the_boards_until_something_else_is_done() -> None:
    talk = Talk(*ROW, "25")
    assert [talk.say("next")[:10] for _ in range(2)] == ["Board one:", "Board two:"]
    talk.say("board 19")
    assert talk.say("next one").startswith("Board twenty, last one:")
    assert talk.say("next").startswith("That was the last board.")
    assert not talk.say("next").startswith("Board")
    talk = Talk(*ROW, "25", "next", "summary")
    assert not talk.say("next").startswith("Board")


def test_boards_are_on_the_sheet_and_in_the_files() -> None:
    talk = Talk(*ROW, "25")
    lines = kept(Turn(talk.conversation.state))["Overlapping boards over 2546 mm"]
    assert lines[0] == "20 boards of 152 mm, each over the next by 26 mm; on alternate sides 100 mm between boards of one side"
    assert lines[2].startswith("Left edges from the left post: 1: 0 mm, 2: 126 mm, 3: 252 mm")
    exported = json.loads(job_json(talk.job, "t", "d"))["boards"]
    assert exported == {"opening": "2546/1", "board": "152/1", "count": 20, "overlap": "26/1", "pitch": "126/1"}


def test_an_overlap_that_cannot_be_is_asked_for_again() -> None:
    talk = Talk(*ROW, "152")
    assert "The overlap must be less than a board." in talk.say("yes")
    assert talk.stage is Stage.ASK
    assert Talk(*BAY).say("board one").startswith("No boards are set out yet. Say: overlapping boards.")
