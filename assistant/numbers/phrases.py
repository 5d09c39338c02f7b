"""What a recogniser is told to listen for, from the grammar that reads it.

Whole phrases, not loose words: the recogniser turns its list into a bigram, so it learns from "seventy three
millimetres" that "three" follows "seventy" and a unit follows "three".  From loose words it learns nothing about
neighbours, and in a loop of them "seventy" loses to "seven three".  Every pair of neighbours the grammar derives stands
in some phrase, and every first and last word at its place.
"""

from __future__ import annotations

from enum import Enum
from functools import cache

from assistant.numbers.combinators import Alt, Form, Map, Opt, Seq, word
from assistant.numbers.imperial import BARE_INCHES, IMPERIAL_SAID
from assistant.numbers.integers import DIGITS, LONE_ZERO, UNIT, ZERO
from assistant.numbers.metric import BARE_MM, METRIC_SAID
from assistant.numbers.ordinals import ORDINAL
from assistant.numbers.tables import BELOW_100
from assistant.numbers.units import Measure
from assistant.wordgraph import Net, WordGraph


class PhraseKind(Enum):
    """Kinds of number that can be listened for."""

    MILLIMETRES = "metric lengths"
    INCHES = "lengths in inches, or feet and inches"
    COUNT = "counts and places up to two hundred"
    DIGITS = "digits one by one"


def _nothing(*_: object) -> None:
    return None


_UP_TO_99: Form[None] = word("|".join(BELOW_100.values()))
_BEHIND_HUNDRED: Form[None] = Opt(Seq(_nothing, Opt(word("and"), None), _UP_TO_99), None)
_TEN_TO_99: Form[None] = word("|".join(said for n, said in BELOW_100.items() if n >= 10))
_UP_TO_200: Form[None] = Alt(
    _UP_TO_99,
    Seq(_nothing, word("a hundred|one hundred"), _BEHIND_HUNDRED),
    Seq(_nothing, word("one"), Alt(_TEN_TO_99, Seq(_nothing, ZERO, UNIT))),
    word("two hundred"),
)
_COUNT: Form[None] = Alt(Seq(_nothing, Opt(word("number"), None), _UP_TO_200), Map(_nothing, ORDINAL))

_FORMS: dict[PhraseKind, Form[Measure] | Form[str] | Form[None]] = {
    PhraseKind.MILLIMETRES: Alt(BARE_MM, METRIC_SAID),
    PhraseKind.INCHES: Alt(BARE_INCHES, IMPERIAL_SAID),
    PhraseKind.COUNT: _COUNT,
    PhraseKind.DIGITS: Alt(UNIT, LONE_ZERO, DIGITS),
}


@cache
def number_phrases(kind: PhraseKind) -> tuple[str, ...]:
    """Phrases that cover the kind, always in the same order; spelt one token a word."""
    return tuple(" ".join(phrase) for phrase in _FORMS[kind].phrases())


@cache
def number_graph(kind: PhraseKind) -> WordGraph:
    """Every number of the kind that is listed, and nothing else: the grammar itself, for an ear that can be bound to it."""
    net = Net()
    start = net.state()
    return net.graph(start, _FORMS[kind].weave(net, start))
