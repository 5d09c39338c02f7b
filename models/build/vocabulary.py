"""The words of the model: words.txt (the job) and the most frequent words of English, with their pronunciations.

words.txt holds one word a line; behind a word that no pronunciation list knows, its phonemes (ARPAbet without stress).
To add words: write them there and run `python -m models.build.regraph models/site-en`; nothing is trained again.
"""

from __future__ import annotations

import os

from . import lexicon

WORDS = os.path.join(os.path.dirname(os.path.abspath(__file__)), "words.txt")
FREQUENT = os.path.join(os.path.dirname(os.path.abspath(__file__)), "frequent.txt")
"""Frequent words of English, the most frequent first, without brands, names of persons and obscenities: people read them as decoys."""
MOST = 5000


def _listed() -> dict[str, list[list[str]]]:
    with open(WORDS) as f:
        rows = [line.split() for line in f if line.strip()]
    return {r[0]: [r[1:]] if r[1:] else [] for r in rows}


def job() -> list[str]:
    """The words of the job, sorted."""
    return sorted(_listed())


def frequent(count: int = MOST) -> list[str]:
    """Frequent words with a known pronunciation, the most frequent first."""
    with open(FREQUENT) as f:
        return [w for w in f.read().split() if lexicon.known(w)][:count]


def prons(word: str) -> list[list[str]]:
    """Pronunciations of a word: lists of phonemes."""
    return lexicon.prons(word) or _listed().get(word, [])


def all_words() -> list[str]:
    """Every word of the model, sorted."""
    return sorted(set(job()) | set(frequent()))
