"""Every kind of spoken number through the real synthesiser, building-site noise and the recogniser: how many are read right.

    python tests/bench/bench_readback.py [--each 120] [--decibels 10] [--any] [--wrong] [--model PATH]

A reply is judged as a listener would: the noise is laid 10 dB below it and lasts a little before and after it; the recogniser listens
for the lengths that the assistant may say in this unit and style, every one of them and nothing else (with --any: for whatever a
builder may say of lengths in any unit); and it has to come to the same words or the same value.  Prints the share read right by style
and unit, with the unit and bare, as marks are called.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from itertools import product
from math import sqrt
from pathlib import Path
from random import Random

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "audio_fixtures"), str(ROOT)]

from listening import hear  # noqa: E402
from site_noise import add_noise  # noqa: E402

from assistant.numbers import PhraseKind, SpokenLength, number_phrases, parse_length, say_length  # noqa: E402
from assistant.numbers.combinators import thinned  # noqa: E402
from assistant.numbers.styles import NumberStyle  # noqa: E402
from assistant.numbers.tables import UNIT_WORDS  # noqa: E402
from assistant.setout.lengths import MM_PER_INCH, Length, Unit  # noqa: E402
from assistant.speech.models import find_model  # noqa: E402
from assistant.speech.recogniser import Grammar, Recogniser  # noqa: E402
from assistant.speech.synthesiser import Synthesiser  # noqa: E402
from assistant.speech.wav import silence  # noqa: E402

PAUSE = 0.5
BEFORE, AFTER = silence(0.5), silence(0.7)
KINDS = {Unit.MM: PhraseKind.MILLIMETRES, Unit.INCH: PhraseKind.INCHES, Unit.FOOT_INCH: PhraseKind.INCHES}


def values(unit: Unit, count: int) -> Iterator[Length]:
    """Lengths as replies hold them: openings, gaps and marks."""
    random = Random(f"read back {unit}")
    for index in range(count):
        if unit is Unit.MM:
            tenths = index % 4 == 0
            yield Fraction(random.randint(600, 1300), 10) if tenths else Fraction(random.randint(20, 3200))
        else:
            yield Fraction(random.randint(32, 16 * 126)) / 16 * MM_PER_INCH


def possible(unit: Unit) -> Iterator[Length]:
    """Every length that `values` can hold."""
    if unit is Unit.MM:
        yield from (Fraction(number) for number in range(20, 3201))
        yield from (Fraction(number, 10) for number in range(600, 1301))
    else:
        yield from (Fraction(number) / 16 * MM_PER_INCH for number in range(32, 16 * 126 + 1))


def listened_for(unit: Unit, style: NumberStyle, with_unit: bool) -> tuple[str, ...]:
    """Phrases with every pair of neighbouring words that the assistant says in the unit and style."""
    said = (say_length(value, unit, style, with_unit=with_unit).split() for value in possible(unit))
    return tuple(" ".join(phrase) for phrase in thinned(tuple(words) for words in said))


def margin(right: int, count: int) -> str:
    """The share with its 95 % Wilson interval."""
    z, share = 1.96, right / count
    middle, spread = share + z * z / 2 / count, z * sqrt(share * (1 - share) / count + z * z / 4 / count**2)
    low, high = ((middle + sign * spread) / (1 + z * z / count) for sign in (-1, 1))
    return f"{share:.1%} ({low:.1%} to {high:.1%})"


def main() -> None:
    """The table."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--model")
    arguments.add_argument("--each", type=int, default=120)
    arguments.add_argument("--decibels", type=float, default=10.0)
    arguments.add_argument("--any", action="store_true", help="listen for every length in any unit")
    arguments.add_argument("--wrong", action="store_true", help="show what was said and heard where it was read wrong")
    given = arguments.parse_args()
    recogniser = Recogniser(find_model(given.model))
    print(f"| unit | style | n | read right at {given.decibels:g} dB | most often wrong |\n| --- | --- | --- | --- | --- |")
    everything, missed = Counter[bool](), []
    with Synthesiser() as synthesiser:
        for unit, style, with_unit in product(KINDS, NumberStyle, (True, False)):
            wide = number_phrases(KINDS[unit])
            grammar = Grammar(wide if given.any else listened_for(unit, style, with_unit), pause=PAUSE)
            right, wrong = 0, Counter[str]()
            for seed, value in enumerate(values(unit, given.each)):
                said = say_length(value, unit, style, with_unit=with_unit)
                sound = np.concatenate([BEFORE, synthesiser.render(said), AFTER])
                heard = hear(recogniser, add_noise(sound, given.decibels, seed), grammar)
                words = tuple(word for part in heard for word in part.words)
                unsaid = () if with_unit or unit is Unit.FOOT_INCH else (UNIT_WORDS[unit][0],)  # a listener knows the unit of the job
                reading = parse_length((*words, *unsaid), unit)
                good = words == tuple(said.split()) or (isinstance(reading, SpokenLength) and reading.mm == value)
                right += good
                everything[good] += 1
                if not good:
                    missed.append(f"{said} > {' '.join(words)}")
                    lost, got = set(said.split()) - set(words), set(words) - set(said.split())
                    wrong[f"{' '.join(sorted(lost)) or '-'} > {' '.join(sorted(got)) or '-'}"] += 1
            often = "; ".join(f"{what} ({count})" for what, count in wrong.most_common(3))
            name = f"{unit.value}{'' if with_unit else ', bare'}"
            print(f"| {name} | {style.value} | {given.each} | {margin(right, given.each)} | {often} |", flush=True)
        print(f"| all | all | {everything.total()} | {margin(everything[True], everything.total())} | |")
    if given.wrong:
        print("\n".join(("", *missed)))


if __name__ == "__main__":
    main()
