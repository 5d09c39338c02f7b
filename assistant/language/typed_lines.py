"""Typed lines turned into the words that would have been spoken, so that typing drives the very path that speech drives."""

from __future__ import annotations

import re

from assistant.numbers import say_number
from assistant.numbers.styles import NumberStyle

_UNITS = {
    "mm": "millimetres",
    "cm": "centimetres",
    "m": "metres",
    "in": "inches",
    '"': "inches",
    "″": "inches",
    "ft": "feet",
    "'": "feet",
    "′": "feet",
}
_PART = re.compile(
    r"""(?P<whole>\d+)[\s-]+(?P<top>\d+)/(?P<bottom>\d+)|(?P<upper>\d+)/(?P<lower>\d+)|(?P<decimal>\d*\.\d+)|(?P<digits>\d+)
        |(?P<unit>(?:(?<=\d)|(?<=\d\s))(?:mm|cm|m|in|ft)\b|["″'′])|(?P<word>[^\W\d_]+(?:'[^\W\d_]+)?)""",
    re.VERBOSE,
)
_TIMES = re.compile(r"(?<=\d)\s*[x×]\s*(?=\d)")
"""“90 x 19” is said “ninety by nineteen”."""
_APART = re.compile(r"(?<=\d\d\d)\s*[,;/&+]\s+(?=\d{3})")
"""Two lengths with a comma between are said with an “and” between."""
_FRACTIONS = {
    2: ("half", "halves"),
    4: ("quarter", "quarters"),
    8: ("eighth", "eighths"),
    16: ("sixteenth", "sixteenths"),
    32: ("thirty second", "thirty seconds"),
    64: ("sixty fourth", "sixty fourths"),
}


LONGEST = 500
"""Characters; a longer line is no sentence of a builder."""
UNREAD = "\ufffd"
"""What stands in the place of bytes that are no text."""


def spoken_words(line: str) -> tuple[str, ...]:
    """The words of a typed line: “2160 mm” as two one six zero millimetres, “85 1/16 in” as eighty five and one sixteenth inches.

    A line over LONGEST, or with a character that could not be read, has none: those of the rest might mean something else.
    """
    if len(line) > LONGEST or UNREAD in line:
        return ()
    words: list[str] = []
    below_one = False
    for part in _PART.finditer(_APART.sub(" and ", _TIMES.sub(" by ", line.lower()))):
        found = _words(part)
        # A fraction alone is said “of an inch”.
        words += ["of", "an", "inch"] if below_one and found == ["inches"] else found
        below_one = part["upper"] is not None
    return tuple(words)


def _words(part: re.Match[str]) -> list[str]:
    if part["whole"] is not None:
        return [*_number(part["whole"]), "and", *_fraction(part["top"], part["bottom"])]
    if part["upper"] is not None:
        return _fraction(part["upper"], part["lower"])
    if part["decimal"] is not None:
        whole, _, behind = part["decimal"].partition(".")
        return [*(_number(whole) if whole else ()), "point", *_digits(behind)]
    if part["digits"] is not None:
        digits = part["digits"]
        return _number(digits) if len(digits) <= 2 else _digits(digits)
    if part["unit"] is not None:
        return [_UNITS[part["unit"]]]
    return [part["word"]]


def _number(digits: str) -> list[str]:
    return say_number(int(digits), NumberStyle.WHOLE).split() if len(digits) <= 4 else _digits(digits)


def _digits(digits: str) -> list[str]:
    return [say_number(int(digit), NumberStyle.WHOLE) for digit in digits]


def _fraction(top: str, bottom: str) -> list[str]:
    names = _FRACTIONS.get(int(bottom))
    if names is None:
        return [top, "/", bottom]
    one, several = names
    name = one if int(top) == 1 else several
    return [*_number(top), *name.split()]
