"""Every length of a job as the tool says it, given back to the reader: the same length, whatever the style, with its unit and without."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import chain

import pytest

from assistant.numbers import SpokenLength, other_form, parse_length, say_length
from assistant.numbers.styles import NumberStyle
from assistant.setout.lengths import MM_PER_FOOT, MM_PER_INCH, Length, Unit

LONGEST_MM = 20_000
LONGEST_INCHES = 20 * 12
BAY_MM = 8_000
BAY_INCHES = 12 * 12
"""As long as a bay gets: up to there every length is tried, from there to the longest one in seven, for a run."""


def wrong(lengths: Iterator[Length], said_in: Unit, job: Unit, style: NumberStyle, *, with_unit: bool) -> list[str]:
    """What is said of lengths and is not read as they are."""
    found = []
    for length in lengths:
        text = say_length(length, said_in, style, with_unit=with_unit)
        read = parse_length(text.split(), job)
        if not isinstance(read, SpokenLength) or read.mm != length:
            found.append(text)
    return found


def thirty_seconds() -> Iterator[Length]:
    """The lines of a tape of twenty feet, sixteenths among them."""
    steps = chain(range(1, BAY_INCHES * 32 + 1), range(BAY_INCHES * 32 + 1, LONGEST_INCHES * 32 + 1, 7))
    return (Fraction(step, 32) * MM_PER_INCH for step in steps)


@pytest.mark.parametrize("with_unit", [True, False])
@pytest.mark.parametrize("style", NumberStyle)
def test_every_millimetre_is_given_back(style: NumberStyle, with_unit: bool) -> None:
    lengths = chain(range(1, BAY_MM + 1), range(BAY_MM + 1, LONGEST_MM + 1, 7))
    assert wrong(map(Fraction, lengths), Unit.MM, Unit.MM, style, with_unit=with_unit) == []


@pytest.mark.parametrize("unit", [Unit.CM, Unit.M])
@pytest.mark.parametrize("style", NumberStyle)
def test_every_millimetre_is_given_back_in_centimetres_and_metres(style: NumberStyle, unit: Unit) -> None:
    assert wrong(map(Fraction, range(1, LONGEST_MM + 1, 7)), unit, Unit.MM, style, with_unit=True) == []


@pytest.mark.parametrize("with_unit", [True, False])
@pytest.mark.parametrize("unit", [Unit.INCH, Unit.FOOT_INCH])
@pytest.mark.parametrize("style", NumberStyle)
def test_every_line_of_the_tape_is_given_back(style: NumberStyle, unit: Unit, with_unit: bool) -> None:
    assert wrong(thirty_seconds(), unit, unit, style, with_unit=with_unit) == []


@pytest.mark.parametrize("job", [Unit.INCH, Unit.FOOT_INCH])
@pytest.mark.parametrize("style", NumberStyle)
def test_every_read_back_of_a_line_of_the_tape_is_that_line(style: NumberStyle, job: Unit) -> None:
    """In a job of feet and inches from one foot on as feet and inches: “nine four” inches sounds like nine foot four."""
    for length in thirty_seconds():
        heard = parse_length(say_length(length, job, style).split(), job)
        assert isinstance(heard, SpokenLength)
        text = other_form(heard, job)
        read = parse_length(text.split(), job)
        assert isinstance(read, SpokenLength) and read.mm == length, text
        assert ("feet" in text or "foot" in text) == (job is Unit.FOOT_INCH and length >= MM_PER_FOOT)
