"""The loop that every way in shares: kept first, spoken then, and nothing moves when it could not be kept."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import pytest
from talk import TO_REACH, Kept, Talk, armed

from assistant.conversation import MISTAKE, Conversation
from assistant.dialogue import manager
from assistant.dialogue.state import REMEMBERED
from assistant.errors import RecordError
from assistant.events import CallEvery, Tone, Utterance
from assistant.fold import standing_turns
from assistant.job import Fact
from assistant.language.vocabulary import Stage
from assistant.setout.limits import GapLimit


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


@pytest.mark.parametrize("stage", Stage)
def test_a_mistake_in_a_handler_refuses_the_step_and_the_record_stands(stage: Stage, monkeypatch: pytest.MonkeyPatch) -> None:
    keeper, told = Kept(), []
    talk = Talk(*TO_REACH[stage])
    conversation = Conversation(keeper, [talk.kept.facts], "", lambda error, heard: told.append((str(error), heard)))
    conversation.open()
    before, kept = conversation.state, list(keeper.facts)
    with monkeypatch.context() as broken:
        broken.setattr(manager, "understand", lambda *_: 1 / 0)
        assert conversation.typed("undo").spoken == (MISTAKE,)
    assert told == [("division by zero", "undo")]
    assert (conversation.state, keeper.facts) == (before, kept)
    assert not armed(MISTAKE, stage)
    assert conversation.typed("what can i say").spoken != (MISTAKE,)


def test_a_mistake_that_nobody_is_told_of_is_raised(monkeypatch: pytest.MonkeyPatch) -> None:
    conversation = Conversation(Kept())
    conversation.open()
    monkeypatch.setattr(manager, "understand", lambda *_: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        conversation.typed("ninety")


TALK = Utterance(("bed", "and", "so"), 0.0, 0.0)
"""Words that the ears know and that mean nothing."""


@pytest.mark.parametrize("stage", [stage for stage in Stage if stage is not Stage.ASLEEP])
@pytest.mark.parametrize("heard", [TALK, Utterance((), 0.0, 0.0, understood=False), Utterance(("next",), 0.0, 0.0, doubt=(("next",),))])
def test_what_was_not_taken_never_gets_the_tone_for_got_it(stage: Stage, heard: Utterance) -> None:
    talk = Talk(*TO_REACH[stage])
    replies = [talk.conversation.take(heard) for _ in range(6)]
    assert all(reply.signal is not Tone.GOT_IT for reply in replies)
    if stage is not Stage.WALK:
        assert [reply.signal for reply in replies if not reply.spoken] == [Tone.NOT_CAUGHT] * 3, "three misses, then it waits"


@pytest.mark.parametrize("heard", [TALK, Utterance((), 0.0, 0.0, understood=False)])
def test_talk_between_two_people_while_marking_is_met_with_silence(heard: Utterance) -> None:
    talk = Talk(*TO_REACH[Stage.WALK])
    for _ in range(6):
        reply = talk.conversation.take(heard)
        assert not reply.spoken and reply.signal is None
    assert talk.say("next").startswith("Mark two")


def test_what_is_doubtful_while_marking_gets_one_falling_tone_and_no_words() -> None:
    talk = Talk(*TO_REACH[Stage.WALK])
    doubtful = Utterance(("next",), 0.0, 0.0, doubt=(("next",),))
    replies = [talk.conversation.take(doubtful) for _ in range(4)]
    assert [(reply.spoken, reply.signal) for reply in replies] == [((), Tone.NOT_CAUGHT), *[((), None)] * 3]
    talk.say("next")
    assert talk.conversation.take(doubtful).signal is Tone.NOT_CAUGHT


@pytest.mark.parametrize("stage", Stage)
def test_on_the_keyboard_it_always_answers_and_never_says_one_thing_four_times_running(stage: Stage) -> None:
    talk = Talk(*TO_REACH[stage])
    said = [talk.type("what on earth") for _ in range(8)]
    assert all(said)
    if stage is not Stage.ASLEEP:
        assert all(len(set(said[at : at + 4])) > 1 for at in range(5))


@pytest.mark.parametrize("stage", [stage for stage in Stage if stage not in (Stage.ASLEEP, Stage.WALK)])
def test_after_three_misses_any_word_that_is_understood_goes_on(stage: Stage) -> None:
    talk = Talk(*TO_REACH[stage])
    for _ in range(5):
        talk.take(TALK)
    assert "You can say: " in talk.say("what can i say")
    assert talk.conversation.state.misses == 0


def test_a_number_in_question_when_the_job_is_left_is_asked_for_again() -> None:
    """The limit is known, and said once more beside the pickets: what was in question is asked for, and nothing else."""
    talk = Talk("largest gap one hundred", "pickets ninety gap 1815")
    assert talk.stage is Stage.DOUBT
    conversation = Conversation(Kept(), standing_turns([talk.kept.facts]))
    assert "largest gap?" in conversation.open().spoken[0].lower()
    assert "Bottom opening?" in conversation.typed("99").spoken[0]
    assert conversation.state.job.settings.limit == GapLimit(Fraction(99), strict=False)


def test_a_break_forgets_the_second_of_two_numbers() -> None:
    talk = Talk("ninety", "palings eighteen fifteen gap eighteen fifteen")
    talk.conversation.open()
    assert talk.say("one hundred").startswith("Largest gap: one zero zero. Pickets ninety")
