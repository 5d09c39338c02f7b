"""Typed lines of every kind, sense and nonsense: none is a mistake of the program, and the facts alone give the same job again.

Run as a script from the repository root: python tests/bench/bench_typed_lines.py [SEED] [COUNT]
Lines are phrases with numbers in their places, words of the vocabulary in any order, phrases with characters changed, and characters of
any kind, up to far too long.  A conversation is begun anew after LINES lines.  An exception, a step that changed the job without an
answer, or a job that its facts do not give again is printed and makes the exit status 1.  Says how many lines a second were taken.
"""

from __future__ import annotations

import re
import sys
from collections import Counter
from pathlib import Path
from random import Random
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from talk import TO_REACH, Kept

from assistant.conversation import Conversation
from assistant.fold import replay
from assistant.language.listening import vocabulary_words
from assistant.language.vocabulary import PHRASES

LINES = 40
"""Lines in one conversation."""
WORDS = sorted(vocabulary_words())
TEMPLATES = [template for phrase in PHRASES for template in phrase.templates]
NUMBERS = (
    "90",
    "1815",
    "2160 mm",
    "85 1/16 in",
    "6 ft 2 1/2 in",
    "three quarters",
    "0",
    "99999999",
    "1/0",
    "nineteen hundred",
    "2.5",
    "two",
)
MARKS = " \t\x00'\"/.-½″ßİ漢🙂\ud800\u202e0189azAZ"


def phrase(random: Random) -> str:
    """A template with choices made and its slots filled."""
    line = re.sub(r"\(([^()]*)\)", lambda found: random.choice(found[1].split("|")), random.choice(TEMPLATES))
    return re.sub(r"<\w+>", lambda _: random.choice(NUMBERS), line)


def changed(line: str, random: Random) -> str:
    """The line with some characters replaced."""
    letters = list(line)
    for _ in range(random.randrange(1, 4)):
        letters[random.randrange(len(letters))] = random.choice(MARKS)
    return "".join(letters)


def any_line(random: Random) -> tuple[str, str]:
    """A line, and what kind it is."""
    draw = random.random()
    if draw < 0.45:
        return phrase(random), "phrases"
    if draw < 0.6:
        return random.choice(NUMBERS), "numbers"
    if draw < 0.8:
        return " ".join(random.choices(WORDS, k=random.randrange(1, 12))), "words in any order"
    if draw < 0.92:
        return changed(phrase(random), random), "phrases with characters changed"
    return "".join(random.choices(MARKS, k=random.choice((0, 1, 5, 40, 499, 501, 5000)))), "any characters"


def main(seed: int, count: int) -> int:
    """Print what was taken and what went wrong; the exit status."""
    random, taken, answered, broken = Random(seed), Counter[str](), Counter[str](), 0
    beginnings = list(TO_REACH.values())
    start, slowest = perf_counter(), 0.0
    while sum(taken.values()) < count:
        kept = Kept()
        conversation = Conversation(kept)
        conversation.open()
        for line in random.choice(beginnings):
            conversation.typed(line)
        for _ in range(LINES):
            line, kind = any_line(random)
            taken[kind] += 1
            before, began = len(kept.facts), perf_counter()
            try:
                reply = conversation.typed(line)
            except Exception as error:
                broken += 1
                print(f"{conversation.state.stage.name}: {line[:80]!r}: {error!r}")
                continue
            slowest = max(slowest, perf_counter() - began)
            answered["answered" if reply.spoken else "no words"] += 1
            if len(kept.facts) > before and not (reply.spoken or reply.signal or reply.ended):
                broken += 1
                print(f"{line[:80]!r}: facts without an answer: {kept.facts[before:]}")
            if reply.ended:
                break
        if replay(kept.facts) != conversation.state.job:
            broken += 1
            print(f"the facts give another job, last line {line[:80]!r}")
    seconds = perf_counter() - start
    total = sum(taken.values())
    print(f"seed {seed}: {total} lines in {seconds:.0f} s, {total / seconds:.0f} a second, slowest {slowest * 1e3:.0f} ms, {broken} broken")
    for name, times in (taken + answered).most_common():
        print(f"{times:7d}  {name}")
    return int(broken > 0)


if __name__ == "__main__":
    sys.exit(main(*(int(word) for word in (sys.argv[1:] + ["1", "100000"][len(sys.argv) - 1 :]))))
