"""Inches, feet and inches, and the carpenter's sixteenths as they are said: the grammar."""

from __future__ import annotations

from fractions import Fraction

from assistant.numbers.combinators import Alt, Form, Map, Opt, Seq, Table, Unlisted, word
from assistant.numbers.integers import COUNTED, NOT_ROUND, UP_TO_99
from assistant.numbers.mixed import (
    FINE,
    FINER_THAN_HALF,
    FRACTION,
    PARTS,
    PARTS_ADDED,
    PLAIN,
    QUARTERS,
    TOP_HEAVY,
    WHOLE,
    adjectival,
    counted,
    fraction,
    mixed,
    one_part,
    single,
    with_part,
)
from assistant.numbers.results import MM_PER
from assistant.numbers.tables import BELOW_100
from assistant.numbers.units import (
    Measure,
    amount,
    behind_and,
    first,
    name_of,
    one_before_more,
    part_of,
    total,
    with_article,
)
from assistant.setout.lengths import Unit

STRONG = Fraction(1, 64)
"""Inches that "strong" adds and "shy" takes off, as in the carpenter's number code (Fine Homebuilding 78, 1993)."""

_STRONG_OR_SHY: Form[Fraction] = Table((("strong", STRONG), ("shy", -STRONG)))


def _maybe_strong(form: Form[Fraction]) -> Form[Fraction]:
    return Seq(total, form, Opt[Fraction | None](_STRONG_OR_SHY, None))


# Inches --------------------------------------------------------------------------------------------------------------

_COUNTED: Form[Fraction] = Map(Fraction, COUNTED)


def _inches_with(plain: Form[Fraction]) -> Form[Fraction]:
    return Alt(
        amount(Unit.INCH, FINE, plain),
        Seq(first, adjectival(FINE), word("inch")),
        Seq(first, TOP_HEAVY, name_of(Unit.INCH)),
        Seq(first, PARTS_ADDED, Alt(name_of(Unit.INCH), with_article(Unit.INCH, before="of"))),
    )


_INCHES: Form[Fraction] = Alt(_inches_with(PLAIN), Seq(total, _inches_with(_COUNTED), _STRONG_OR_SHY))

# Feet and inches -----------------------------------------------------------------------------------------------------


def _feet_inches(feet: str, inches: Fraction) -> Fraction:
    return 12 * int(feet) + inches


_UP_TO_11: Form[str] = Table((said, str(n)) for n, said in BELOW_100.items() if n < 12)
_ONE_TO_11: Form[Fraction] = Map(Fraction, _UP_TO_11)
_SMALL_BARE: Form[Fraction] = Alt(_ONE_TO_11, with_part(_UP_TO_11, _UP_TO_11, FINE))
_SMALL: Form[Fraction] = Alt(
    Seq(first, Alt(_SMALL_BARE, counted(FINE)), Opt(name_of(Unit.INCH), None)),
    part_of(Unit.INCH, FINE),  # "a foot and a half" is half a foot: "a half" needs its inch
    Seq(total, Seq(first, _ONE_TO_11, name_of(Unit.INCH)), behind_and(FRACTION)),
)
_SEVERAL_FEET: Form[Fraction] = Map(lambda feet: 12 * feet, Seq(first, WHOLE, name_of(Unit.FOOT_INCH)))
_ONE_FOOT: Form[Fraction] = Map(lambda feet: 12 * feet, one_before_more(Unit.FOOT_INCH))
_FEET: Form[Fraction] = Alt(_SEVERAL_FEET, _ONE_FOOT)
_FEET_SMALL: Form[Fraction] = Alt(
    Seq(lambda feet, _, inches: feet + inches, _FEET, Opt(word("and"), None), _SMALL),
    # "Six foot and a quarter" is a quarter of an inch or of a foot; "a foot and a half" is never half an inch.
    Seq(total, _SEVERAL_FEET, behind_and(one_part(FINE))),
    Seq(total, _ONE_FOOT, behind_and(one_part(FINER_THAN_HALF))),
    # "Seven foot one quarter" is a quarter, or one and a quarter: an "and a" is soon lost.
    Unlisted(Seq(lambda feet, _, part, __: feet + 1 + part, _FEET, word("one"), single(FINE), Opt(word("inches"), None))),
    Seq(first, _FEET, Alt(word("nothing"), Unlisted(word("even")))),
)
_FEET_AND_INCHES: Form[Fraction] = Alt(
    Map(lambda feet: 12 * feet, amount(Unit.FOOT_INCH, QUARTERS)),
    _maybe_strong(_FEET_SMALL),
)
""" "Seven foot four and three eighths", "seven feet four inches"; in inches."""


def _in_inches(unit: Unit, form: Form[Fraction], *, said: bool = True) -> Form[Measure]:
    return Map(lambda inches: Measure(inches * MM_PER[Unit.INCH], unit, said), form)


IMPERIAL_SAID: Form[Measure] = Alt(_in_inches(Unit.INCH, _INCHES), _in_inches(Unit.FOOT_INCH, _FEET_AND_INCHES))
"""An imperial length with its unit."""

BARE_INCHES: Form[Measure] = _in_inches(Unit.INCH, Alt(PLAIN, Seq(total, _COUNTED, _STRONG_OR_SHY), _maybe_strong(PARTS)), said=False)
"""A bare number in an inch job, strong and shy included."""

_FINE_PARTS: Form[Fraction] = Alt(mixed(FINER_THAN_HALF), fraction(FINER_THAN_HALF), TOP_HEAVY, PARTS_ADDED)
INCHES_ONLY: Form[Measure] = _in_inches(Unit.INCH, _maybe_strong(_FINE_PARTS), said=False)
"""A bare number that can only be inches in any job: it holds quarters or finer."""

# Two bare numbers ----------------------------------------------------------------------------------------------------


def _numbers(low: int, high: int) -> Form[str]:
    return Table((said, str(n)) for n, said in BELOW_100.items() if low <= n <= high)


_FEET_UNSAID: Form[Fraction] = Alt(
    Seq(_feet_inches, NOT_ROUND, Alt(Map(Fraction, _numbers(1, 9)), with_part(_numbers(1, 9), _numbers(1, 9), FINE))),
    Seq(
        _feet_inches,
        UP_TO_99,
        Alt(Map(Fraction, _numbers(10, 11)), with_part(_numbers(10, 11), _numbers(10, 11), FINE)),
    ),
)
TWO_NUMBERS_FEET: Form[Measure] = _in_inches(Unit.FOOT_INCH, _maybe_strong(_FEET_UNSAID), said=False)
""" "Seven four" as feet and inches."""


def _sixteenths(whole: str, over: str, half: Fraction) -> Fraction:
    return int(whole) + (int(over) + half) / 16


_AND_A_HALF: Form[Fraction] = Opt(Map(lambda _: Fraction(1, 2), word("and a half")), Fraction(0))
_LARGE_CODE = Seq(_sixteenths, UP_TO_99, _numbers(10, 15), _AND_A_HALF)
_SMALL_CODE = Seq(_sixteenths, NOT_ROUND, _numbers(1, 9), _AND_A_HALF)
SIXTEENTHS: Form[Measure] = _in_inches(Unit.INCH, _maybe_strong(Alt(_LARGE_CODE, _SMALL_CODE)), said=False)
"""The carpenter's code: "thirty six twelve and a half" is 36 inches and twelve and a half sixteenths."""

SIXTEENTHS_DOUBTFUL: Form[Measure] = _in_inches(Unit.INCH, _maybe_strong(_LARGE_CODE), said=False)
"""What may be the code although nobody asked for it: the second number could also be two digits."""
