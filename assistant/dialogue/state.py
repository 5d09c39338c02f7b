"""Where a conversation stands: the job, what is waited for, and the way back."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TypeAlias

from assistant.dialogue.cautions import Caution
from assistant.job import Job
from assistant.language.understanding import Intent
from assistant.language.vocabulary import Stage
from assistant.setout.lengths import Length


@dataclass(frozen=True, slots=True)
class Hub:
    """Nothing in particular is waited for."""


@dataclass(frozen=True, slots=True)
class Asking:
    """The next answer of the form in `Job.draft`."""


@dataclass(frozen=True, slots=True)
class Choosing:
    """Which of several readings of a number was meant."""

    intent: Intent
    readings: tuple[Length, ...]
    under: Focus


@dataclass(frozen=True, slots=True)
class Doubting:
    """Whether an unlikely number is right."""

    intent: Intent
    reading: Length
    under: Focus


@dataclass(frozen=True, slots=True)
class Removing:
    """Whether a bay is really to be taken away."""

    index: int


@dataclass(frozen=True, slots=True)
class ConfirmingGap:
    """The gap of the current bay, confirmed aloud."""


@dataclass(frozen=True, slots=True)
class Cautioning:
    """The acknowledgement of a caution, before what it belongs to."""

    caution: Caution
    then: Focus


@dataclass(frozen=True, slots=True)
class Walking:
    """The next mark of the bay at `Job.position`."""


Focus: TypeAlias = "Hub | Asking | Choosing | Doubting | Removing | ConfirmingGap | Cautioning | Walking"

_STAGES: dict[type, Stage] = {
    Hub: Stage.HUB,
    Asking: Stage.ASK,
    Choosing: Stage.CHOOSE,
    Doubting: Stage.DOUBT,
    Removing: Stage.DOUBT,
    ConfirmingGap: Stage.GAP,
    Cautioning: Stage.CAUTION,
    Walking: Stage.WALK,
}


@dataclass(frozen=True, slots=True)
class State:
    """One moment of the conversation; never changed, only replaced."""

    job: Job = field(default_factory=Job)
    focus: Focus = field(default_factory=Hub)
    facts: int = 0
    """How many facts of the record still stand."""
    before: State | None = None
    """The state that undo goes back to."""
    redo: Intent | None = None
    """The last number given, and what it was given for: what a correction replaces."""
    said: str = ""
    """The last answer, for repeat."""
    misses: int = 0
    """How many times running nothing usable was heard."""
    cautioned: frozenset[str] = frozenset()
    """Cautions acknowledged since the job was opened."""
    help_from: int = 0
    """Where “more” goes on in the list of phrases."""
    asleep: bool = False
    pace: int | None = None
    """Seconds between calls when marks are called at a steady pace."""
    held: int | None = None
    """The pace that “carry on” takes up again."""

    @property
    def stage(self) -> Stage:
        """What is waited for."""
        return Stage.ASLEEP if self.asleep else _STAGES[type(self.focus)]
