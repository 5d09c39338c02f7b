"""The loop that every way in shares: kept first, spoken then, and nothing moves when it could not be kept."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from talk import TO_REACH, Kept, Talk

from assistant.conversation import Conversation
from assistant.dialogue.state import REMEMBERED
from assistant.errors import RecordError
from assistant.events import CallEvery
from assistant.fold import standing_turns
from assistant.job import Fact
from assistant.language.vocabulary import Stage


class Full(Kept):
    """A keeper whose disk is full from a moment on."""

    full = False

    def append(self, facts: Sequence[Fact], heard: str = "") -> None:
        if self.full:
            raise RecordError("This was not saved. The disk is full.")
        super().append(facts, heard)


def test_what_could_not_be_kept_did_not_happen() -> None:
    keeper = Full()
    conversation = Conversation(keeper)
    conversation.open()
    conversation.typed("ninety")
    before, kept = conversation.state, list(keeper.facts)
    keeper.full = True
    with pytest.raises(RecordError):
        conversation.typed("one hundred")
    assert conversation.state == before
    assert keeper.facts == kept
    keeper.full = False
    assert "Bay one" in conversation.typed("one hundred").spoken[0]


def test_a_conversation_taken_up_from_its_turns_is_where_it_was() -> None:
    talk = Talk(*TO_REACH[Stage.WALK], "next")
    again = Conversation(Kept(), standing_turns([talk.kept.facts]), "garden fence")
    assert again.state.job == talk.job
    assert again.open().spoken[0].startswith("Back to garden fence.")


def test_hold_stops_the_pace_and_carry_on_takes_it_up() -> None:
    talk = Talk(*TO_REACH[Stage.WALK])
    assert talk.conversation.typed("call every 20 seconds").pace == (CallEvery(20),)
    assert talk.conversation.typed("hold").pace == (CallEvery(None),)
    assert talk.conversation.state.pace is None
    assert talk.conversation.typed("carry on").pace == (CallEvery(20),)


def test_after_the_last_mark_nothing_is_called_any_more() -> None:
    talk = Talk(*TO_REACH[Stage.WALK], "call every 20 seconds")
    for _ in range(9):
        assert talk.conversation.typed("next").pace == ()
    assert talk.conversation.typed("next").pace == (CallEvery(None),)


def test_a_gap_said_aloud_has_to_fit_every_rail() -> None:
    """2145 and 2105 with eleven pickets of 90: gaps of 96.25 and 92.92."""
    talk = Talk("ninety", "one hundred", "2145", "2105", "share the lean", "start marking")
    said = talk.say("96.25")
    assert "That is not the gap. Say: gap confirmed." in said
    assert talk.stage is Stage.GAP
    assert "Gap confirmed" in talk.say("gap confirmed")


def test_undo_remembers_so_many_turns_and_says_when_there_are_no_more() -> None:
    talk = Talk(*TO_REACH[Stage.HUB])
    for turn in range(REMEMBERED + 5):
        talk.say("short answers" if turn % 2 else "full answers")
        talk.say("mark centres" if turn % 2 else "left edges")
    assert len(talk.conversation.state.past) == REMEMBERED
    for _ in range(REMEMBERED):
        assert talk.say("undo").startswith("Undone: ")
    assert "nothing to undo" in talk.say("undo")
