"""One turn being put together: facts applied at once, sentences gathered, the way back kept."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from assistant.dialogue.cautions import NAILING
from assistant.dialogue.state import Choosing, Doubting, Focus, Hub, Removing, State, Walking
from assistant.events import Effect, Record, Speak
from assistant.job import Fact, Job, Settings, SettingsChanged, Undone, apply
from assistant.language.understanding import Intent


@dataclass(slots=True)
class Turn:
    """The state so far in this turn, and what it will do; `done` freezes both."""

    start: State
    heard: str = ""
    state: State = field(init=False)
    facts: list[Fact] = field(default_factory=list)
    parts: list[str] = field(default_factory=list)
    effects: list[Effect] = field(default_factory=list)
    redo: Intent | None = None

    def __post_init__(self) -> None:
        self.state = self.start

    @property
    def job(self) -> Job:
        """The job, with this turn's facts in it."""
        return self.state.job

    @property
    def settings(self) -> Settings:
        """The settings in force."""
        return self.state.job.settings

    def fact(self, fact: Fact) -> None:
        """Accept a fact: the job changes now, the record gets it with the rest of the turn."""
        self.facts.append(fact)
        self.state = replace(self.state, job=apply(self.state.job, fact), facts=self.state.facts + 1)

    def settle(self, **changes: object) -> None:
        """Accept changed settings."""
        self.fact(SettingsChanged(replace(self.settings, **changes)))  # type: ignore[arg-type]

    def undo_to(self, earlier: State) -> None:
        """Go back to an earlier state; what was recorded since no longer holds."""
        self.facts.append(Undone(self.state.facts - earlier.facts))
        now = self.state
        # Undoing does not undo a break: a caution that is due again stays due, and no mark is called before it.
        cautioned = earlier.cautioned & now.cautioned
        focus = earlier.focus.under if isinstance(earlier.focus, (Choosing, Doubting)) else earlier.focus
        if isinstance(focus, Removing) or (isinstance(focus, Walking) and NAILING.key not in cautioned):
            focus = Hub()  # who takes a removal back is not to be asked about it again
        self.state = replace(
            earlier, focus=focus, cautioned=cautioned, asleep=now.asleep, pace=now.pace, held=now.held, said=now.said
        )

    def focus(self, focus: Focus) -> None:
        """Wait for something else from now on."""
        self.state = replace(self.state, focus=focus)

    def note(self, **changes: object) -> None:
        """Change what is not recorded: help position, pace, sleep."""
        self.state = replace(self.state, **changes)  # type: ignore[arg-type]

    def say(self, *texts: str) -> None:
        """Add sentences to the answer."""
        self.parts.extend(text for text in texts if text)

    def by_length(self, full: str, short: str) -> str:
        """The wording that goes with the style the user chose."""
        return full if self.settings.full else short

    def done(self) -> tuple[State, tuple[Effect, ...]]:
        """The state after the turn, and its effects: recorded first, spoken last."""
        effects: list[Effect] = []
        state = self.state
        if self.facts:
            effects.append(Record(tuple(self.facts), self.heard))
            undone = isinstance(self.facts[0], Undone)
            before = self.start if not undone else state.before if len(self.facts) == 1 else self.start.before
            state = replace(state, before=before, redo=self.redo)
        effects.extend(self.effects)
        if self.parts:
            said = " ".join(self.parts)
            state = replace(state, said=said)
            effects.append(Speak(said))
        return state, tuple(effects)
