"""Spoken numbers: one grammar over exact fractions, read strictly, said in several styles, listed to listen for.

Words cross the border (``Sequence[str]``, lower case, one token a word: "twenty", "one"), exact values, and frozen
results.

    parse_length(words, default_unit)   -> SpokenLength | Ambiguous[SpokenLength] | NoParse
    parse_count(words)                  -> SpokenCount | NoParse
    parse_number(words)                 -> Number | Ambiguous[Number] | NoParse
    alternatives(heard)                 -> other sensible readings of a bare number
    say_length, say_number, say_count, say_ordinal -> text
    other_form(heard, job)              -> the read-back, in another form than the one heard
    teen_ty_twins(words)                -> what else these words may have been ("fifty" for "fifteen")
    number_phrases(kind), number_words() -> what the recogniser listens for
    number_graph(kind)                  -> the grammar as an automaton of words

``tables`` holds the words, ``forms`` the combinators; ``integers``, ``mixed``, ``units``, ``metric``, ``imperial`` and
``ordinals`` are the grammar.
"""

from assistant.numbers.phrases import PhraseKind, number_graph, number_phrases
from assistant.numbers.read import alternatives, number_words, parse_count, parse_length, parse_number
from assistant.numbers.results import (
    MM_PER,
    Ambiguous,
    NoParse,
    Number,
    Reason,
    SpokenCount,
    SpokenLength,
    Words,
)
from assistant.numbers.say import other_form, say_count, say_length, say_number, say_ordinal
from assistant.numbers.twins import teen_ty_twins

__all__ = [
    "MM_PER",
    "Ambiguous",
    "NoParse",
    "Number",
    "PhraseKind",
    "Reason",
    "SpokenCount",
    "SpokenLength",
    "Words",
    "alternatives",
    "number_graph",
    "number_phrases",
    "number_words",
    "other_form",
    "parse_count",
    "parse_length",
    "parse_number",
    "say_count",
    "say_length",
    "say_number",
    "say_ordinal",
    "teen_ty_twins",
]
