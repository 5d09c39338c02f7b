"""Every whole number from 1 to 99,999 as independent libraries spell it.

num2words 0.5.14 spells cardinals (with "and") and years; text2num 3.1.0 reads cardinals. No year form turned out to be
ambiguous: a pair ("twenty one sixty") and a round ten with a digit ("twenty one") never read as one another.
"""

import re

import pytest
from num2words import num2words
from text_to_num import text2num

from assistant.numbers import (
    Number,
    SpokenCount,
    SpokenLength,
    parse_count,
    parse_length,
    parse_number,
    say_count,
)
from assistant.setout.lengths import Unit

EVERY = range(1, 100_000)


def plain(text: str) -> str:
    """The library's spelling, one token a word."""
    return re.sub(r"[-,\s]+", " ", text)


@pytest.fixture(scope="module")
def cardinals() -> list[str]:
    return [plain(num2words(n)) for n in EVERY]


def test_every_cardinal_with_and(cardinals: list[str]) -> None:
    wrong = []
    for n, text in zip(EVERY, cardinals, strict=True):
        words = tuple(text.split())
        if parse_number(words) != Number(n, words):
            wrong.append(text)
    assert wrong == []


def test_every_cardinal_without_and(cardinals: list[str]) -> None:
    wrong = []
    for n, text in zip(EVERY, cardinals, strict=True):
        words = tuple(word for word in text.split() if word != "and")
        if parse_count(words) != SpokenCount(n, False, words):
            wrong.append(text)
    assert wrong == []


def test_every_cardinal_is_said_as_the_library_spells_it(cardinals: list[str]) -> None:
    assert [text for n, text in zip(EVERY, cardinals, strict=True) if say_count(n) != text] == []


def test_every_year_form_is_the_length() -> None:
    """One to 9,999: "one oh five", "eighteen oh five", "thirty six hundred", "twenty one sixty"."""
    wrong = []
    for n in range(1, 10_000):
        text = plain(num2words(n, to="year"))
        found = parse_length(text.split(), Unit.MM)
        if not isinstance(found, SpokenLength) or found.value != n:
            wrong.append(text)
    assert wrong == []


def test_what_is_said_is_read_by_another_reader() -> None:
    assert [n for n in range(1, 100_000, 37) if text2num(say_count(n), "en") != n] == []


def test_every_ordinal_as_the_library_spells_it() -> None:
    wrong = []
    for n in range(1, 1000):
        words = tuple(plain(num2words(n, to="ordinal")).split())
        if parse_count(words) != SpokenCount(n, True, words):
            wrong.append(words)
    assert wrong == []
