"""From numbers to words: everything the assistant says in numbers.

Whatever is said here with its unit is read back to the same value by ``read``.

Exact values cross the border, and text of lower-case words.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from itertools import takewhile

from assistant.numbers.read import parse_length
from assistant.numbers.results import MM_PER, SpokenLength
from assistant.numbers.styles import NumberStyle
from assistant.numbers.tables import BELOW_100, DENOMINATORS, UNIT_SPELLED, UNIT_WORDS, UNITS, ZEROS, ordinal_word
from assistant.setout.lengths import Length, Unit

MOST = 99_999
"""The largest whole number there are words for."""

_GREAT = ((10**9, "billion"), (10**6, "million"), (10**3, "thousand"))
_DECIMALS = 6
_DIGIT_NAMES = ("zero", *UNITS)
_ONE_BY_ONE = frozenset((*UNITS, *ZEROS, "naught", "double", "triple", "treble", "point"))
_UNIT_NAMES = frozenset(name for names in (*UNIT_WORDS.values(), *UNIT_SPELLED.values()) for name in names)


def say_number(value: Fraction | int, style: NumberStyle) -> str:
    """A number without a unit: "two one six zero", "ninety five point two".

    Raises ValueError for what cannot be said exactly: below 0, over 99,999, more than six decimals.
    """
    value = Fraction(value)
    if value < 0 or value > MOST:
        raise ValueError(f"{value} is not between 0 and {MOST}")
    whole, behind = divmod(value, 1)
    text = _STYLES[style](whole)
    if not behind:
        return text
    digits = behind * 10**_DECIMALS
    if digits.denominator != 1:
        raise ValueError(f"{value} has more than {_DECIMALS} decimals: round it first")
    return f"{text} point {_one_by_one(f'{digits.numerator:0{_DECIMALS}}'.rstrip('0'))}"


def say_length(length: Length, unit: Unit, style: NumberStyle, *, with_unit: bool = True) -> str:
    """A length in a unit: "two point one six metres", "eighty five and one sixteenth inches", "seven feet four inches".

    What cannot be said exactly in the unit is said in millimetres, always with the unit ("one hundred millimetres" in
    an inch job), and what is too long for those in metres ("one hundred and fifty metres").  Raises ValueError for what
    has no exact words in metres either: below 0, over 99,999, more than six decimals.

    Without its unit only where the words alone are that length: "nine four" inches could be nine foot four, and keep their unit.
    """
    text = _said(length, unit, style, with_unit)
    if with_unit or unit not in (Unit.INCH, Unit.FOOT_INCH):
        return text
    alone = parse_length(text.split(), unit)
    return text if isinstance(alone, SpokenLength) and alone.mm == length else _said(length, unit, style, True)


def _said(length: Length, unit: Unit, style: NumberStyle, with_unit: bool) -> str:
    try:
        if unit is Unit.FOOT_INCH:
            return _feet(length, style, with_unit)
        value = length / MM_PER[unit]
        if unit is Unit.INCH and _has_fraction(value):
            return _inches(value, style, with_unit)
        number = say_number(value, style)
    except ValueError:
        if unit is Unit.M:
            raise
        return _said(length, Unit.M if unit is Unit.MM else Unit.MM, style, True)
    return f"{number} {_name(unit, value)}" if with_unit else number


def say_count(count: int) -> str:
    """ "twelve"; a count is a sum and may be over 99,999.  Raises ValueError below 0."""
    if count <= MOST:
        return say_number(count, NumberStyle.WHOLE)
    size, name = next((size, name) for size, name in _GREAT if count >= size)
    great, rest = divmod(count, size)
    behind = f"{' and' if rest < 100 else ''} {say_count(rest)}" if rest else ""
    return f"{say_count(great)} {name}{behind}"


def say_ordinal(place: int) -> str:
    """ "twelfth"; raises ValueError outside 1 to 999."""
    if not 1 <= place <= 999:
        raise ValueError(f"{place} is not between 1 and 999")
    return ordinal_word(_whole(place))


def other_form(heard: SpokenLength, job: Unit) -> str:
    """The read-back: the same length in another form than it was heard in, with its unit.

    Digits are read back as a whole number, everything else as digits; metres and centimetres as millimetres, feet and
    inches as inches.  Only one digit ("five millimetres") has no other form.  A job of feet and inches hears them back
    as feet and inches, whatever they were said in: that is what its tape says.
    """
    if job is Unit.FOOT_INCH and heard.mm >= MM_PER[Unit.FOOT_INCH] and heard.unit in (Unit.INCH, Unit.FOOT_INCH):
        return say_length(heard.mm, job, NumberStyle.WHOLE)
    unit = Unit.INCH if heard.unit in (Unit.INCH, Unit.FOOT_INCH) else Unit.MM
    styles = (NumberStyle.WHOLE, NumberStyle.DIGITS) if _by_digits(heard) else (NumberStyle.DIGITS, NumberStyle.WHOLE)
    texts = [say_length(heard.mm, unit, style) for style in styles]
    whole, part = divmod(heard.mm / MM_PER[Unit.INCH], 1)
    if unit is Unit.INCH and whole and _has_fraction(part):
        texts.append(_inches_and(whole, part, styles[0]))
    return next((text for text in texts if tuple(text.split()) != heard.words), texts[0])


def _by_digits(heard: SpokenLength) -> bool:
    """Whether the number, or the whole number before a fraction, was said digit by digit."""
    number = list(takewhile(lambda word: word not in _UNIT_NAMES and word != "and", heard.words))
    return len(number) > 1 and _ONE_BY_ONE.issuperset(number)


# Whole numbers -------------------------------------------------------------------------------------------------------


def _whole(number: int) -> str:
    thousands, rest = divmod(number, 1000)
    hundreds, last = divmod(rest, 100)
    words = [f"{BELOW_100[thousands]} thousand"] if thousands else []
    words += [f"{BELOW_100[hundreds]} hundred"] if hundreds else []
    if last:
        words += ["and", BELOW_100[last]] if words else [BELOW_100[last]]
    return " ".join(words) or "zero"


def _one_by_one(digits: str) -> str:
    return " ".join(_DIGIT_NAMES[int(digit)] for digit in digits)


def _digits(number: int) -> str:
    return _one_by_one(str(number))


def _trade(number: int) -> str:
    """Groups side by side where the trade has such a form, else the whole number."""
    if number < 100 or number % 1000 == 0:
        return _whole(number)
    if number < 10_000:
        hundreds = BELOW_100[number // 100]
        return f"{hundreds} {_pair(number % 100)}" if number % 100 else f"{hundreds} hundred"
    thousands, rest = divmod(number, 1000)
    if thousands % 10 == 0:
        return _whole(number)
    digit = BELOW_100[rest // 100] if rest >= 100 else "oh"
    return f"{BELOW_100[thousands]} {digit} {_pair(rest % 100) if rest % 100 else 'hundred'}"


def _pair(last_two: int) -> str:
    return BELOW_100[last_two] if last_two >= 10 else f"oh {BELOW_100[last_two]}"


_STYLES: dict[NumberStyle, Callable[[int], str]] = {
    NumberStyle.WHOLE: _whole,
    NumberStyle.TRADE: _trade,
    NumberStyle.DIGITS: _digits,
}

# Inches and feet -----------------------------------------------------------------------------------------------------


def _name(unit: Unit, value: Fraction) -> str:
    return UNIT_WORDS[unit][value == 1]


def _has_fraction(value: Fraction) -> bool:
    return value.denominator in DENOMINATORS


def _part(part: Fraction) -> str:
    one, several = DENOMINATORS[part.denominator]
    if part.numerator > 1:
        return f"{BELOW_100[part.numerator]} {several}"
    return f"{'a' if part.denominator <= 4 else 'one'} {one}"


def _part_of_an_inch(part: Fraction) -> str:
    return f"{_part(part)} of an inch" if part != Fraction(1, 2) else "half an inch"


def _inches(value: Fraction, style: NumberStyle, with_unit: bool) -> str:
    whole, part = divmod(value, 1)
    if not whole:
        return _part_of_an_inch(part) if with_unit else _part(part)
    if whole % 100 == 0 and part.numerator > 20 and with_unit:
        return _inches_and(whole, part, style)  # "one hundred and twenty three sixty fourths" could be 120 and 3/64
    return f"{say_number(whole, style)} and {_part(part)}" + (" inches" if with_unit else "")


def _inches_and(whole: int, part: Fraction, style: NumberStyle) -> str:
    return f"{say_number(whole, style)} {_name(Unit.INCH, Fraction(whole))} and {_part(part)}"


def _feet(length: Length, style: NumberStyle, with_unit: bool) -> str:
    feet, inches = divmod(length / MM_PER[Unit.INCH], 12)
    if not feet:
        return _said(length, Unit.INCH, style, with_unit)
    text = f"{say_number(feet, style)} {_name(Unit.FOOT_INCH, Fraction(feet))}"
    if not inches:
        return text
    if inches < 1 and _has_fraction(inches):
        return f"{text} and {_part(inches)} inch" if inches != Fraction(1, 2) else f"{text} and half an inch"
    if inches.denominator == 1:
        inch_words = BELOW_100[inches.numerator]
    elif _has_fraction(inches):
        inch_words = f"{BELOW_100[inches.numerator // inches.denominator]} and {_part(inches % 1)}"
    else:
        raise ValueError(f"{inches} inches are no sixty-fourths")
    return f"{text} {inch_words}" + (f" {_name(Unit.INCH, inches)}" if with_unit else "")
