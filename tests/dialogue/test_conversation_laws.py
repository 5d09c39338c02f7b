"""Laws of the conversation over any course it may take; those that hold at each step are watched in `talk`."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule
from strategies import any_words, lines_for
from talk import ALWAYS, TO_REACH, Kept, Watched, watched

from assistant.conversation import Conversation
from assistant.dialogue.asking import open_form, wanted
from assistant.dialogue.state import Asking, Choosing, Doubting, Hub, State
from assistant.events import JobOpened, NothingHeard, Utterance
from assistant.language.typed_lines import spoken_words as typed_words
from assistant.language.understanding import Wants
from assistant.language.vocabulary import Stage
from assistant.measured import Slope
from assistant.numbers import say_count, say_length

STARTS = (
    (),
    *TO_REACH.values(),
    (*TO_REACH[Stage.WALK], "next", "next", "stop", "next bay", "2145", "2138", "gate", "1000", "20", "same", "1"),
    (*TO_REACH[Stage.HUB], "next bay", "2145", "2138", "share the lean", "start marking", "gap confirmed", "understood"),
    ("work in inches", "3 1/2 in", "4 in", "71 1/2", "the same", "new bay", "84 1/16", "84"),
)
"""Where the courses begin: the deeper states would seldom be reached by chance."""

MOST_MARKS = 700


def plain_job(talk: Watched) -> None:
    """From any state, with phrases known beforehand, to the last mark of a new bay."""
    if talk.conversation.state.asleep:
        talk.say("wake", "up", "assistant")
    for _ in range(3):  # a doubt about where a picket slipped to, that question, the mark it was asked at
        talk.say("leave", "it")
    assert talk.conversation.state.stage is Stage.HUB
    for bay in talk.conversation.state.job.bays:
        talk.say("remove", "bay", *say_count(bay.number).split())
        talk.say("yes")
    for line in (
        "work in millimetres",
        "fewest pickets",
        "gap at both ends",
        "picket width ninety",
        "largest gap one hundred",
        "new bay",
        "eighteen hundred",
        "the same",
        "start marking",
        "gap confirmed",
    ):
        talk.say(*line.split())
        if talk.conversation.state.stage is Stage.DOUBT:  # the new pickets beside the gap of before, or the other way round
            talk.say("yes")
    if talk.conversation.state.stage is Stage.CAUTION:
        talk.say("understood")
    assert talk.conversation.state.stage is Stage.WALK
    for _ in range(MOST_MARKS):
        said = talk.say("next")
        if talk.conversation.state.stage is Stage.HUB:
            assert "marked" in said
            return
    raise AssertionError("the marks never came to an end")


class Courses(RuleBasedStateMachine):
    """Anything that can be heard, in any order."""

    def __init__(self) -> None:
        super().__init__()
        self.talk = Watched()

    @initialize(lines=st.sampled_from(STARTS))
    def begin(self, lines: tuple[str, ...]) -> None:
        self.talk = watched(lines)

    @rule(data=st.data())
    def say_what_counts(self, data: st.DataObject) -> None:
        self.talk.say(*data.draw(lines_for(self.talk.conversation.state)))

    @rule(data=st.data())
    def answer(self, data: st.DataObject) -> None:
        """The answer that leads on, so that courses reach the marks."""
        self.talk.say(*data.draw(st.sampled_from(ways_on(self.talk.conversation.state))))

    @rule(words=any_words)
    def say_anything(self, words: tuple[str, ...]) -> None:
        self.talk.say(*words)

    @rule()
    def undo(self) -> None:
        """The job is as it was before the last change, or the assistant says that there was none; a number in question is dropped."""
        state = self.talk.conversation.state
        if state.asleep:
            return
        pending = isinstance(state.focus, (Choosing, Doubting))
        expected = self.talk.before[-1] if self.talk.before and not pending else state.job
        self.talk.say("undo")
        assert self.talk.conversation.state.job == expected

    @rule(words=st.sampled_from(ALWAYS))
    def ask_what_is_always_answered(self, words: str) -> None:
        self.talk.say(*words.split())

    @rule(misses=st.integers(1, 4), silence=st.booleans())
    def miss(self, misses: int, silence: bool) -> None:
        for _ in range(misses):
            self.talk.take(NothingHeard() if silence else Utterance(("the",), 0.0, 0.0, understood=False))

    @rule()
    def open_again_after_a_break(self) -> None:
        self.talk.take(JobOpened())

    @rule()
    def end_the_program_and_open_the_record(self) -> None:
        self.talk.reopen()

    @invariant()
    def the_focus_goes_with_the_job(self) -> None:
        state = self.talk.conversation.state
        assert not isinstance(state.focus, Asking) or open_form(state) is not None, "a question without a form"
        assert state.job.current == 0 or state.job.current < len(state.job.bays)

    def teardown(self) -> None:
        """No dead ends: whatever has happened, a bay can still be measured and marked to its last picket."""
        plain_job(self.talk)


def said(*lines: str) -> list[tuple[str, ...]]:
    """Lines as words."""
    return [tuple(line.split()) for line in lines]


def ways_on(state: State) -> list[tuple[str, ...]]:
    """What a person who wants to get on would say."""
    match state.stage:
        case Stage.ASK:
            found = open_form(state)
            assert found is not None
            low = max(found[1].low, Fraction(1))
            if wanted(state) is Wants.COUNT:
                return [tuple(say_count(int(low)).split()), tuple(say_count(int(low) + 1).split())]
            middle = Fraction(int(low * 2))
            return [
                tuple(say_length(value, state.job.settings.unit, state.job.settings.numbers).split())
                for value in (middle, middle + 10)
                if value.denominator == 1
            ]
        case Stage.CHOOSE:
            return [("the", "first"), ("the", "second")]
        case Stage.DOUBT:
            return [("yes",), ("yes",), ("no",)]
        case Stage.GAP:
            return [("gap", "confirmed")]
        case Stage.CAUTION:
            return [("understood",)]
        case Stage.WALK:
            return said(
                "next",
                "next",
                "next rail",
                "go to mark nine",
                "picket slipped",
                "from the right",
                "picket at both ends",
                "mark centres",
                "stop",
            )
        case Stage.ASLEEP:
            return [("wake", "up", "assistant")]
        case Stage.HUB:
            return said(
                "new bay",
                "next bay",
                "gate",
                "start marking",
                "carry on",
                "bay one",
                "raked bay",
                "change bay one",
                "remove bay one",
                "match the bays",
                "match whatever it takes",
                "one more picket",
                "share the lean",
                "picket slipped",
                "left post leans",
                "top opening eighteen hundred",
                "add a middle rail",
            )
    raise AssertionError(state.stage)


TestCourses = Courses.TestCase
TestCourses.settings = settings(max_examples=120, stateful_step_count=40)


@pytest.mark.parametrize("stage", Stage)
def test_the_lines_reach_their_stage(stage: Stage) -> None:
    assert watched(TO_REACH[stage]).conversation.state.stage is stage


@pytest.mark.parametrize("stage", [stage for stage in Stage if stage is not Stage.ASLEEP])
@pytest.mark.parametrize("words", ALWAYS)
def test_every_stage_answers(stage: Stage, words: str) -> None:
    """Repeat, undo, help and stop are answered wherever the assistant is awake."""
    talk = watched(TO_REACH[stage])
    assert talk.say(*words.split())
    assert talk.conversation.state.misses == 0


@pytest.mark.parametrize("stage", [stage for stage in Stage if stage is not Stage.ASLEEP])
def test_one_phrase_leads_out(stage: Stage) -> None:
    """“Leave it” drops a number in question, and else goes back to where anything can be begun."""
    talk = watched(TO_REACH[stage])
    if stage in (Stage.CHOOSE, Stage.DOUBT):
        talk.say("leave", "it")
        assert talk.conversation.state.stage is Stage.ASK
    talk.say("leave", "it")
    assert isinstance(talk.conversation.state.focus, Hub)
    assert talk.conversation.state.job.draft is None


@pytest.mark.parametrize("stage", [stage for stage in Stage if stage not in (Stage.ASLEEP, Stage.WALK)])
@pytest.mark.parametrize("event", [NothingHeard(), Utterance(("bed",), 0, 0), Utterance((), 0, 0, understood=False)])
def test_three_misses_then_a_way_out(stage: Stage, event: NothingHeard | Utterance) -> None:
    """Three tries in three wordings, the third with a way out, then quiet."""
    talk = watched(TO_REACH[stage])
    said = [talk.take(event) for _ in range(5)]
    assert len(set(said[:3])) == 3
    assert "what can i say" in said[2].lower()
    assert said[3:] == ["", ""]


def test_nobody_is_prompted_while_marking() -> None:
    """Silence between marks is work going on."""
    talk = watched(TO_REACH[Stage.WALK])
    assert [talk.take(NothingHeard()) for _ in range(4)] == [""] * 4


def test_asleep_nothing_is_answered_but_the_waking() -> None:
    talk = watched(TO_REACH[Stage.ASLEEP])
    assert [talk.say(*line.split()) for line in (*ALWAYS, "ninety", "bed")] == [""] * (len(ALWAYS) + 2)
    assert talk.say("wake", "up", "assistant")


@settings(max_examples=300)
@given(st.sampled_from(STARTS), st.lists(any_words, min_size=1, max_size=4))
def test_no_words_break_it(lines: tuple[str, ...], heard: list[tuple[str, ...]]) -> None:
    """Whatever the words, a step never raises, and the record rebuilds the job."""
    talk = watched(lines)
    for words in heard:
        talk.say(*words)


def test_slopes_are_within_reach_of_the_courses() -> None:
    """The courses take in what is beside the bays too."""
    talk = watched((*TO_REACH[Stage.HUB], "raked bay", "200", "1800", "yes"))
    assert talk.conversation.state.job.bays[0].slope is Slope.RAKED


PROBES = ("help", "repeat", "back", "cancel", "undo", "what on earth", "2145", "yes", "no")
"""What somebody types who does not know what to do."""
ASKED_FOR = ("help", "repeat")
"""The same answer to these, as often as they are said, is no complaint."""


def typed(talk: Watched, line: str) -> str:
    """The reply to a typed line."""
    return talk.take(Utterance(typed_words(line), 0.0, 0.0, typed=True))


@settings(max_examples=120)
@given(st.data(), st.sampled_from(STARTS), st.integers(0, 8))
def test_whatever_is_typed_is_answered_without_nagging_and_there_is_a_way_out(
    data: st.DataObject, lines: tuple[str, ...], steps: int
) -> None:
    talk = watched(lines)
    for _ in range(steps):
        state = talk.conversation.state
        talk.say(*data.draw(st.one_of(st.sampled_from(ways_on(state)), lines_for(state), any_words)))
    for probe in PROBES:
        there = copy(talk)
        said: list[str] = []
        before = there.conversation.state.job
        for _ in range(5):
            said.append(typed(there, probe))
            assert said[-1], f"no answer to {probe}"
            if there.conversation.state.job != before:
                before, said = there.conversation.state.job, []
        assert probe in ASKED_FOR or len(said) < 4 or len(set(said[-4:])) > 1, f"{said[-1]} four times running, to {probe}"
        if there.conversation.state.asleep:
            typed(there, "wake up assistant")
        for _ in range(3):
            if there.conversation.state.focus == Hub():
                break
            typed(there, "leave it")
        assert there.conversation.state.focus == Hub() and there.conversation.state.job.draft is None, "no way out in three turns"


def copy(talk: Watched) -> Watched:
    """The same conversation, to go another way from here."""
    conversation = Conversation(Kept())
    conversation.state = talk.conversation.state
    return replace(talk, conversation=conversation, turns=list(talk.turns), reopened=set(talk.reopened))
