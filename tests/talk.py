"""Conversations for tests: typed or driven, with every law that holds at each single step watched all the while."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from assistant.conversation import Conversation, Reply
from assistant.dialogue.manager import step
from assistant.events import Event, JobOpened, Record, Speak, Utterance
from assistant.job import CautionAcknowledged, Fact, Job, MarkCalled, Undone, apply, replay, standing
from assistant.language.typed_lines import spoken_words as typed_words
from assistant.language.vocabulary import ARMED, ARMED_WALKING, Stage

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
    """A typed conversation."""

    def __init__(self, *lines: str) -> None:
        self.kept = Kept()
        self.conversation = Conversation(self.kept)
        self.conversation.open()
        for line in lines:
            self.say(line)

    def say(self, line: str) -> str:
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
    facts: list[Fact] = field(default_factory=list)
    opened_at: int = 0
    """How many facts stood after the last break: when the job was last opened, or woken."""
    before: list[Job] = field(default_factory=list)
    """The jobs that undoing goes back to, the nearest last."""
    missed: str = ""
    """What was said at the last miss, if the last thing was a miss."""

    def say(self, *words: str) -> str:
        """Words heard."""
        return self.take(Utterance(words, 0.0, 0.0))

    def take(self, event: Event) -> str:
        """One step under watch; everything that was spoken."""
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
            self._keep(recorded[0].facts)
        assert after.job == replay(self.facts)
        assert after.facts == len(standing(self.facts))
        assert not armed(said, after.stage), (said, after.stage)
        self._misses(after.misses > was.misses, said, after.misses)
        self._answered(event, said, after.stage)
        # The facts are in our own list; the conversation only holds the state.
        self.conversation.state = after
        return said

    def reopen(self) -> str:
        """Begin again from the record, as after the program was ended."""
        before = self.conversation.state.job
        kept = Kept()
        kept.facts = list(standing(self.facts))
        self.conversation = Conversation(kept, kept.facts)
        assert self.conversation.state.job == before
        self.before = []
        self.missed = ""
        return self.take(JobOpened())

    def _keep(self, facts: tuple[Fact, ...]) -> None:
        """Add facts; marks are called only for a confirmed gap and after the caution."""
        job = replay(self.facts)
        start = job
        for fact in facts:
            if isinstance(fact, MarkCalled):
                stand = standing(self.facts)
                assert fact.position.bay in job.confirmed, "a mark was called for a gap nobody confirmed"
                assert CautionAcknowledged("nailing") in stand[self.opened_at :], "a mark was called before the caution"
            self.facts.append(fact)
            job = replay(self.facts) if isinstance(fact, Undone) else apply(job, fact)
            if isinstance(fact, Undone):
                self.opened_at = min(self.opened_at, len(standing(self.facts)))
        if not isinstance(facts[0], Undone):
            self.before.append(start)
            return
        back = replay([*self.facts[: len(self.facts) - len(facts)], facts[0]])
        expected = self.before[-1] if self.before else None
        assert back == expected, "undoing did not bring the job back as it was"
        if len(facts) == 1:
            self.before.pop()

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


ALWAYS = ("repeat", "undo", "what can i say", "stop", "help", "say again", "leave it")
"""What is answered in every stage but sleep."""


def watched(lines: Iterable[str]) -> Watched:
    """A watched conversation brought to where the lines lead."""
    found = Watched()
    found.take(JobOpened())
    for line in lines:
        found.say(*typed_words(line))
    return found
