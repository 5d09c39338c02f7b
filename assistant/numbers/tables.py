"""The words numbers are made of, and the units."""

from __future__ import annotations

from assistant.setout.lengths import Unit

UNITS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
TEENS = (
    "ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
)  # fmt: skip
TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")

BELOW_100: dict[int, str] = {n: name for n, name in enumerate((*UNITS, *TEENS), start=1)}
"""1 to 99 in words."""
for _place, _ten in enumerate(TENS, start=2):
    BELOW_100[10 * _place] = _ten
    BELOW_100.update({10 * _place + n: f"{_ten} {unit}" for n, unit in enumerate(UNITS, start=1)})

_ORDINAL_OF = {
    "one": "first", "two": "second", "three": "third", "five": "fifth", "eight": "eighth", "nine": "ninth",
    "twelve": "twelfth", **{ten: ten[:-1] + "ieth" for ten in TENS},
}  # fmt: skip


def ordinal_word(cardinal: str) -> str:
    """The ordinal of a cardinal in words: only its last word changes ("twenty one" -> "twenty first")."""
    *head, last = cardinal.split()
    return " ".join((*head, _ORDINAL_OF.get(last, last + "th")))


ZEROS = ("oh", "zero", "nought")
ZERO_SPELLED = ("naught",)
"""Read, but sounds like one of ZEROS."""

DENOMINATORS: dict[int, tuple[str, str]] = {
    2: ("half", "halves"),
    4: ("quarter", "quarters"),
    8: ("eighth", "eighths"),
    16: ("sixteenth", "sixteenths"),
    32: ("thirty second", "thirty seconds"),
    64: ("sixty fourth", "sixty fourths"),
}
"""Parts of an inch: what one is called, and several."""

UNIT_WORDS: dict[Unit, tuple[str, ...]] = {
    Unit.MM: ("millimetres", "millimetre", "mil"),
    Unit.CM: ("centimetres", "centimetre"),
    Unit.M: ("metres", "metre"),
    Unit.INCH: ("inches", "inch"),
    Unit.FOOT_INCH: ("feet", "foot"),
}
"""What each unit is called, the plural first."""

UNIT_SPELLED: dict[Unit, tuple[str, ...]] = {
    Unit.MM: ("millimeters", "millimeter", "mils", "mill", "mills"),
    Unit.CM: ("centimeters", "centimeter"),
    Unit.M: ("meters", "meter"),
}
"""Read as well, but each sounds like one of UNIT_WORDS (or is only ever typed)."""
