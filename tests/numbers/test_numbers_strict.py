"""No word sequence that the grammar does not derive ever yields a number.

``number_ways`` is the judge: it shares nothing with the package and goes the other way, from the value to the words.
"""

import random
from fractions import Fraction

import pytest
from number_ways import derived

from assistant.numbers import (
    Ambiguous,
    NoParse,
    PhraseKind,
    SpokenLength,
    number_phrases,
    number_words,
    parse_length,
)
from assistant.setout.lengths import Unit

VOCABULARY = [*sorted(number_words()), "short", "over", "next", "won", "to", "the", "bay", "minus", "hundreds"]


def scrambled(rng: random.Random, phrases: list[str]) -> list[str]:
    """A derived phrase, or pieces of two, with a word dropped, doubled, swapped or replaced."""
    words = rng.choice(phrases).split()
    if rng.random() < 0.4:
        other = rng.choice(phrases).split()
        words = words[: rng.randint(0, len(words))] + other[rng.randint(0, len(other)) :]
    for _ in range(rng.randint(0, 2)):
        at = rng.randrange(len(words) + 1)
        words[at : at + rng.randint(0, 1)] = rng.choice(([], [rng.choice(VOCABULARY)], words[at : at + 1] * 2))
    return words


def sequences(seed: int, count: int) -> list[list[str]]:
    rng = random.Random(seed)
    phrases = [*number_phrases(PhraseKind.MILLIMETRES), *number_phrases(PhraseKind.INCHES)]
    loose = [[rng.choice(VOCABULARY) for _ in range(rng.randint(1, 5))] for _ in range(count // 2)]
    return loose + [scrambled(rng, phrases) for _ in range(count - len(loose))]


@pytest.mark.parametrize("unit", [Unit.MM, Unit.INCH])
def test_an_accepted_length_is_one_of_the_ways_of_saying_it(unit: Unit) -> None:
    """12,000 sequences, half of them loose words, half damaged phrases; both outcomes must be common."""
    accepted, foreign = 0, []
    for words in sequences(20_260, 12_000):
        found = parse_length(words, unit)
        if isinstance(found, NoParse):
            continue
        accepted += 1
        for length in found.candidates if isinstance(found, Ambiguous) else (found,):
            if not derived(" ".join(words), length.mm, unit):
                foreign.append((" ".join(words), length.mm))
    assert foreign == []
    assert 1500 < accepted < 9000


def test_the_judge_refuses_a_wrong_value_and_a_wrong_word() -> None:
    for words in sequences(7, 3_000):
        found = parse_length(words, Unit.MM)
        if isinstance(found, SpokenLength):
            text = " ".join(words)
            assert derived(text, found.mm, Unit.MM)
            assert not derived(text, found.mm + Fraction(1, 7), Unit.MM)
            assert not derived(f"{text} and", found.mm, Unit.MM)


FORBIDDEN = [
    ("twenty one sixty", (80, 81, 20_160)),
    ("a hundred and five", (500,)),
    ("thirty six hundred", (280,)),
    ("eighteen fifty", (68,)),
    ("ten fifty", (60,)),
    ("one oh five", (6,)),
]
"""What a general word-to-number library (word2number 1.1, as run for the project's research) makes of trade talk."""


@pytest.mark.parametrize(("text", "wrong"), FORBIDDEN)
def test_numbers_are_never_added_up(text: str, wrong: tuple[int, ...]) -> None:
    found = parse_length(text.split(), Unit.MM)
    assert isinstance(found, SpokenLength)
    assert found.mm not in wrong
