"""From words to an intent, by the one vocabulary; strict, and a refusal is a value.

`understand` never guesses: words that no phrase of the vocabulary derives give `Unknown`, words that mean something only elsewhere
give `OutOfPlace`, and a number with two readings arrives as `Ambiguous` inside the intent.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from functools import cache
from typing import TypeAlias

from assistant.language.patterns import Node, SlotValue, match, parse_template
from assistant.language.vocabulary import PHRASES, Act, Phrase, Stage
from assistant.numbers import Ambiguous, NoParse, SpokenCount, SpokenLength, parse_count, parse_length
from assistant.numbers.tables import BELOW_100, ZEROS
from assistant.setout.lengths import Unit

LengthReading: TypeAlias = "SpokenLength | Ambiguous[SpokenLength]"


class Wants(Enum):
    """What kind of number the question on the table wants."""

    LENGTH = "length"
    COUNT = "count"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class Intent:
    """What was meant."""

    act: Act
    length: LengthReading | None = None
    count: int | None = None
    words: tuple[str, ...] = ()
    second: LengthReading | None = None
    """The other length, where two were said in one breath."""


@dataclass(frozen=True, slots=True)
class OutOfPlace:
    """Words that mean something, but not now."""

    intent: Intent
    stages: frozenset[Stage]


@dataclass(frozen=True, slots=True)
class Unknown:
    """Words that mean nothing here."""

    words: tuple[str, ...]


Understanding: TypeAlias = Intent | OutOfPlace | Unknown


_NUMBERS = frozenset(word for said in BELOW_100.values() for word in said.split())
"""Nobody begins a length with “zero nine”: behind a zero these are a “no” that was misheard, and its number a correction."""


@cache
def _compiled() -> tuple[tuple[Phrase, tuple[Node, ...]], ...]:
    return tuple((phrase, parse_template(template)) for phrase in PHRASES for template in phrase.templates)


def understand(words: tuple[str, ...], stage: Stage, wants: Wants, unit: Unit) -> Understanding:
    """What the words mean in this stage; a number without a unit is read in `unit`."""

    def read(slot: str, span: tuple[str, ...]) -> SlotValue | None:
        if len(span) > 1 and span[0] in ZEROS and span[1] in _NUMBERS:
            return None
        counted = slot == "count" or (wants is Wants.COUNT and slot == "length")
        reading = parse_count(span) if counted else parse_length(span, unit)
        return None if isinstance(reading, NoParse) else reading

    elsewhere: OutOfPlace | None = None
    for phrase, nodes in _compiled():
        here = stage in phrase.stages
        if not here and (elsewhere is not None or phrase.act is Act.VALUE):
            continue
        found = match(nodes, words, read)
        if found is None:
            continue
        intent = _intent(phrase.act, found, words)
        if here:
            return intent
        elsewhere = OutOfPlace(intent, phrase.stages)
    return elsewhere or Unknown(words)


def _intent(act: Act, found: dict[str, SlotValue], words: tuple[str, ...]) -> Intent:
    length, count, second = None, None, None
    for slot, value in found.items():
        if isinstance(value, SpokenCount):
            count = value.value
        elif isinstance(value, (SpokenLength, Ambiguous)) and slot == "second":
            second = value
        elif isinstance(value, (SpokenLength, Ambiguous)):
            length = value
    return Intent(act, length, count, words, second)
