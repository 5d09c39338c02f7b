"""Whole numbers as they are said: the grammar.

A form's value is the text of its digits ("eighteen oh five" -> "1805", "oh forty" -> "040"), because the trade puts
numbers together by writing groups side by side, and because digits behind a point or behind "two metres" keep their
leading zeros.

One rule holds everywhere: a round ten followed by one to nine is one number.  "Twenty one sixty" is 21|60, and never
20|160.
"""

from __future__ import annotations

from assistant.numbers.combinators import Alt, Form, Map, Opt, Repeat, Seq, Shared, Table, Unlisted, word
from assistant.numbers.tables import BELOW_100, UNITS, ZERO_SPELLED, ZEROS


def _concat(*texts: str | None) -> str:
    return "".join(text for text in texts if text is not None)


UNIT: Form[str] = Table((unit, str(n)) for n, unit in enumerate(UNITS, start=1))
ZERO: Form[str] = Alt(Table((zero, "0") for zero in ZEROS), Unlisted(Table((zero, "0") for zero in ZERO_SPELLED)))
DIGIT: Form[str] = Alt(ZERO, UNIT)

UP_TO_99: Form[str] = Table((said, str(n)) for n, said in BELOW_100.items())
"""One to ninety nine."""
TEN_TO_99: Form[str] = Table((said, str(n)) for n, said in BELOW_100.items() if n >= 10)
NOT_ROUND: Form[str] = Table((said, str(n)) for n, said in BELOW_100.items() if n < 20 or n % 10)
"""One to ninety nine without twenty, thirty … ninety: what a digit may follow."""

_LAST_TWO: Form[str] = Table((said, f"{n:02}") for n, said in BELOW_100.items())
_PAIR: Form[str] = Alt(TEN_TO_99, Seq(_concat, ZERO, UNIT))
"""Two digits: "sixty", "oh five"."""
_THREE: Form[str] = Seq(_concat, DIGIT, _PAIR)
"""Three digits: "one sixty", "oh forty", "eight oh five"."""

_AND: Form[None] = Opt(word("and"), None)
_AFTER_HUNDRED: Form[str] = Opt(Seq(_concat, _AND, _LAST_TWO), "00")
HUNDREDS: Form[str] = Seq(_concat, UNIT, word("hundred"), _AFTER_HUNDRED)
"""Three digits: "one hundred", "eight hundred and five", "eight hundred five"."""
_A_HUNDRED: Form[str] = Seq(lambda _, tail: "1" + tail, word("a hundred"), _AFTER_HUNDRED)
_BARE_HUNDRED: Form[str] = Unlisted(Seq(lambda _, tail: "1" + tail, word("hundred"), _AFTER_HUNDRED))
"""Read, but the ears are offered it with its article alone: it is also the end of every other hundred whose first word was lost."""

_THOUSANDS: Form[str] = Seq(
    _concat,
    Alt(Seq(_concat, UP_TO_99, word("thousand")), Map(lambda _: "1", word("a thousand"))),
    Opt(Alt(HUNDREDS, Seq(lambda _, last: "0" + last, _AND, _LAST_TWO), Seq(_concat, UNIT, _PAIR)), "000"),
)
"""Thousands, with the rest as a cardinal or as the trade says it ("two thousand one sixty")."""

CARDINAL: Form[str] = Shared(Alt(UP_TO_99, HUNDREDS, _A_HUNDRED, _BARE_HUNDRED, _THOUSANDS))
"""1 to 99,999, with and without "and"."""

_TRADE: Form[str] = Alt(
    Seq(_concat, UP_TO_99, _PAIR),  # one oh five, eight sixty, eighteen oh five, twenty one sixty
    Seq(_concat, TEN_TO_99, word("hundred"), _AFTER_HUNDRED),  # thirty six hundred, twenty one hundred and sixty
    Seq(_concat, NOT_ROUND, _THREE),  # eight five seventy three, thirteen eight eighty five, two oh forty
    Seq(_concat, NOT_ROUND, HUNDREDS),  # thirteen eight hundred
)

_TIMES = Table((("double", 2), ("triple", 3)))
_RUN: Form[str] = Alt(
    DIGIT,
    Seq(lambda times, digit: times * digit, _TIMES, DIGIT),
    Unlisted(Seq(lambda _, digit: 3 * digit, word("treble"), DIGIT)),
)


def digit_string(low: int, high: int) -> Form[str]:
    """Digits said one by one (or double, triple), ``low`` to ``high`` of them."""
    return Repeat(_RUN, low, high)


DIGITS: Form[str] = digit_string(2, 5)
COUNTED: Form[str] = Shared(Alt(CARDINAL, _TRADE))
"""1 to 99,999, not digit by digit."""

LONE_ZERO: Form[str] = Table((("zero", "0"), ("nought", "0")))
INTEGER: Form[str] = Shared(Alt(COUNTED, LONE_ZERO, DIGITS))
"""0 to 99,999 in any form; a lone "oh" is no number."""

BEHIND_POINT: Form[str] = Alt(digit_string(1, 6), TEN_TO_99, _THREE)
"""Digits behind a decimal point: "oh four", "sixteen", "one sixty"."""

BEHIND_METRES: Form[str] = Shared(Alt(HUNDREDS, _A_HUNDRED, _THREE, _PAIR, UNIT, digit_string(2, 3)))
"""What may follow "two metres": one to three digits."""
