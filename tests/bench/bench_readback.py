"""Every kind of spoken number through the real synthesiser, building-site noise and the recogniser: how many are read right.

    python tests/bench/bench_readback.py [--each 120] [--decibels 10] [--model PATH]

A reply is judged as a listener would: the noise is laid 10 dB below it, and the recogniser, which knows only numbers, has to come to
the same value.  Prints the share read right by style and unit, and the seconds that a bay of two openings takes.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from math import sqrt
from pathlib import Path
from random import Random

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "audio_fixtures"), str(ROOT)]

from listening import hear  # noqa: E402
from site_noise import add_noise  # noqa: E402
from talk import Talk  # noqa: E402

from assistant.dialogue.numbers import PhraseKind, SpokenLength, number_phrases, parse_length, say_length  # noqa: E402
from assistant.job import NumberStyle  # noqa: E402
from assistant.setout.lengths import MM_PER_INCH, Length, Unit  # noqa: E402
from assistant.speech.models import find_model  # noqa: E402
from assistant.speech.recogniser import Grammar, Recogniser  # noqa: E402
from assistant.speech.synthesiser import Synthesiser  # noqa: E402
from assistant.speech.wav import SAMPLE_RATE  # noqa: E402

PAUSE = 0.5
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
    given = arguments.parse_args()
    recogniser = Recogniser(find_model(given.model))
    print(f"| unit | style | n | read right at {given.decibels:g} dB | most often wrong |\n| --- | --- | --- | --- | --- |")
    everything = Counter[bool]()
    with Synthesiser() as synthesiser:
        for unit, kind in KINDS.items():
            grammar = Grammar(number_phrases(kind), pause=PAUSE)
            for style in NumberStyle:
                right, wrong = 0, Counter[str]()
                for seed, value in enumerate(values(unit, given.each)):
                    said = say_length(value, unit, style)
                    heard = hear(recogniser, add_noise(synthesiser.render(said), given.decibels, seed), grammar)
                    words = tuple(word for part in heard for word in part.words)
                    reading = parse_length(words, unit)
                    good = isinstance(reading, SpokenLength) and reading.mm == value
                    right += good
                    everything[good] += 1
                    if not good:
                        lost, got = set(said.split()) - set(words), set(words) - set(said.split())
                        wrong[f"{' '.join(sorted(lost)) or '-'} > {' '.join(sorted(got)) or '-'}"] += 1
                often = "; ".join(f"{what} ({count})" for what, count in wrong.most_common(3))
                print(f"| {unit.value} | {style.value} | {given.each} | {margin(right, given.each)} | {often} |", flush=True)
        print(f"| all | all | {everything.total()} | {margin(everything[True], everything.total())} | |")
        print(f"\na bay of two openings: {bay_seconds(synthesiser)}")


def bay_seconds(synthesiser: Synthesiser) -> str:
    """Dictating two openings and hearing them back, at the assistant's own pace for both sides."""
    talk = Talk("ninety", "one hundred", "1815", "the same", "short answers")
    short = _seconds(synthesiser, talk)
    talk = Talk("ninety", "one hundred", "1815", "the same")
    full = _seconds(synthesiser, talk)
    return f"{full:.1f} s with full answers, {short:.1f} s with short ones, until the second opening is read back"


def _seconds(synthesiser: Synthesiser, talk: Talk) -> float:
    total = 0
    for line in ("twenty one forty five", "twenty one thirty eight"):
        asked = talk.say("new bay") if line.endswith("five") else ""
        reply = talk.say(line)
        back = reply if line.endswith("five") else reply.split(".")[0]
        total += sum(len(synthesiser.render(words)) for words in (asked, line, back) if words)
    return total / SAMPLE_RATE


if __name__ == "__main__":
    main()
