"""Where a conversation stands: the job, what is waited for, and the way back."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from typing import ClassVar, TypeAlias

from assistant.dialogue.cautions import Caution
from assistant.job import Fact, Job
from assistant.language.understanding import Intent
from assistant.language.vocabulary import Stage
from assistant.setout.lengths import Length
from assistant.setout.run import Likeness


class Kind(Enum):
    """What is waited for, as the table of the conversation tells it apart; the value is the stage it belongs to."""

    HUB = (Stage.HUB,)
    ASKING = (Stage.ASK,)
    CHOOSING = (Stage.CHOOSE,)
    DOUBTING = (Stage.DOUBT, "a number")
    DECIDING = (Stage.DOUBT, "what to do")
    GAP = (Stage.GAP,)
    CAUTION = (Stage.CAUTION,)
    WALKING = (Stage.WALK,)

    @property
    def stage(self) -> Stage:
        """Which phrases count."""
        stage: Stage = self.value[0]
        return stage


@dataclass(frozen=True, slots=True)
class Hub:
    """Nothing in particular is waited for."""

    kind: ClassVar[Kind] = Kind.HUB


@dataclass(frozen=True, slots=True)
class Asking:
    """The next answer of the form in `Job.draft`."""

    about: str = ""
    """Which answer, where the user named one before its turn came."""
    kind: ClassVar[Kind] = Kind.ASKING


@dataclass(frozen=True, slots=True)
class Choosing:
    """Which of several readings of a number was meant."""

    intent: Intent
    readings: tuple[Length, ...]
    under: Focus
    kind: ClassVar[Kind] = Kind.CHOOSING


@dataclass(frozen=True, slots=True)
class Doubting:
    """Whether an unlikely number is right."""

    intent: Intent
    reading: Length
    under: Focus
    off: int = 0
    """Below (-1) or above (+1) the reading the length lies, where by how much was not said and is asked; 0 where the reading is doubted."""
    kind: ClassVar[Kind] = Kind.DOUBTING


class Decision(Enum):
    """What a yes or a no is waited for."""

    REMOVE = "whether a bay is taken away"
    REOPEN = "whether a bay that is set out is opened again"
    MATCH = "whether pickets are spent on gaps that are alike"
    SAME_SLIP = "whether a picket is off by the same on every rail"
    TAPED_LEVEL = "whether the opening of a bay on a slope was taped level"
    SUSPECT = "whether a bay is measured again that may be why the run does not close"
    FAR_POST = "whether a bay is measured again whose last mark is not where it should be before the far post"


@dataclass(frozen=True, slots=True)
class Deciding:
    """A yes or a no."""

    about: Decision
    bay: int = 0
    """Number of the bay it is about; 0 for none."""
    likeness: Likeness = Likeness.FEWEST
    kind: ClassVar[Kind] = Kind.DECIDING


@dataclass(frozen=True, slots=True)
class ConfirmingGap:
    """The gap of the current bay, confirmed aloud."""

    kind: ClassVar[Kind] = Kind.GAP


@dataclass(frozen=True, slots=True)
class Cautioning:
    """The acknowledgement of a caution, before what it belongs to."""

    caution: Caution
    then: Focus
    kind: ClassVar[Kind] = Kind.CAUTION


@dataclass(frozen=True, slots=True)
class Walking:
    """The next mark of the bay at `Job.position`."""

    kind: ClassVar[Kind] = Kind.WALKING


Focus: TypeAlias = "Hub | Asking | Choosing | Doubting | Deciding | ConfirmingGap | Cautioning | Walking"


@dataclass(frozen=True, slots=True)
class Past:
    """A turn that changed the job: what it was before, and what was accepted."""

    job: Job
    focus: Focus
    facts: tuple[Fact, ...]


REMEMBERED = 50
"""Turns that undo can take back one after another."""


@dataclass(frozen=True, slots=True)
class State:
    """One moment of the conversation; never changed, only replaced."""

    job: Job = field(default_factory=Job)
    focus: Focus = field(default_factory=Hub)
    facts: int = 0
    """How many facts of the record still stand."""
    past: tuple[Past, ...] = ()
    """The way back, the latest turn last; the last REMEMBERED turns, from before a break too."""
    redo: Intent | None = None
    """The last number given, and what it was given for: what a correction replaces."""
    queued: tuple[Intent, ...] = ()
    """What else was said in the same breath, and waits for something before it to be answered."""
    kept: Intent | None = None
    """What was said while a caution waited: done once that is acknowledged."""
    said: str = ""
    """The last answer, for repeat."""
    misses: int = 0
    """How many times running nothing usable was heard."""
    cautioned: frozenset[str] = frozenset()
    """Cautions acknowledged since the job was opened."""
    help_from: int = 0
    """Where “more” goes on in the list of phrases."""
    board: int | None = None
    """The last overlapping board that was called, where “next” goes on with them; None where it does not."""
    asleep: bool = False
    pace: int | None = None
    """Seconds between calls when marks are called at a steady pace."""
    held: int | None = None
    """The pace that “carry on” takes up again."""

    @property
    def stage(self) -> Stage:
        """What is waited for."""
        return Stage.ASLEEP if self.asleep else self.focus.kind.stage
