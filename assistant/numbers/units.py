"""A length in one unit: the grammar that every unit shares."""

from __future__ import annotations

from collections.abc import Collection
from fractions import Fraction
from typing import NamedTuple

from assistant.numbers.combinators import Alt, Form, Map, Seq, Unlisted, word
from assistant.numbers.mixed import PLAIN, WHOLE, fraction, mixed
from assistant.numbers.results import MM_PER
from assistant.numbers.tables import UNIT_SPELLED, UNIT_WORDS
from assistant.setout.lengths import Unit


class Measure(NamedTuple):
    """A length, the unit it was read in, and whether a unit was said."""

    mm: Fraction
    unit: Unit
    said: bool = True


def measured(unit: Unit, form: Form[Fraction], *, said: bool = True) -> Form[Measure]:
    """The form's values, which are in the unit, as lengths."""
    return Map(lambda value: Measure(value * MM_PER[unit], unit, said), form)


def first(value: Fraction, *_: None) -> Fraction:
    """Join for a value and words that only have to be there."""
    return value


def total(*values: Fraction | None) -> Fraction:
    """Join for values that add up."""
    return sum((value for value in values if value is not None), Fraction(0))


def name_of(unit: Unit) -> Form[None]:
    """What the unit is called."""
    listed = word("|".join(UNIT_WORDS[unit]))
    spelled = UNIT_SPELLED.get(unit)
    return Alt(listed, Unlisted(word("|".join(spelled)))) if spelled else listed


def _singular(unit: Unit) -> tuple[str, ...]:
    names = (*UNIT_WORDS[unit], *UNIT_SPELLED.get(unit, ()))
    return tuple(name for name in names if not name.endswith("s") and name != "feet")


def _listed_first(names: tuple[str, ...]) -> Form[None]:
    listed, *spelled = names
    return Alt(word(listed), Unlisted(word("|".join(spelled)))) if spelled else word(listed)


def singular(unit: Unit) -> Form[None]:
    """The unit's name for one."""
    return _listed_first(_singular(unit))


def with_article(unit: Unit, before: str = "") -> Form[None]:
    """ "a metre", "an inch", or with a word before it."""
    article = "an" if unit is Unit.INCH else "a"
    return _listed_first(tuple(f"{before} {article} {name}" for name in _singular(unit)))


def one_of(unit: Unit) -> Form[Fraction]:
    """One, as "a metre" or "an inch"."""
    return Map(lambda _: Fraction(1), with_article(unit))


def one_before_more(unit: Unit) -> Form[Fraction]:
    """One before its rest: "an inch" and a half, "inch" and a half; without the article only read, for a first word is soon lost."""
    return Alt(one_of(unit), Unlisted(Map(lambda _: Fraction(1), singular(unit))))


def part_of(unit: Unit, denominators: Collection[int]) -> Form[Fraction]:
    """ "three quarters of a metre", "half an inch", "quarter inch"; in the unit."""
    parts = fraction(denominators)
    return Alt(
        Seq(first, parts, with_article(unit, before="of")),
        Seq(first, parts, singular(unit)),
        Seq(lambda _, one: one / 2, word("half"), one_of(unit)),
    )


def behind_and(part: Form[Fraction]) -> Form[Fraction]:
    """The part behind "and"."""
    return Seq(lambda _, value: value, word("and"), part)


def amount(unit: Unit, denominators: Collection[int], plain: Form[Fraction] = PLAIN) -> Form[Fraction]:
    """A length in one unit with the unit said; in that unit.  ``plain`` is what may stand there without a fraction."""
    return Alt(
        Seq(first, Alt(plain, mixed(denominators)), name_of(unit)),
        part_of(unit, denominators),
        one_of(unit),
        Seq(total, Alt(one_before_more(unit), Seq(first, WHOLE, name_of(unit))), behind_and(fraction(denominators))),
    )
