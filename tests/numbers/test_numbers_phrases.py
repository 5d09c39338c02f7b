"""The phrases a recogniser is given: all of them mean something, and no pair of neighbours is missing."""

from collections.abc import Iterable
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from strategies import spoken_inches, spoken_millimetres

from assistant.numbers import (
    NoParse,
    PhraseKind,
    number_phrases,
    number_words,
    parse_count,
    parse_length,
    parse_number,
    say_count,
    say_length,
    say_number,
    say_ordinal,
)
from assistant.numbers.styles import NumberStyle
from assistant.setout.lengths import MM_PER_INCH, Unit

READERS = {
    PhraseKind.MILLIMETRES: lambda words: parse_length(words, Unit.MM),
    PhraseKind.INCHES: lambda words: parse_length(words, Unit.INCH),
    PhraseKind.COUNT: parse_count,
    PhraseKind.DIGITS: parse_number,
}


def pairs(phrases: Iterable[str]) -> set[tuple[str, str]]:
    """Neighbours, with a start and an end."""
    found = set()
    for phrase in phrases:
        words = phrase.split()
        found |= set(zip(["<s>", *words], [*words, "</s>"], strict=True))
    return found


MILLIMETRES = pairs(number_phrases(PhraseKind.MILLIMETRES))
INCHES = pairs(number_phrases(PhraseKind.INCHES))


@pytest.mark.parametrize("kind", PhraseKind)
def test_every_phrase_means_something(kind: PhraseKind) -> None:
    dumb = [phrase for phrase in number_phrases(kind) if isinstance(READERS[kind](phrase.split()), NoParse)]
    assert dumb == []


@pytest.mark.parametrize(("kind", "most"), [(kind, 1600 if "length" in kind.value else 400) for kind in PhraseKind])
def test_the_lists_are_compact_and_spelt_one_token_a_word(kind: PhraseKind, most: int) -> None:
    phrases = number_phrases(kind)
    assert len(set(phrases)) == len(phrases) <= most
    assert all(phrase == phrase.lower() == " ".join(phrase.split()) and phrase.isascii() for phrase in phrases)
    assert {word for phrase in phrases for word in phrase.split()} <= number_words()
    assert all(word.isalpha() for word in number_words())


def test_every_cardinal_year_and_digit_form_is_covered() -> None:
    said = {say_number(n, style) for n in range(100_000) for style in (NumberStyle.WHOLE, NumberStyle.TRADE)}
    said |= {" ".join(word for word in text.split() if word != "and") for text in said}
    assert pairs(said) <= MILLIMETRES
    assert pairs(said) <= INCHES


def test_every_pair_of_digits_is_covered() -> None:
    digits = ("oh", "zero", "nought", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
    neighbours = {*product(digits, digits), *(("double", digit) for digit in digits), *(("triple", digit) for digit in digits)}
    for kind in (PhraseKind.DIGITS, PhraseKind.MILLIMETRES, PhraseKind.INCHES):
        covered = pairs(number_phrases(kind))
        assert neighbours <= covered
        assert {("<s>", digit) for digit in digits} | {(digit, "</s>") for digit in digits} <= covered


@given(mm=spoken_millimetres())
def test_every_metric_length_the_assistant_can_say_is_covered(mm: Fraction) -> None:
    for unit, style in product((Unit.MM, Unit.CM, Unit.M), NumberStyle):
        assert pairs([say_length(mm, unit, style)]) <= MILLIMETRES


@given(inches=spoken_inches())
def test_every_inch_length_the_assistant_can_say_is_covered(inches: Fraction) -> None:
    for unit, style in product((Unit.INCH, Unit.FOOT_INCH), NumberStyle):
        assert pairs([say_length(inches * MM_PER_INCH, unit, style)]) <= INCHES


@pytest.mark.parametrize(
    "text",
    [
        "thirteen eight eighty five",
        "two metres and forty millimetres",
        "three metre sixty",
        "two metres double oh five",
        "ninety five and a half mil",
        "half a metre",
        "three quarters of a metre",
        "a metre and a half",
        "point five",
    ],
)
def test_metric_ways_of_saying_it_are_covered(text: str) -> None:
    assert pairs([text]) <= MILLIMETRES


@pytest.mark.parametrize(
    "text",
    [
        "seven foot four and three eighths",
        "seven foot four three eighths strong",
        "four three eighths",
        "twenty three sixty fourths of an inch",
        "half an inch",
        "five eighth inch shy",
        "a foot and a half",
        "an inch and a quarter",
        "seven feet eleven inches and five thirty seconds",
    ],
)
def test_imperial_ways_of_saying_it_are_covered(text: str) -> None:
    assert pairs([text]) <= INCHES


def test_every_count_and_place_up_to_two_hundred_is_covered() -> None:
    said = [text for n in range(1, 201) for text in (say_count(n), say_ordinal(n), f"number {say_count(n)}")]
    said += [say_number(n, NumberStyle.TRADE) for n in range(1, 201)]
    assert pairs(said) <= pairs(number_phrases(PhraseKind.COUNT))


def test_words_that_only_differ_in_spelling_are_read_but_not_listened_for() -> None:
    listened = {word for kind in PhraseKind for phrase in number_phrases(kind) for word in phrase.split()}
    spelled = {"millimeters", "meters", "meter", "naught", "mils", "treble"}
    assert spelled <= number_words()
    assert not spelled & listened
