"""Millimetres, centimetres and metres as they are said: the grammar."""

from __future__ import annotations

from fractions import Fraction

from assistant.numbers.combinators import Alt, Form, Map, Opt, Seq, Unlisted, word
from assistant.numbers.integers import BEHIND_METRES, UP_TO_99
from assistant.numbers.mixed import DECIMAL, HALVES, QUARTERS, WHOLE, mixed, one_part
from assistant.numbers.units import Measure, amount, first, measured, name_of, one_before_more, total
from assistant.setout.lengths import Unit

_METRES: Form[Fraction] = Alt(Seq(first, WHOLE, name_of(Unit.M)), one_before_more(Unit.M))
_AND: Form[None] = Opt(word("and"), None)
_REST: Form[str] = Alt(UP_TO_99, BEHIND_METRES)
_SMALL: Form[Fraction] = Alt(
    Seq(lambda digits, _: Fraction(int(digits), 1000), _REST, name_of(Unit.MM)),
    Seq(lambda digits, _: Fraction(int(digits), 100), UP_TO_99, name_of(Unit.CM)),
    # without a unit: digits behind the point, or millimetres; with three digits both say the same
    Map(lambda digits: Fraction(f"0.{digits}"), _REST),
    Unlisted(Map(lambda digits: Fraction(int(digits), 1000), _REST)),
)
_METRES_AND: Form[Fraction] = Seq(total, _METRES, _AND, _SMALL)
""" "Two metres and forty millimetres", "two metres one sixty", "three metre sixty" (3.60 m or 3.060 m)."""

METRIC_SAID: Form[Measure] = Alt(
    measured(Unit.MM, Alt(amount(Unit.MM, HALVES), Map(lambda _: Fraction(100), Seq(first, word("hundred"), name_of(Unit.MM))))),
    measured(Unit.M, Alt(amount(Unit.M, QUARTERS), _METRES_AND)),
    measured(Unit.CM, amount(Unit.CM, HALVES)),
)
"""A metric length with its unit."""

BARE_MM: Form[Measure] = Alt(
    measured(Unit.MM, Alt(WHOLE, mixed(HALVES), one_part(HALVES)), said=False),
    measured(Unit.M, DECIMAL, said=False),
)
"""A bare number in a millimetre job: on metric drawings a decimal point means metres."""

BARE_CM: Form[Measure] = measured(Unit.CM, Alt(WHOLE, DECIMAL, mixed(HALVES), one_part(HALVES)), said=False)
BARE_M: Form[Measure] = measured(Unit.M, Alt(WHOLE, DECIMAL, mixed(QUARTERS), one_part(QUARTERS)), said=False)
