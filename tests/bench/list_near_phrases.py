"""Which phrases that mean different things sound alike at one point of the conversation: pairs by phonemes between them.

    python tests/bench/list_near_phrases.py [--most 2]

Numbers stand in as the words from zero to ninety and the digits; phrases with a number in them are left out.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from itertools import combinations, product
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from assistant.language.patterns import expand, parse_template  # noqa: E402
from assistant.language.vocabulary import PHRASES, Act, Stage  # noqa: E402
from assistant.numbers.tables import BELOW_100  # noqa: E402

Pronunciations = dict[str, list[tuple[str, ...]]]
NUMBERS = ("zero", "nought", *(said for number, said in BELOW_100.items() if number <= 20 or number % 10 == 0))


def lexicon() -> Pronunciations:
    """The pronunciations both ears use."""
    found: Pronunciations = {}
    for line in (ROOT / "models" / "second-ear" / "lexicon.txt").read_text(encoding="utf-8").splitlines():
        word, *phones = line.split()
        found.setdefault(word, []).append(tuple(phones))
    return found


def said_at(stage: Stage) -> dict[tuple[str, ...], Act]:
    """The phrases of a stage that hold no number, what each means, and bare numbers where one is a phrase."""
    found: dict[tuple[str, ...], Act] = {}
    for phrase in PHRASES:
        if stage in phrase.stages:
            for template in phrase.templates:
                for words in expand(parse_template(template)):
                    if words == ("<length>",):
                        found.update({tuple(number.split()): phrase.act for number in NUMBERS})
                    elif not any(word.startswith("<") for word in words):
                        found.setdefault(words, phrase.act)
    return found


def distance(one: tuple[str, ...], other: tuple[str, ...]) -> int:
    """Phonemes to change, add or drop."""
    row = list(range(len(other) + 1))
    for i, x in enumerate(one, 1):
        before, row[0] = row[0], i
        for j, y in enumerate(other, 1):
            before, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, before + (x != y))
    return row[-1]


def spoken(words: tuple[str, ...], known: Pronunciations) -> list[tuple[str, ...]]:
    """Every way to pronounce a phrase."""
    return [tuple(phone for part in parts for phone in part) for parts in product(*(known[word] for word in words))]


def near(stage: Stage, most: int, known: Pronunciations) -> Iterator[tuple[int, str, str]]:
    """Pairs of one stage that mean different things and are at most so many phonemes apart, the nearest first."""
    phrases = {words: (act, spoken(words, known)) for words, act in said_at(stage).items()}
    found = []
    for (one, (act, ways)), (other, (also, other_ways)) in combinations(phrases.items(), 2):
        if act is not also:
            apart = (
                min(distance(a, b) for a in ways for b in other_ways if abs(len(a) - len(b)) <= most)
                if any(abs(len(a) - len(b)) <= most for a in ways for b in other_ways)
                else most + 1
            )
            if apart <= most:
                found.append((apart, " ".join(one), " ".join(other)))
    yield from sorted(found)


def main() -> None:
    """Print the pairs of every stage."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--most", type=int, default=2, help="phonemes apart at most (%(default)s)")
    most = parser.parse_args().most
    known = lexicon()
    for stage in Stage:
        for apart, one, other in near(stage, most, known):
            print(f"{stage.name:8} {apart}  {one} / {other}")


if __name__ == "__main__":
    main()
