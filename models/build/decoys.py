"""Picks decoys: ordinary words listed beside a grammar, so that speech not meant for us has something better to be.

usage: python -m models.build.decoys OUT.txt [--count 1000]
Written one a line, the most frequent first.  A decoy must never be mistaken for a word of the job, so it has at least three
phonemes, differs from every word of words.txt by two phonemes or more, and is not part of one, nor one of it.
"""

from __future__ import annotations

import argparse
from collections.abc import Collection, Sequence

from . import lexicon, vocabulary

Pron = tuple[str, ...]
"""The phonemes of one pronunciation."""


def distance(a: Pron, b: Pron) -> int:
    """Phonemes to change, add or drop to get from one pronunciation to the other."""
    row = list(range(len(b) + 1))
    for i, x in enumerate(a, 1):
        previous, row[0] = row[0], i
        for j, y in enumerate(b, 1):
            previous, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, previous + (x != y))
    return row[-1]


def inside(a: Pron, b: Pron) -> bool:
    """Whether pronunciation a occurs in b."""
    return any(b[k : k + len(a)] == a for k in range(len(b) - len(a) + 1))


def safe(prons: Sequence[Pron], guarded: Sequence[Pron]) -> bool:
    """Whether a word said so cannot be taken for one of the guarded pronunciations."""
    return all(len(p) >= 3 and not any(distance(p, g) < 2 or inside(p, g) or (len(g) > 1 and inside(g, p)) for g in guarded) for p in prons)


def pick(words: Sequence[str], job: Collection[str], count: int) -> list[str]:
    """The first ``count`` of the words that are safe against all words of the job."""
    guarded = sorted({tuple(p) for w in job for p in vocabulary.prons(w)})
    out: list[str] = []
    for w in words:
        if w not in job and len(out) < count and safe([tuple(p) for p in lexicon.prons(w)], guarded):
            out.append(w)
    return out


def main() -> None:
    p = argparse.ArgumentParser()
    p.add_argument("out")
    p.add_argument("--count", type=int, default=1000)
    a = p.parse_args()
    found = pick(vocabulary.frequent(), set(vocabulary.job()), a.count)
    with open(a.out, "w") as f:
        f.write("\n".join(found) + "\n")
    print(len(found), "decoys")


if __name__ == "__main__":
    main()
