"""Conversations for tests: typed or driven, with every law that holds at each single step watched all the while."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from assistant.conversation import Conversation, Reply
from assistant.dialogue.manager import step
from assistant.dialogue.state import REMEMBERED, Deciding, Decision, State
from assistant.events import Event, JobOpened, Record, Speak, Utterance
from assistant.fold import apply, replay, standing, standing_turns
from assistant.job import (
    BayRemoved,
    BayReopened,
    CautionAcknowledged,
    Fact,
    Job,
    MarkCalled,
    PicketSlipped,
    SetOutConfirmed,
    Undone,
)
from assistant.language.typed_lines import spoken_words as typed_words
from assistant.language.vocabulary import ARMED, ARMED_WALKING, Stage
from assistant.numbers import say_count
from assistant.plan import is_marked

TO_REACH: dict[Stage, tuple[str, ...]] = {
    Stage.ASK: ("ninety", "one hundred"),
    Stage.CHOOSE: ("ninety", "one hundred", "eighteen fifteen"),
    Stage.DOUBT: ("ninety", "one hundred", "12000"),
    Stage.HUB: ("ninety", "one hundred", "1815", "the same"),
    Stage.GAP: ("ninety", "one hundred", "1815", "the same", "start marking"),
    Stage.CAUTION: ("ninety", "one hundred", "1815", "the same", "start marking", "gap confirmed"),
    Stage.WALK: ("ninety", "one hundred", "1815", "the same", "start marking", "gap confirmed", "understood"),
    Stage.ASLEEP: ("ninety", "one hundred", "go to sleep assistant"),
}
"""The lines that bring a new conversation to each stage."""


class Kept:
    """A keeper that holds the facts in memory."""

    def __init__(self) -> None:
        self.facts: list[Fact] = []

    def append(self, facts: Sequence[Fact], heard: str = "") -> None:
        self.facts += facts


class Talk:
    """A conversation in written lines."""

    def __init__(self, *lines: str) -> None:
        self.kept = Kept()
        self.conversation = Conversation(self.kept)
        self.conversation.open()
        for line in lines:
            self.say(line)

    def say(self, line: str) -> str:
        """The reply to a line as if it had been spoken, as one text."""
        return text(self.conversation.take(Utterance(typed_words(line), 0.0, 0.0)))

    def type(self, line: str) -> str:
        """The reply to a typed line, as one text."""
        return text(self.conversation.typed(line))

    def take(self, event: Event) -> str:
        """The reply to an event, as one text."""
        return text(self.conversation.take(event))

    @property
    def job(self) -> Job:
        """The job so far."""
        return self.conversation.state.job

    @property
    def stage(self) -> Stage:
        """What is waited for."""
        return self.conversation.state.stage


def text(reply: Reply) -> str:
    """Everything spoken, as one text."""
    return " ".join(reply.spoken)


def spoken_words(said: str) -> list[str]:
    """The words of a reply, lower case, without punctuation."""
    return ["".join(letter for letter in word if letter.isalnum()) for word in said.lower().split()]


def armed(said: str, stage: Stage) -> set[str]:
    """The words of a reply that would interrupt the assistant itself, if it heard them while it speaks in this stage."""
    return set(spoken_words(said)) & set(ARMED_WALKING if stage is Stage.WALK else ARMED)


@dataclass
class Watched:
    """A conversation whose every step is checked against the laws that hold for single steps."""

    conversation: Conversation = field(default_factory=lambda: Conversation(Kept()))
    turns: list[tuple[Fact, ...]] = field(default_factory=list)
    """The facts recorded, turn by turn."""
    opened_at: int = 0
    """How many facts stood after the last break: when the job was last opened, or woken."""
    missed: str = ""
    """What was said at the last miss, if the last thing was a miss."""
    reopened: set[int] = field(default_factory=set)
    """Numbers of bays that were opened again and of which no mark was called since."""
    count: int = 0
    """Steps so far."""

    @property
    def facts(self) -> list[Fact]:
        """Every fact recorded, in order."""
        return [fact for turn in self.turns for fact in turn]

    @property
    def before(self) -> list[Job]:
        """The jobs that undoing goes back to, the nearest last."""
        return [past.job for past in self.conversation.state.past]

    def say(self, *words: str) -> str:
        """Words heard."""
        return self.take(Utterance(words, 0.0, 0.0))

    def take(self, event: Event) -> str:
        """One step under watch; everything that was spoken."""
        self.count += 1
        if isinstance(event, JobOpened):
            self.opened_at = len(standing(self.facts))
        was = self.conversation.state
        after, effects = step(was, event)
        if was.asleep and not after.asleep:
            self.opened_at = len(standing(self.facts))
        recorded = [effect for effect in effects if isinstance(effect, Record)]
        said = " ".join(effect.text for effect in effects if isinstance(effect, Speak))
        assert len(recorded) <= 1
        if recorded:
            assert effects[0] is recorded[0], "facts are kept before anything is spoken"
            self._keep(was, recorded[0].facts)
        assert after.job == replay(self.facts)
        assert after.facts == len(standing(self.facts))
        assert len(after.past) <= REMEMBERED
        assert not armed(said, after.stage), (said, after.stage)
        self._stands(was.job, after.job, recorded[0].facts if recorded else ())
        self._last_bay(was, said, after.job)
        self._misses(after.misses > was.misses, said, after.misses)
        self._answered(event, said, after.stage)
        # The facts are in our own list; the conversation only holds the state.
        self.conversation.state = after
        return said

    def reopen(self) -> str:
        """Begin again from the record, as after the program was ended."""
        before = self.conversation.state
        kept = standing_turns(self.turns)
        self.conversation = Conversation(Kept(), kept)
        assert self.conversation.state.job == before.job
        assert [past.job for past in self.conversation.state.past] == [past.job for past in before.past], "undo was lost with the break"
        self.missed = ""
        return self.take(JobOpened())

    def _keep(self, was: State, facts: tuple[Fact, ...]) -> None:
        """Add facts; marks are called only for a confirmed gap, at its set-out, and after the caution."""
        job, held = was.job, self.facts
        for fact in facts:
            if isinstance(fact, MarkCalled):
                found = job.standing_of(fact.position.bay)
                assert found is not None and found.confirmed, "a mark was called for a gap nobody confirmed"
                assert CautionAcknowledged("nailing") in standing(held)[self.opened_at :], "a mark was called before the caution"
                if fact.position.bay in self.reopened:
                    first = (found.set_out.rails[0].name, 1)
                    assert (fact.position.rail, fact.position.mark) == first, "not from mark one after a reopening"
                    self.reopened.discard(fact.position.bay)
            if isinstance(fact, BayReopened):
                assert isinstance(was.focus, Deciding) and was.focus.about in REOPENING, "a bay was opened again without a yes"
                assert was.focus.bay == fact.number, "a bay was opened again that nobody named"
                self.reopened.add(fact.number)
            held.append(fact)
            job = was.past[-1].job if isinstance(fact, Undone) else apply(job, fact)
            if isinstance(fact, Undone):
                assert facts[0] is fact, "undone in the middle of a turn"
                assert job == replay(held), "undoing did not bring the job back as it was"
                self.opened_at = min(self.opened_at, len(standing(held)))
                self.reopened = set()
        self.turns.append(facts)

    @staticmethod
    def _stands(before: Job, after: Job, facts: tuple[Fact, ...]) -> None:
        """What is set out changes by a confirmation, a slip, a reopening or a removal of that very bay alone."""
        if any(isinstance(fact, Undone) for fact in facts):
            return
        numbers = {index: bay.number for index, bay in enumerate(before.bays)}
        touched = {fact.number for fact in facts if isinstance(fact, (SetOutConfirmed, PicketSlipped, BayReopened))}
        touched |= {numbers[fact.index] for fact in facts if isinstance(fact, BayRemoved)}
        for number, found in before.standing:
            now = after.standing_of(number)
            if number in touched:
                slipped = [fact for fact in facts if isinstance(fact, PicketSlipped) and fact.number == number]
                assert slipped or now is None or now.set_out == found.set_out, "a set-out changed by being confirmed"
                for fact in slipped:
                    assert now is not None
                    for name, mark in found.called:
                        kept, moved = found.set_out.rail(name), now.set_out.rail(name)
                        assert kept is not None and moved is not None
                        assert mark >= fact.slip.picket or kept.marks[mark - 1] == moved.marks[mark - 1], "a mark before a slip moved"
                continue
            assert now is not None and now.set_out == found.set_out, "a set-out changed behind the builder's back"
            assert set(found.called) <= set(now.called), "a mark that was called was forgotten"

    @staticmethod
    def _last_bay(was: State, said: str, job: Job) -> None:
        """“Last bay” is said when all are marked; the bay offered is the first that is not, unless one was named."""
        open_bays = [index for index in range(len(job.bays)) if not is_marked(job, index)]
        if "last bay" in said:
            assert not open_bays, "the last bay, they say, and one is not marked"
        offered = re.search(r"is marked\. For (?:bay|gate) ([a-z ]+), say: start marking", said)
        if offered and job.chosen is None:
            assert offered[1] == say_count(job.bays[open_bays[0]].number), "not the first that is not marked"

    def _misses(self, missed: bool, said: str, count: int) -> None:
        if not missed:
            self.missed = ""
            return
        assert not said or said != self.missed, f"the same words twice running: {said}"
        assert said or count > 3 or self.conversation.state.stage in (Stage.WALK, Stage.ASLEEP), "silent at a miss"
        self.missed = said or self.missed

    def _answered(self, event: Event, said: str, stage: Stage) -> None:
        if not isinstance(event, Utterance) or not event.understood:
            return
        asleep = self.conversation.state.asleep
        if " ".join(event.words) in ALWAYS and not asleep:
            assert said, f"no answer to {' '.join(event.words)}"
        if event.words == ("undo",) and not asleep and isinstance(self.turns[-1][0] if self.turns else None, Undone):
            assert "Undone: " in said or "say it again" in said or "nothing to undo" in said, said


REOPENING = (Decision.REOPEN, Decision.SUSPECT, Decision.FAR_POST)
"""The questions whose yes opens a bay that is set out."""
ALWAYS = ("repeat", "undo", "what can i say", "stop", "help", "say again", "leave it")
"""What is answered in every stage but sleep."""


def watched(lines: Iterable[str]) -> Watched:
    """A watched conversation brought to where the lines lead."""
    found = Watched()
    found.take(JobOpened())
    for line in lines:
        found.say(*typed_words(line))
    return found
