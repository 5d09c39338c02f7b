"""How people say lengths: the wordings the simulated builder uses, and that the channel is measured with."""

from __future__ import annotations

from enum import Enum
from fractions import Fraction
from random import Random

from assistant.language.patterns import expand, parse_template
from assistant.language.vocabulary import PHRASES
from assistant.numbers import NoParse, parse_length, say_length
from assistant.numbers.styles import NumberStyle
from assistant.setout.lengths import Length, Unit

Words = tuple[str, ...]


class Habit(Enum):
    """A way of saying numbers."""

    CARDINAL = "two thousand one hundred and forty five"
    CLIPPED = "two thousand one hundred forty five"
    TRADE = "twenty one forty five"
    DIGITS = "two one four five"


_STYLES = {
    Habit.CARDINAL: NumberStyle.WHOLE,
    Habit.CLIPPED: NumberStyle.WHOLE,
    Habit.TRADE: NumberStyle.TRADE,
    Habit.DIGITS: NumberStyle.DIGITS,
}


def words_for(value: Length, unit: Unit, habit: Habit, random: Random) -> Words:
    """A length in words, now and then with its unit (one time in four)."""
    with_unit = random.random() < 0.25
    metric = unit is Unit.MM
    style = _STYLES[habit] if metric else NumberStyle.WHOLE
    words = tuple(say_length(value, unit, style, with_unit=with_unit).split())
    if habit is Habit.CLIPPED and metric:
        words = tuple(word for word in words if word != "and")
    return words


def other_wordings(words: Words) -> tuple[Words, ...]:
    """What the vocabulary holds beside these words for the same thing."""
    for phrase in PHRASES:
        wordings = [tuple(line) for template in phrase.templates for line in expand(parse_template(template))]
        if words in wordings:
            return tuple(line for line in wordings if line != words and not any(word.startswith("<") for word in line))
    return ()


def is_length(words: Words, unit: Unit = Unit.MM) -> bool:
    """Whether the words can be read as a length."""
    return not isinstance(parse_length(words, unit), NoParse)


def is_correction(words: Words) -> bool:
    """Whether the words are a length, or one behind “no”."""
    return is_length(words) or (words[:1] == ("no",) and is_length(words[1:]))


def likely_opening(random: Random) -> Length:
    """A clear opening between posts, in whole millimetres.  Common practice, no source."""
    return Fraction(random.randint(700, 2900))
