"""From words to numbers.  Strict: words the grammar does not derive to the last one give ``NoParse``.

Words cross the border, and frozen results.  Words are lower case, one token a word.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import lru_cache
from typing import TypeVar

from assistant.numbers.combinators import Form
from assistant.numbers.imperial import (
    BARE_INCHES,
    IMPERIAL_SAID,
    INCHES_ONLY,
    SIXTEENTHS,
    SIXTEENTHS_DOUBTFUL,
    TWO_NUMBERS_FEET,
)
from assistant.numbers.integers import INTEGER
from assistant.numbers.metric import BARE_CM, BARE_M, BARE_MM, METRIC_SAID
from assistant.numbers.mixed import ANY
from assistant.numbers.ordinals import ORDINAL
from assistant.numbers.results import (
    MM_PER,
    Ambiguous,
    NoParse,
    Number,
    Reason,
    SpokenCount,
    SpokenLength,
    Words,
)
from assistant.numbers.tables import DENOMINATORS, UNIT_SPELLED, UNIT_WORDS
from assistant.numbers.units import Measure
from assistant.setout.lengths import Unit

T = TypeVar("T")

_METRIC: dict[Unit, Form[Measure]] = {Unit.MM: BARE_MM, Unit.CM: BARE_CM, Unit.M: BARE_M}
_UNITS = frozenset(name for names in (*UNIT_WORDS.values(), *UNIT_SPELLED.values()) for name in names)
_WIDEST_CM = 12
"""A picket or a gap said in centimetres, the unit lost, is no wider; from thirteen on it could be a teen taken for a ty."""
_VAGUE = frozenset(("short", "long", "over", "under"))
_STRONG_OR_SHY = frozenset(("strong", "shy"))
_RUN_TOGETHER = {"sixteenth": "sixteen", "sixteenths": "sixteen", "eighth": "eight", "eighths": "eight"}
"""What a whole number that runs together with the "and" behind it is heard as; few fractions stand before an "and"."""
_PARTS_OF_EIGHT = frozenset(("one", "three", "five", "seven"))


@lru_cache(maxsize=1)
def number_words() -> frozenset[str]:
    """Every word that a number or a length may hold."""
    lengths = (METRIC_SAID, IMPERIAL_SAID, BARE_INCHES, *_METRIC.values())
    return frozenset().union(ORDINAL.words(), ("number",), *(form.words() for form in lengths))


def parse_number(words: Sequence[str]) -> Number | Ambiguous[Number] | NoParse:
    """A number without a unit: whole, decimal or with a fraction."""
    heard = tuple(words)
    values = _values((ANY,), heard)
    if not values:
        return _refusal(heard)
    found = tuple(Number(value, heard) for value in values)
    return found[0] if len(found) == 1 else Ambiguous(found)


def parse_length(words: Sequence[str], default_unit: Unit, *, sixteenths: bool = False) -> SpokenLength | Ambiguous[SpokenLength] | NoParse:
    """A length with a unit, or a bare number read in the job's unit.

    In a millimetre job a bare decimal is metres, as on metric drawings; a bare number with quarters or finer is inches
    in any job; feet and inches take bare numbers as inches.
    ``sixteenths``: two bare numbers are the carpenter's code, "thirty six twelve" being 36-12/16 inches.
    """
    heard = tuple(words)
    lengths: dict[Fraction, SpokenLength] = {}
    for measure in _measures(heard, default_unit, sixteenths):
        said = measure.unit if measure.said else None
        lengths.setdefault(measure.mm, SpokenLength(measure.mm, measure.unit, said, heard))
    found = tuple(lengths.values())
    if not found:
        return _length_refusal(heard, default_unit, sixteenths)
    return found[0] if len(found) == 1 else Ambiguous(found)


def parse_count(words: Sequence[str]) -> SpokenCount | NoParse:
    """A whole number ("twelve", "number twelve", "one oh five") or a place in a row ("twelfth")."""
    heard = tuple(words)
    plain = heard[1:] if heard[:1] == ("number",) else heard
    for form, ordinal in ((INTEGER, False), (ORDINAL, True)):
        values = _values((form,), plain)
        if values and not (ordinal and plain != heard):
            return SpokenCount(int(values[0]), ordinal, heard)
    return _refusal(heard)


def alternatives(heard: SpokenLength) -> tuple[SpokenLength, ...]:
    """Every sensible reading of a bare number, the one heard first; only that one where a unit was said.

    "Twenty four" in a millimetre job: 24 mm, 2400 mm ("hundred" left out; the same as 2.4 m), 24 m.
    """
    if heard.unit_said is not None:
        return (heard,)
    value, unit = heard.value, heard.unit
    others: list[tuple[Fraction, Unit]] = []
    if value.denominator == 1 and unit in (Unit.MM, Unit.CM):
        others = _elided(value, unit)
    elif unit is Unit.M:
        others = [(value, Unit.MM), (value, Unit.INCH)]
    elif unit in (Unit.INCH, Unit.FOOT_INCH):
        others = _not_inches(heard.mm / MM_PER[Unit.INCH])
    lengths = {heard.mm: heard}
    for number, other in others:
        mm = number * MM_PER[other]
        lengths.setdefault(mm, SpokenLength(mm, other, None, heard.words))
    return tuple(lengths.values())


def _elided(value: Fraction, unit: Unit) -> list[tuple[Fraction, Unit]]:
    """ "Twenty four" for 2400, "two forty" for 2400, "three" for three metres, "nine" for nine centimetres."""
    if value <= _WIDEST_CM:
        return [(value * 100, unit), (value, Unit.M), (value, Unit.CM)]
    if value < 100:
        return [(value * 100, unit), (value, Unit.M)]
    return [(value * 10, unit)] if value < 1000 else []


def _not_inches(value: Fraction) -> list[tuple[Fraction, Unit]]:
    if value >= 100:
        return [(value, Unit.MM)]
    if value.denominator == 1:
        return [(value, Unit.FOOT_INCH)]
    return [(value, Unit.M)]


def _measures(words: Words, default_unit: Unit, sixteenths: bool) -> list[Measure]:
    if words and (default_unit not in _METRIC or words[-1] in UNIT_WORDS[Unit.INCH]):
        mended = _apart(words)
        if mended != words:
            return _as_they_stand(words, default_unit, sixteenths) + _as_they_stand(mended, default_unit, sixteenths)
    return _as_they_stand(words, default_unit, sixteenths)


def _as_they_stand(words: Words, default_unit: Unit, sixteenths: bool) -> list[Measure]:
    if not _UNITS.isdisjoint(words):  # where a unit is said, no form without one can derive the words
        return _values((METRIC_SAID, IMPERIAL_SAID), words)
    if default_unit in _METRIC:
        plain, inches = _values((_METRIC[default_unit],), words), _values((INCHES_ONLY,), words)
    else:
        plain, inches = [], _values((BARE_INCHES,), words)
        if sixteenths and (code := _values((SIXTEENTHS,), words)):
            return code
    # two bare numbers may be feet and inches or the code, but only beside a reading as one number, never on their own
    two_numbers = _values((TWO_NUMBERS_FEET, SIXTEENTHS_DOUBTFUL), words) if inches else []
    return plain + two_numbers + inches


def _apart(words: Words) -> Words:
    """The words of inches, with "sixteenth and" taken for "sixteen and", and "and three eight" for "and three eighths": a noisy site
    adds a th or takes it away, and as they stand these are no numbers, or two fractions added up.
    """
    mended = [_RUN_TOGETHER.get(word, word) if words[at + 1 : at + 2] == ("and",) else word for at, word in enumerate(words)]
    end = len(words) - (words[-1] in UNIT_WORDS[Unit.INCH])
    if end >= 4:
        whole, between, over, under = words[end - 4 : end]
        # "A hundred and three eight" could be a hundred and thirty eight.
        if whole not in ("hundred", "thousand") and between == "and" and over in _PARTS_OF_EIGHT and under == "eight":
            mended[end - 1] = DENOMINATORS[8][over != "one"]
    return tuple(mended)


def _values(forms: Iterable[Form[T]], words: Words) -> list[T]:
    if not number_words().issuperset(words):
        return []
    return [value for form in forms for value in form.values(words)]


def _refusal(words: Words) -> NoParse:
    return NoParse(Reason.NOT_A_NUMBER if words else Reason.NOTHING_SAID)


def _length_refusal(words: Words, default_unit: Unit, sixteenths: bool) -> NoParse:
    if len(words) > 1 and words[-1] in _VAGUE | _STRONG_OR_SHY:
        rest = parse_length(words[:-1], default_unit, sixteenths=sixteenths)
        if not isinstance(rest, NoParse):
            return NoParse(Reason.HOW_MUCH if words[-1] in _VAGUE else Reason.NEEDS_INCHES)
    return _refusal(words)
