"""The values that cross between the pure core and the edges.

Events are past tense (something happened); effects are imperative (do this). Neither side imports the other.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import TypeAlias

from assistant.job import Fact


class Price(Enum):
    """What it costs when something is taken for said that was not."""

    CHEAP = "it is noticed and put right in a word"
    DEAR = "it removes, confirms, acknowledges or answers a doubt"
    NUMBER = "a wrong number ends on timber"


@dataclass(frozen=True, slots=True)
class Meaning:
    """What words mean at one point of the conversation; two wordings of one thing have the same."""

    act: str
    """Name of what is wanted."""
    values: tuple[Fraction | int, ...] = ()
    """The lengths (mm) they may stand for, or the one count; none where no number is said."""
    price: Price = Price.CHEAP


@dataclass(frozen=True, slots=True)
class Utterance:
    """One stretch of speech between two endpoints, as words."""

    words: tuple[str, ...]
    """Recognised words in order, lower case; empty when nothing was made out."""
    start: float
    """Seconds from the beginning of the audio to the first word."""
    end: float
    """Seconds from the beginning of the audio to the end of the last word."""
    understood: bool = True
    """False when the recogniser heard speech outside its grammar (garbage or a decoy word)."""
    doubt: tuple[tuple[str, ...], ...] = ()
    """Readings that may not be taken without asking, whatever `words` says: two to choose from, or one that is too unsure for that."""
    typed: bool = False
    """Whether it came from the keyboard: then nothing in it can sound like something else."""


class Ending(Enum):
    """Whether more is to be expected behind the words heard so far."""

    FINISHED = "nothing can follow"
    COMPLETE = "they can stand as they are, though something could follow"
    OPEN = "more is to come"
    BREATH = "they are the beginning of a number, where people breathe"


@dataclass(frozen=True, slots=True)
class JobOpened:
    """A job was begun or, after a break, taken up again."""

    title: str = ""
    """What the job is called."""


@dataclass(frozen=True, slots=True)
class NothingHeard:
    """An answer was waited for and nobody spoke."""


Event: TypeAlias = Utterance | JobOpened | NothingHeard


@dataclass(frozen=True, slots=True)
class Record:
    """Keep these facts durably, before anything is spoken; `heard` is what was said."""

    facts: tuple[Fact, ...]
    heard: str


@dataclass(frozen=True, slots=True)
class Speak:
    """Say this aloud and show it."""

    text: str


class Sound(Enum):
    """What the user can change about the voice, by voice."""

    FASTER = "faster"
    SLOWER = "slower"
    LOUDER = "louder"
    QUIETER = "quieter"


@dataclass(frozen=True, slots=True)
class AdjustSound:
    """Change the voice by one step."""

    sound: Sound


@dataclass(frozen=True, slots=True)
class CallEvery:
    """Say “next” for the user every so many seconds; None lets them say it themselves."""

    seconds: int | None


class Tone(Enum):
    """What a short signal tells where nothing is said."""

    GOT_IT = "done, there is nothing to say"
    NOT_CAUGHT = "that was not understood"


@dataclass(frozen=True, slots=True)
class Signal:
    """Play this in place of words; a turn without words and without it is met with silence."""

    tone: Tone


@dataclass(frozen=True, slots=True)
class End:
    """End the conversation, once the words are said."""


Effect: TypeAlias = Record | Speak | AdjustSound | CallEvery | Signal | End
