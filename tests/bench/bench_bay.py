"""Seconds of speech that a bay of two openings takes: asked, dictated and read back, by real voices on both sides.

    python tests/bench/bench_bay.py [--bays 20]

First each question by itself, then both openings in one breath (“next bay bottom … top …”).  The builder is each of the fixture voices at
its natural speed and says the openings as the trade does ("twenty one forty five") or as whole numbers; the assistant speaks as it does on
site.  Counted is sound, not the silence between turns: from "next bay" to the end of the second read-back, and, by itself, the summary
that follows with the gap.  Needed: what audio_fixtures/make_fixtures.py needs.
"""

from __future__ import annotations

import argparse
import sys
from collections import defaultdict
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from random import Random

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "audio_fixtures"), str(ROOT)]

from make_fixtures import VOICES, line  # noqa: E402
from site_noise import RATE  # noqa: E402
from talk import Talk  # noqa: E402

from assistant.numbers import say_number  # noqa: E402
from assistant.numbers.styles import NumberStyle  # noqa: E402
from assistant.speech.synthesiser import Synthesiser  # noqa: E402

PARTS = ("“next bay”", "question", "bottom dictated", "read back, next question", "top dictated", "read back")
SUMMARY, DICTATED, READ_BACK = "summary", "dictated", "read back"
WORDINGS = {"trade": NumberStyle.TRADE, "whole": NumberStyle.WHOLE}
STYLES = {"full": (), "short": ("short answers",)}


def openings(bays: int) -> Iterator[tuple[Fraction, Fraction]]:
    """Bottom and top of invented bays, the top a few millimetres off."""
    random = Random("bays")
    for _ in range(bays):
        bottom = Fraction(random.randint(1700, 2300))
        yield bottom, bottom + random.choice((-1, 1)) * random.randint(1, 9)


def turns(talk: Talk, numbers: tuple[str, str]) -> Iterator[tuple[str, str, str]]:
    """(part, who, words) of one bay, in order."""
    said = ("next bay", *numbers)
    for (mine, answer), words in zip(zip(PARTS[::2], PARTS[1::2], strict=True), said, strict=True):
        reply = talk.say(words)
        while "was that" in reply:  # a teen that may be a ty is settled before it counts: it is another matter
            reply = talk.say("the first")
        yield mine, "builder", words
        back, _, rest = reply.partition(". ") if answer == PARTS[-1] else (reply, "", "")
        yield answer, "assistant", back
        if rest:
            yield SUMMARY, "assistant", rest


def breath(talk: Talk, numbers: tuple[str, str]) -> Iterator[tuple[str, str, str]]:
    """The same of a bay that is said in one breath."""
    words = f"next bay bottom {numbers[0]} top {numbers[1]}"
    reply = talk.say(words)
    read = []
    while "was that" in reply:
        before, _, _ = reply.rpartition(": was that")
        read += [before.rpartition(". ")[0]]
        reply = talk.say("the first")
    yield DICTATED, "builder", words
    for label in ("Bottom: ", "Top: "):
        assert label in reply or any(label in part for part in read), reply
    end = reply.index(". ", reply.index("Top: ")) + 1
    yield READ_BACK, "assistant", reply[:end]
    yield SUMMARY, "assistant", reply[end + 1 :]


def in_one_breath(synthesiser: Synthesiser, bays: int) -> Iterator[str]:
    """Rows of the second table, and an example of each."""
    for style, before in STYLES.items():
        for wording, numbers in WORDINGS.items():
            parts: dict[str, list[float]] = defaultdict(list)
            talk = Talk("ninety", "one hundred", "1815", "the same", *before)
            example = ""
            for place, pair in enumerate(openings(bays)):
                both = tuple(say_number(value, numbers) for value in pair)
                for part, who, words in breath(talk, (both[0], both[1])):
                    voice = list(VOICES)[place % len(VOICES)]
                    sound = line({"voice": voice, "say": words}) if who == "builder" else synthesiser.render(words)
                    parts[part].append(len(sound) / RATE)
                    example += f"  {words}" if place == 0 and part is not SUMMARY else ""
            wholes = [said + read for said, read in zip(parts[DICTATED], parts[READ_BACK], strict=True)]
            means = " | ".join(f"{sum(parts[part]) / bays:.1f} s" for part in (DICTATED, READ_BACK))
            yield f"| {style} | {wording} | {bays} | {means} | {sum(wholes) / bays:.1f} s | {max(wholes):.1f} s | {example} |"


def main() -> None:
    """The tables."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--bays", type=int, default=20)
    given = arguments.parse_args()
    print(f"| answers | wording | bays | {' | '.join(PARTS)} | dictated and read back: mean | longest | {SUMMARY} |")
    print("| --- " * (len(PARTS) + 6) + "|")
    example = []
    with Synthesiser() as synthesiser:
        for style, before in STYLES.items():
            for wording, numbers in WORDINGS.items():
                parts: dict[str, list[float]] = defaultdict(list)
                wholes = []
                talk = Talk("ninety", "one hundred", "1815", "the same", *before)
                for place, pair in enumerate(openings(given.bays)):
                    voice = list(VOICES)[place % len(VOICES)]
                    both = tuple(say_number(value, numbers) for value in pair)
                    bay = list(turns(talk, (both[0], both[1])))
                    seconds = []
                    for part, who, words in bay:
                        sound = line({"voice": voice, "say": words}) if who == "builder" else synthesiser.render(words)
                        seconds.append(len(sound) / RATE)
                        parts[part].append(seconds[-1])
                    wholes.append(sum(seconds[: len(PARTS)]))
                    if place == 0:
                        example += [f"  {style:5}  {part:24} {s:4.1f} s  {words}" for (part, _, words), s in zip(bay, seconds, strict=True)]
                each = " | ".join(f"{sum(parts[part]) / given.bays:.1f}" for part in PARTS)
                row = f"{sum(wholes) / given.bays:.1f} s | {max(wholes):.1f} s | {sum(parts[SUMMARY]) / given.bays:.1f} s"
                print(f"| {style} | {wording} | {given.bays} | {each} | {row} |")
        print("\n| answers | wording | bays | dictated | read back | both: mean | longest | example |")
        print("| --- " * 8 + "|")
        for row in in_one_breath(synthesiser, given.bays):
            print(row, flush=True)
    print("\n".join(("", *example)))


if __name__ == "__main__":
    main()
