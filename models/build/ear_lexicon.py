"""Writes the pronunciations that the second ear reads, from the same word list and lexicon that the graph of the first is made of.

usage: python -m models.build.ear_lexicon models/second-ear
Run it after adding words to words.txt, beside models.build.regraph; nothing is trained again.  SHA256SUMS is written anew as well.
One pronunciation a line: the word, then its phonemes (ARPAbet without stress), as phones.txt names them.
"""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from . import sums, vocabulary
from .phones import ARPA


def lines() -> list[str]:
    """The file's lines: the words of the job and the frequent words, sorted."""
    known = set(ARPA)
    found = []
    for word in vocabulary.all_words():
        for pron in dict.fromkeys(tuple(p) for p in vocabulary.prons(word)):
            if pron and known.issuperset(pron):
                found.append(" ".join((word, *pron)))
    return found


def write(folder: str) -> int:
    """lexicon.txt of a model directory; returns the number of lines."""
    found = lines()
    with open(os.path.join(folder, "lexicon.txt"), "w") as f:
        f.write("\n".join(found) + "\n")
    sums.write(Path(folder))
    return len(found)


def main() -> None:
    p = argparse.ArgumentParser()
    p.add_argument("folder")
    print(write(p.parse_args().folder), "pronunciations")


if __name__ == "__main__":
    main()
