"""One turn being put together: facts applied at once, sentences gathered, the way back kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction

from assistant.dialogue.cautions import NAILING, Caution
from assistant.dialogue.forms import Form
from assistant.dialogue.speaking import bay_name, sentence, told
from assistant.dialogue.state import (
    REMEMBERED,
    Asking,
    Cautioning,
    Choosing,
    Deciding,
    Doubting,
    Focus,
    Hub,
    Past,
    State,
    Walking,
)
from assistant.events import Effect, Record, Speak
from assistant.fold import apply
from assistant.job import Draft, DraftChanged, Fact, Job, Note, NoteMade, Settings, SettingsChanged, Undone
from assistant.language.understanding import Intent
from assistant.language.vocabulary import Act
from assistant.plan import set_out_of

_COMPLETES = frozenset((Act.SET_TOP, Act.BOTH, Act.SAME, Act.SAME_BAY))
"""What completes a bay that is begun in the same breath."""


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
    """The number that a correction in the next turn replaces."""
    typed: bool = False
    """Whether it was typed, so that nothing in it can sound like something else."""
    undone: bool = False
    closed: bool = False
    """Whether a form was finished with."""
    asked: bool = False
    """Whether what is to be done next was said already."""
    more: bool = False
    """Whether more of the same sentence is to come: nothing is asked before that."""
    aside: bool = False
    """Whether the answer is not what “repeat” goes back to."""

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
        """Accept changed settings; what is as it was is no fact."""
        changed = replace(self.settings, **changes)  # type: ignore[arg-type]
        if changed != self.settings:
            self.fact(SettingsChanged(changed))

    def undo(self) -> Past:
        """Take the latest turn back: what it recorded no longer holds.  Only as the first thing of a turn, and where there is one."""
        past, now = self.state.past[-1], self.state
        self.facts.append(Undone(len(past.facts)))
        self.undone = True
        focus = past.focus.under if isinstance(past.focus, (Choosing, Doubting)) else past.focus
        # Undoing does not undo a break: a caution that is due again stays due, and no mark is called before it.
        acknowledged = {one.caution.key for one in (past.focus,) if isinstance(one, Cautioning)}
        cautioned = now.cautioned - acknowledged
        if isinstance(focus, Deciding) or (isinstance(focus, Walking) and NAILING.key not in cautioned):
            focus = Hub()  # who takes a removal back is not to be asked about it again
        self.state = replace(
            now, job=past.job, focus=focus, facts=now.facts - len(past.facts), past=now.past[:-1], cautioned=cautioned, redo=None
        )
        return past

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

    def begin(
        self, form: Form, lead: str = "", *, bay: int | None = None, gate_next: bool = False, known: Mapping[str, Fraction] | None = None
    ) -> None:
        """Start a form from its first question that is not `known`; there has to be one."""
        answers = known or {}
        self.fact(DraftChanged(Draft(form.key, tuple(answers.items()), bay, gate_next)))
        self.focus(Asking())
        first = form.next_slot(answers)
        assert first is not None
        asked = first.full if self.settings.full else first.short
        if self.more:
            whole = any(one.act in _COMPLETES for one in self.state.queued)  # then the summary behind it names it
            self.say("" if whole else self.by_length(lead, ""))
        elif lead and self.settings.full and (count := form.questions(answers)):
            self.say(lead, count, asked)
        elif lead and not self.settings.full:
            self.say(f"{lead.rstrip('.')}, {asked[:1].lower()}{asked[1:]}")  # one breath: “Bay two, bottom?”
        else:
            self.say(lead, asked)

    def caution(self, what: Caution) -> None:
        """Say a caution and wait for its acknowledgement, unless it was acknowledged since the job was opened."""
        if what.key not in self.state.cautioned:
            self.focus(Cautioning(what, self.state.focus))
            self.say(what.spoken, "Say: understood.")

    def told(self) -> None:
        """The summary of the current bay, and what is to be said about it.  Raises ImpossibleError where it cannot be set out."""
        earlier = self.job.bays[: self.job.current]
        self.say(told(self.settings, set_out_of(self.job, self.job.current), earlier))

    def require_open(self, index: int) -> bool:
        """Whether a bay may be changed; says how, where it is set out."""
        bay = self.job.bays[index]
        if self.job.standing_of(bay.number) is None:
            return True
        self.say(sentence(f"{bay_name(bay)} is set out"), sentence(f"to change it, say: change {bay_name(bay)}"))
        return False

    def ask(self) -> None:
        """Wait for the next answer of the open form."""
        self.focus(Asking())

    def close(self) -> None:
        """The open form is done with."""
        self.fact(DraftChanged(None))
        self.focus(Hub())
        self.closed = True

    def keep_note(self, title: str, *lines: str) -> None:
        """Keep the result of a calculation for the sheet; its lines are sentences."""
        self.fact(NoteMade(Note(title, lines)))

    def done(self) -> tuple[State, tuple[Effect, ...]]:
        """The state after the turn, and its effects: recorded first, spoken last."""
        effects: list[Effect] = []
        state = self.state
        if self.facts:
            effects.append(Record(tuple(self.facts), self.heard))
            new = tuple(self.facts[self.undone :])
            if new:
                before = self.start.past[-1].job if self.undone else self.start.job
                focus = self.start.past[-1].focus if self.undone else self.start.focus
                state = replace(state, past=(*state.past, Past(before, focus, new))[-REMEMBERED:])
            state = replace(state, redo=self.redo)
        effects.extend(self.effects)
        if self.parts:
            said = " ".join(self.parts)
            state = state if self.aside else replace(state, said=said)
            effects.append(Speak(said))
        return state, tuple(effects)
