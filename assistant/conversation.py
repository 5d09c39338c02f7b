"""A conversation under way: events in, facts kept first, replies out.

This is the one loop every way in shares: the microphone, a sound file and the keyboard all end up in `Conversation.take`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol

from assistant.dialogue.asking import likely_answers, listened_for
from assistant.dialogue.manager import step, taken_up
from assistant.errors import AssistantError
from assistant.events import AdjustSound, CallEvery, End, Ending, Event, JobOpened, Record, Signal, Speak, Tone, Utterance
from assistant.job import Fact
from assistant.language import listening
from assistant.language.expecting import Expected
from assistant.language.typed_lines import spoken_words
from assistant.language.vocabulary import ARMED, ARMED_WALKING, Stage

TYPED = 0.0
"""Typed words have no place on an audio clock."""

MISTAKE = "That cannot be done: there is a mistake in this program. Nothing was changed. Say it another way, or go on with something else."
"""Said when a step fails in a way that nobody thought of."""


class Keeper(Protocol):
    """Whoever keeps the facts; a fact is durable once `append` returns."""

    def append(self, facts: Sequence[Fact], heard: str = "") -> None:
        """Keep the facts, all or none."""


@dataclass(frozen=True, slots=True)
class Reply:
    """What came of one event."""

    spoken: tuple[str, ...] = ()
    adjustments: tuple[AdjustSound, ...] = ()
    pace: tuple[CallEvery, ...] = ()
    """At most one: the pace changed."""
    signal: Tone | None = None
    """What a short signal tells, where nothing is spoken."""
    ended: bool = False
    """Whether the conversation is over."""


class Conversation:
    """State, and the keeper of its facts."""

    def __init__(
        self,
        keeper: Keeper,
        groups: Iterable[Sequence[Fact]] = (),
        title: str = "",
        faulty: Callable[[Exception, str], None] | None = None,
    ) -> None:
        """`groups` are the facts of the record, turn by turn; `title` is what the job is called when it is taken up again.

        `faulty` is told of an exception that is a mistake of the program and of what was heard; the step is then refused in words.
        Without it the exception is raised.
        """
        self._keeper = keeper
        self._faulty = faulty
        self._title = title
        self.state = taken_up(groups)

    def open(self) -> Reply:
        """Begin, or take up again."""
        return self.take(JobOpened(self._title))

    def typed(self, line: str) -> Reply:
        """A typed line, treated as if it had been heard."""
        return self.take(Utterance(spoken_words(line), TYPED, TYPED, typed=True))

    def take(self, event: Event) -> Reply:
        """One step.  Raises RecordError when the facts cannot be kept; the state then stays as it was and nothing is spoken."""
        try:
            return self._stepped(event)
        except AssistantError:
            raise
        except Exception as error:
            if self._faulty is None:
                raise
            self._faulty(error, " ".join(event.words) if isinstance(event, Utterance) else type(event).__name__)
            return Reply((MISTAKE,))

    def _stepped(self, event: Event) -> Reply:
        after, effects = step(self.state, event)
        spoken, adjustments, pace, signal, ended = [], [], [], None, False
        for effect in effects:
            match effect:
                case Record(facts, heard):
                    self._keeper.append(facts, heard)
                case Speak(text):
                    spoken.append(text)
                case AdjustSound():
                    adjustments.append(effect)
                case CallEvery():
                    pace.append(effect)
                case Signal(tone):
                    signal = tone
                case End():
                    ended = True
        self.state = after
        return Reply(tuple(spoken), tuple(adjustments), tuple(pace), signal, ended)

    def phrases(self) -> tuple[str, ...]:
        """What to listen for now."""
        return self.expected().phrases()

    def expects_number(self) -> bool:
        """Whether a number may come, with a pause inside."""
        return listening.expects_number(self.state.stage)

    def ending(self, words: tuple[str, ...]) -> Ending:
        """Whether more is to be expected behind these words."""
        return self.expected().ending(words)

    def expected(self) -> Expected:
        """All that can be said now, and what it means."""
        return Expected(*listened_for(self.state), likely_answers(self.state))

    def armed(self) -> tuple[str, ...]:
        """The words that interrupt while the assistant speaks."""
        return ARMED_WALKING if self.state.stage is Stage.WALK else ARMED

    def asleep(self) -> bool:
        """Whether only the wake-up phrase counts."""
        return self.state.asleep

    def headset(self) -> bool:
        """Whether the user may talk over the assistant."""
        return self.state.job.settings.headset
