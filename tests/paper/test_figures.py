"""What was said in number words is printed in figures."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.numbers import number_words, say_count, say_length
from assistant.numbers.styles import NumberStyle
from assistant.paper.figures import in_figures
from assistant.setout.lengths import Unit, write

SAID_AND_PRINTED = {
    "Bay one becomes ninety seven point five millimetres, and the gap about one hundred and three point two millimetres.":
        "Bay 1 becomes 97.5 mm, and the gap about 103.2 mm.",
    "A picket of three and seven eighths inches becomes three and three quarter inches.": "A picket of 3 7/8 in becomes 3 3/4 in.",
    "Pole one, from the left post, serves bay one; bay two.": "Pole 1, from the left post, serves bay 1; bay 2.",
    "In bay three set the pole again on mark nine; mark seventeen.": "In bay 3 set the pole again on mark 9; mark 17.",
    "Four feet seven and nine sixteenths inches.": "4 ft 7 9/16 in.",
    "Both ends are cut at eight point five degrees.": "Both ends are cut at 8.5 degrees.",
    "Use that one. No one knows the first of them.": "Use that one. No one knows the first of them.",
    "Pickets 4, from 97.5 mm": "Pickets 4, from 97.5 mm",
}  # fmt: skip


@pytest.mark.parametrize("said", SAID_AND_PRINTED)
def test_numbers_become_figures_and_everything_else_stays(said: str) -> None:
    assert in_figures(said) == SAID_AND_PRINTED[said]


@given(tenths=st.integers(1, 60_000), style=st.sampled_from(NumberStyle))
def test_a_length_in_millimetres_is_printed_as_what_was_said(tenths: int, style: NumberStyle) -> None:
    length = Fraction(tenths, 10)
    said = say_length(length, Unit.MM, style)
    assert in_figures(f"The gap becomes {said}, there.") == f"The gap becomes {write(length, Unit.MM)}, there."


@given(parts=st.integers(1, 4_000), unit=st.sampled_from([Unit.INCH, Unit.FOOT_INCH]))
def test_a_length_in_inches_is_printed_with_its_fraction(parts: int, unit: Unit) -> None:
    length = parts * Fraction(254, 10) / 32
    printed = in_figures(say_length(length, unit, NumberStyle.WHOLE))
    assert printed in {write(length, Unit.INCH), write(length, Unit.FOOT_INCH)}


@given(count=st.integers(0, 99_999))
def test_no_number_word_is_left_of_a_count(count: int) -> None:
    printed = in_figures(f"Order {say_count(count)} pickets.")
    assert printed == f"Order {count} pickets."
    assert not number_words() & set(printed.lower().split())
