"""What a reading of spoken numbers can be: a value, a set of candidates to ask about, or a refusal with its reason."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import Generic, TypeAlias, TypeVar

from assistant.setout.lengths import MM_PER_FOOT, MM_PER_INCH, Unit

Words: TypeAlias = tuple[str, ...]
"""Lower case, one token a word: ("twenty", "one"), never "twenty-one"."""

MM_PER: dict[Unit, Fraction] = {
    Unit.MM: Fraction(1),
    Unit.CM: Fraction(10),
    Unit.M: Fraction(1000),
    Unit.INCH: MM_PER_INCH,
    Unit.FOOT_INCH: MM_PER_FOOT,
}
"""Millimetres in one; in one foot for feet and inches."""


@dataclass(frozen=True, slots=True)
class Number:
    """A number without a unit."""

    value: Fraction
    words: Words
    """The words it was read from."""


@dataclass(frozen=True, slots=True)
class SpokenLength:
    """A length as it was said."""

    mm: Fraction
    """Exact millimetres."""
    unit: Unit
    """The unit the words were read in: FOOT_INCH for feet and inches, M for a bare "two point four" in a mm job."""
    unit_said: Unit | None
    """The unit that was spoken (the larger one of two); None for a bare number."""
    words: Words
    """The words it was read from."""

    @property
    def value(self) -> Fraction:
        """The length in ``unit`` (in feet for feet and inches)."""
        return self.mm / MM_PER[self.unit]


@dataclass(frozen=True, slots=True)
class SpokenCount:
    """A count ("twelve") or a place in a row ("twelfth")."""

    value: int
    ordinal: bool
    words: Words


T = TypeVar("T", Number, SpokenLength)


@dataclass(frozen=True, slots=True)
class Ambiguous(Generic[T]):
    """The words fit several values: ask which."""

    candidates: tuple[T, ...]
    """At least two, of different value, the likeliest first."""


class Reason(Enum):
    """Why words are not a number."""

    NOTHING_SAID = "there were no words"
    NOT_A_NUMBER = "these words are not a number"
    HOW_MUCH = "short, long, over and under need a number of their own"
    NEEDS_INCHES = "strong and shy are sixty-fourths of an inch: they go behind inches, not said digit by digit"


@dataclass(frozen=True, slots=True)
class NoParse:
    """The words are not a number of the kind asked for."""

    reason: Reason
