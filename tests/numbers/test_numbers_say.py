"""What the assistant says in numbers, and that it can be read back exactly."""

from fractions import Fraction

import pytest
from hypothesis import assume, given
from strategies import spoken_inches, spoken_millimetres

from assistant.numbers import (
    SpokenCount,
    SpokenLength,
    number_words,
    other_form,
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

F = Fraction
INCH = MM_PER_INCH
WHOLE, TRADE, DIGITS = NumberStyle.WHOLE, NumberStyle.TRADE, NumberStyle.DIGITS


@pytest.mark.parametrize(
    ("value", "whole", "trade", "digits"),
    [
        (0, "zero", "zero", "zero"),
        (15, "fifteen", "fifteen", "one five"),
        (208, "two hundred and eight", "two oh eight", "two zero eight"),
        (200, "two hundred", "two hundred", "two zero zero"),
        (2160, "two thousand one hundred and sixty", "twenty one sixty", "two one six zero"),
        (1805, "one thousand eight hundred and five", "eighteen oh five", "one eight zero five"),
        (3600, "three thousand six hundred", "thirty six hundred", "three six zero zero"),
        (2000, "two thousand", "two thousand", "two zero zero zero"),
        (
            13885,
            "thirteen thousand eight hundred and eighty five",
            "thirteen eight eighty five",
            "one three eight eight five",
        ),
        (13050, "thirteen thousand and fifty", "thirteen oh fifty", "one three zero five zero"),
        (13800, "thirteen thousand eight hundred", "thirteen eight hundred", "one three eight zero zero"),
        # a round ten and a digit would read as one number: no trade form
        (
            20160,
            "twenty thousand one hundred and sixty",
            "twenty thousand one hundred and sixty",
            "two zero one six zero",
        ),
        (F(952, 10), "ninety five point two", "ninety five point two", "nine five point two"),
        (F(1, 2), "zero point five", "zero point five", "zero point five"),
        (F(216, 100), "two point one six", "two point one six", "two point one six"),
    ],
)
def test_styles(value: Fraction, whole: str, trade: str, digits: str) -> None:
    assert [say_number(value, style) for style in (WHOLE, TRADE, DIGITS)] == [whole, trade, digits]


@pytest.mark.parametrize(
    ("mm", "unit", "text"),
    [
        (F(2160), Unit.MM, "two thousand one hundred and sixty millimetres"),
        (F(1), Unit.MM, "one millimetre"),
        (F(2160), Unit.M, "two point one six metres"),
        (F(1000), Unit.M, "one metre"),
        (F(952), Unit.CM, "ninety five point two centimetres"),
        (F(1361, 16) * INCH, Unit.INCH, "eighty five and one sixteenth inches"),
        (F(85) * INCH, Unit.INCH, "eighty five inches"),
        (INCH, Unit.INCH, "one inch"),
        (F(3, 8) * INCH, Unit.INCH, "three eighths of an inch"),
        (INCH / 2, Unit.INCH, "half an inch"),
        (F(7, 2) * INCH, Unit.INCH, "three and a half inches"),
        (F(28375, 10000) * INCH, Unit.INCH, "two point eight three seven five inches"),
        ((100 + F(23, 64)) * INCH, Unit.INCH, "one hundred inches and twenty three sixty fourths"),
        (F(707, 8) * INCH, Unit.FOOT_INCH, "seven feet four and three eighths inches"),
        (F(84) * INCH, Unit.FOOT_INCH, "seven feet"),
        (F(169, 2) * INCH, Unit.FOOT_INCH, "seven feet and half an inch"),
        (F(13) * INCH, Unit.FOOT_INCH, "one foot one inch"),
        (F(675, 8) * INCH, Unit.FOOT_INCH, "seven feet and three eighths inch"),
        (F(35, 8) * INCH, Unit.FOOT_INCH, "four and three eighths inches"),
        (F(0), Unit.FOOT_INCH, "zero inches"),
        # no exact words in inches
        (F(100), Unit.INCH, "one hundred millimetres"),
        (F(2000), Unit.FOOT_INCH, "two thousand millimetres"),
    ],
)
def test_lengths(mm: Fraction, unit: Unit, text: str) -> None:
    assert say_length(mm, unit, WHOLE) == text


@pytest.mark.parametrize(
    ("mm", "unit", "text"),
    [
        (F(2160), Unit.MM, "two one six zero"),
        (F(2160), Unit.M, "two point one six"),
        (F(837, 8) * INCH, Unit.INCH, "one zero four and five eighths"),
        # alone these would be eight foot eight and five eighths, and twenty and five thirty seconds
        (F(709, 8) * INCH, Unit.INCH, "eight eight and five eighths inches"),
        (F(25, 32) * INCH, Unit.INCH, "twenty five thirty seconds of an inch"),
        (F(3, 8) * INCH, Unit.INCH, "three eighths"),
        (F(707, 8) * INCH, Unit.FOOT_INCH, "seven feet four and three eighths"),
        (F(100), Unit.INCH, "one zero zero millimetres"),
    ],
)
def test_lengths_without_their_unit(mm: Fraction, unit: Unit, text: str) -> None:
    assert say_length(mm, unit, DIGITS, with_unit=False) == text


@pytest.mark.parametrize("mm", [F(-1), F(10**8), F(2000, 21), F(1, 10**7)])
@pytest.mark.parametrize("unit", [Unit.MM, Unit.INCH, Unit.FOOT_INCH])
def test_what_has_no_exact_words_is_an_error(mm: Fraction, unit: Unit) -> None:
    with pytest.raises(ValueError, match=r"is not between|round it first"):
        say_length(mm, unit, WHOLE)


def back(text: str, unit: Unit) -> Fraction | object:
    found = parse_length(text.split(), unit)
    return found.mm if isinstance(found, SpokenLength) else found


@pytest.mark.parametrize("job", Unit)
@pytest.mark.parametrize("style", NumberStyle)
@given(mm=spoken_millimetres())
def test_every_metric_length_said_is_read_back_exactly(mm: Fraction, style: NumberStyle, job: Unit) -> None:
    """In every job's unit, whatever the job."""
    for unit in Unit:
        text = say_length(mm, unit, style)
        assert back(text, job) == mm
        assert set(text.split()) <= number_words()


@pytest.mark.parametrize("job", Unit)
@pytest.mark.parametrize("style", NumberStyle)
@given(inches=spoken_inches())
def test_every_inch_length_said_is_read_back_exactly(inches: Fraction, style: NumberStyle, job: Unit) -> None:
    for unit in (Unit.INCH, Unit.FOOT_INCH, Unit.MM):
        assert back(say_length(inches * INCH, unit, style), job) == inches * INCH


@pytest.mark.parametrize("style", NumberStyle)
def test_every_whole_number_is_read_back_in_every_style(style: NumberStyle) -> None:
    wrong = []
    for n in (*range(3_000), *range(3_000, 100_000, 97)):
        found = parse_number(say_number(n, style).split())
        if getattr(found, "value", None) != n:
            wrong.append(n)
    assert wrong == []


def test_counts_and_places_are_read_back() -> None:
    for n in range(1, 1000):
        count, place = tuple(say_count(n).split()), tuple(say_ordinal(n).split())
        assert parse_count(count) == SpokenCount(n, False, count)
        assert parse_count(place) == SpokenCount(n, True, place)
    assert (say_count(24), say_ordinal(12), say_ordinal(121)) == (
        "twenty four",
        "twelfth",
        "one hundred and twenty first",
    )


@pytest.mark.parametrize("place", [0, 1000, -3])
def test_there_is_no_word_for_such_a_place(place: int) -> None:
    with pytest.raises(ValueError, match="is not between 1 and 999"):
        say_ordinal(place)


@pytest.mark.parametrize(
    ("heard", "read_back"),
    [
        ("twenty one sixty", "two one six zero millimetres"),
        ("two thousand one hundred and sixty", "two one six zero millimetres"),
        ("two one six oh", "two thousand one hundred and sixty millimetres"),
        ("two one six oh millimetres", "two thousand one hundred and sixty millimetres"),
        ("double two", "twenty two millimetres"),
        ("fifteen", "one five millimetres"),
        ("fifty", "five zero millimetres"),
        ("two point one six", "two thousand one hundred and sixty millimetres"),
        ("two metres one sixty", "two one six zero millimetres"),
        ("ninety five centimetres", "nine five zero millimetres"),
        ("ninety five point two millimetres", "nine five point two millimetres"),
        ("nine five point two millimetres", "ninety five point two millimetres"),
        ("five", "five millimetres"),
        ("seven foot four and three eighths", "eight eight and three eighths inches"),
        ("eighty eight and five eighths inches", "eight eight and five eighths inches"),
        ("eight eight and five eighths inches", "eighty eight and five eighths inches"),
        ("four and three eighths inches", "four inches and three eighths"),
        ("four three eighths", "four and three eighths inches"),
        ("one and a half inches", "one inch and a half"),
        ("three eighths", "three eighths of an inch"),
        ("two foot", "two four inches"),
    ],
)
def test_the_read_back_is_in_another_form(heard: str, read_back: str) -> None:
    length = parse_length(heard.split(), Unit.MM)
    assert isinstance(length, SpokenLength)
    assert other_form(length, Unit.MM) == read_back
    assert back(read_back, Unit.MM) == length.mm


def assert_told_apart(length: Fraction, unit: Unit, style: NumberStyle) -> None:
    """What was heard in that form is read back in another, and exactly."""
    words = tuple(say_length(length, unit, style).split())
    heard = parse_length(words, unit)
    assert isinstance(heard, SpokenLength)
    again = other_form(heard, Unit.MM)
    assert tuple(again.split()) != words
    assert back(again, unit) == length


@pytest.mark.parametrize("style", NumberStyle)
@given(mm=spoken_millimetres())
def test_a_metric_read_back_is_never_what_was_heard(mm: Fraction, style: NumberStyle) -> None:
    """From ten millimetres on: below, one digit has one name."""
    assume(mm >= 10)
    for unit in (Unit.MM, Unit.M, Unit.CM):
        assert_told_apart(mm, unit, style)


@pytest.mark.parametrize("style", NumberStyle)
@given(inches=spoken_inches())
def test_an_inch_read_back_is_never_what_was_heard(inches: Fraction, style: NumberStyle) -> None:
    """From ten inches on, and mixed numbers from one on."""
    assume(inches >= 10 or (inches > 1 and inches.denominator > 1))
    for unit in (Unit.INCH, Unit.FOOT_INCH):
        assert_told_apart(inches * INCH, unit, style)


@pytest.mark.parametrize(
    ("count", "said"),
    [
        (99_999, "ninety nine thousand nine hundred and ninety nine"),
        (100_000, "one hundred thousand"),
        (260_400, "two hundred and sixty thousand four hundred"),
        (1_000_026, "one million and twenty six"),
        (5_200_110_000, "five billion two hundred million one hundred and ten thousand"),
    ],
)
def test_a_count_is_a_sum_and_may_be_large(count: int, said: str) -> None:
    assert say_count(count) == said


@pytest.mark.parametrize(
    ("heard", "read_back"),
    [
        ("seven feet ten and five sixteenths", "seven feet ten and five sixteenths inches"),
        ("ninety four and five sixteenths", "seven feet ten and five sixteenths inches"),
        ("nine four and five sixteenths inches", "seven feet ten and five sixteenths inches"),
        ("seven foot", "seven feet"),
        ("five eighths", "five eighths of an inch"),
        ("two metres", "two zero zero zero millimetres"),
    ],
)
def test_a_job_of_feet_and_inches_hears_feet_and_inches(heard: str, read_back: str) -> None:
    """“Seven feet ten and five sixteenths” never comes back as “nine four and five sixteenths”, which sounds like nine foot four."""
    length = parse_length(heard.split(), Unit.FOOT_INCH)
    assert isinstance(length, SpokenLength)
    assert other_form(length, Unit.FOOT_INCH) == read_back
    assert back(read_back, Unit.FOOT_INCH) == length.mm
