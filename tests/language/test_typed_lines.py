"""Typed lines become the words that would have been spoken."""

from __future__ import annotations

import pytest

from assistant.language.typed_lines import LONGEST, spoken_words
from assistant.numbers import SpokenLength, parse_length
from assistant.setout.lengths import Unit, parse_written


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("2160", "two one six zero"),
        ("2160 mm", "two one six zero millimetres"),
        ("90", "ninety"),
        ("2.16 m", "two point one six metres"),
        (".5", "point five"),
        ("85 1/16 in", "eighty five and one sixteenth inches"),
        ('3-1/2"', "three and one half inches"),
        ("7 ft 4 3/8 in", "seven feet four and three eighths inches"),
        ("No, 2155!", "no two one five five"),
        ("work in inches", "work in inches"),
        ("go to mark 12", "go to mark twelve"),
        ("", ""),
    ],
)
def test_typed_as_spoken(line: str, words: str) -> None:
    assert " ".join(spoken_words(line)) == words


@pytest.mark.parametrize("line", ["2160 mm", "2.16 m", "85 1/16 in", "7 ft 4 3/8 in", "216 cm", "1/2 in", "12345 mm", "88 5/64 in"])
def test_a_typed_length_means_what_it_means_when_written(line: str) -> None:
    read = parse_length(spoken_words(line), Unit.MM)
    assert isinstance(read, SpokenLength)
    assert read.mm == parse_written(line, Unit.MM)


@pytest.mark.parametrize("digit", ["1", "1/", "/1", "1.1", "1 1/"])
def test_a_line_of_thousands_of_digits_has_no_words(digit: str) -> None:
    """Those of its beginning might mean something else."""
    for line in (digit[:-1] + digit[-1] * 5000, digit + "3" * 5000, "3" * 5000 + digit):
        assert spoken_words(line) == ()


def test_the_longest_line_has_all_its_words() -> None:
    assert len(spoken_words("one " * (LONGEST // 4))) == LONGEST // 4
    assert spoken_words("1/" + "3" * (LONGEST - 2)) != ()
    assert spoken_words("3" * (LONGEST - 3) + "/16") != ()
