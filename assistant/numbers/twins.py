"""Teens and tens that sound alike: thirteen and thirty up to nineteen and ninety."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from assistant.numbers.read import parse_count, parse_length
from assistant.numbers.results import NoParse, Words
from assistant.numbers.tables import BELOW_100, ordinal_word
from assistant.setout.lengths import Unit

_PAIRS = [(BELOW_100[10 + n], BELOW_100[10 * n]) for n in range(3, 10)]
_PAIRS += [(ordinal_word(teen), ordinal_word(ten)) for teen, ten in _PAIRS]
TWIN: dict[str, str] = {**dict(_PAIRS), **{ten: teen for teen, ten in _PAIRS}}
"""Each confusable word and the one it may be taken for."""


def teen_ty_twins(words: Sequence[str]) -> tuple[Words, ...]:
    """What these words may have been instead, the fewest words changed first; only what is a length or a count.

    Digits said one by one have no twin: nothing in "one five" sounds like fifty.
    """
    heard = tuple(words)
    places = [at for at, word in enumerate(heard) if word in TWIN]
    changed = (
        tuple(TWIN[word] if at in swap else word for at, word in enumerate(heard))
        for size in range(1, len(places) + 1)
        for swap in combinations(places, size)
    )
    return tuple(twin for twin in changed if _means_something(twin))


def _means_something(words: Words) -> bool:
    readings = (parse_length(words, Unit.MM), parse_length(words, Unit.INCH), parse_count(words))
    return not all(isinstance(reading, NoParse) for reading in readings)
