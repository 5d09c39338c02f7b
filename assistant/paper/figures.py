"""Notes as they are printed: what was said in number words stands on paper in figures, each length with the sign of its unit.

Crosses the border: sentences as they were spoken in, sentences in figures out.  A number is read by the grammar that it was said with.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache

from assistant.job import Job
from assistant.numbers import Number, SpokenCount, SpokenLength, number_words, parse_count, parse_length, parse_number
from assistant.setout.lengths import Unit
from assistant.written import measured_text

LONGEST = 16
"""Words of the longest number with its unit."""

_WORD = re.compile(r"[A-Za-z]+(?:-[a-z]+)*")
_POINTING = ("this", "that", "each", "another", "the", "every", "only", "no")
"""Before “one” they point at a thing and do not count it."""


def notes_in_figures(job: Job) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """(title, lines) of each note of a job."""
    return tuple((in_figures(note.title), tuple(map(in_figures, note.lines))) for note in job.notes)


@lru_cache(maxsize=4096)
def in_figures(sentence: str) -> str:
    """The sentence with every number in figures: “gap ninety point five millimetres” becomes “gap 90.5 mm”."""
    found = [(match.start(), match.end()) for match in _WORD.finditer(sentence)]
    parts, done, at = [], 0, 0
    while at < len(found):
        figures, after = _longest(sentence, found, at)
        if figures:
            parts += [sentence[done : found[at][0]], figures]
            done, at = found[after - 1][1], after
        else:
            at += 1
    return "".join((*parts, sentence[done:]))


def _longest(sentence: str, found: Sequence[tuple[int, int]], at: int) -> tuple[str, int]:
    """The figures for the longest number that begins at this word, and the place of the word behind it; empty for no number."""
    known = number_words()
    words: list[str] = []
    for place in range(at, min(at + LONGEST, len(found))):
        start, end = found[place]
        if sentence[start:end].lower() not in known or (words and sentence[found[place - 1][1] : start] != " "):
            break
        words.append(sentence[start:end].lower())
    before = sentence[slice(*found[at - 1])].lower() if at else ""
    if not words or (words[0] == "one" and before in _POINTING):
        return "", at
    lengths = range(len(words), 0, -1)
    return next(((text, at + count) for count in lengths if (text := _figures(words[:count]))), ("", at))


def _figures(words: Sequence[str]) -> str:
    """What these words say as a whole; empty where they are no number."""
    length = parse_length(words, Unit.MM)
    if isinstance(length, SpokenLength) and length.unit_said is not None:
        return measured_text(length.unit, length.mm)
    count = parse_count(words)
    if isinstance(count, SpokenCount) and not count.ordinal:
        return str(count.value)
    number = parse_number(words)
    return _plain(number.value) if isinstance(number, Number) else ""


def _plain(value: Fraction) -> str:
    return f"{float(value):.6f}".rstrip("0").rstrip(".")
