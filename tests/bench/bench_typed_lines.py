"""Typed lines of every kind, sense and nonsense: none is a mistake of the program, and the facts alone give the same job again.

Run as a script from the repository root: python tests/bench/bench_typed_lines.py [SEED] [COUNT] [--workers N]
Lines are phrases with numbers in their places, words of the vocabulary in any order, phrases with characters changed, and characters of
any kind, up to far too long.  A conversation is begun anew after LINES lines.  An exception, a step that changed the job without an
answer, a job that its facts do not give again, or a line that takes longer than MOST_SECONDS is printed and makes the exit status 1.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path
from random import Random
from time import process_time

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from talk import TO_REACH, Kept
from tries import Tally, options, tried

from assistant.conversation import Conversation
from assistant.fold import replay
from assistant.language.listening import vocabulary_words
from assistant.language.vocabulary import PHRASES

LINES = 40
"""Lines in one conversation."""
BLOCK = 1000
MOST_SECONDS = 1.0
"""Of the processor, for one line."""
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


def lines_taken(random: Random, count: int) -> Tally:
    """That many lines, in conversations that begin at all stages."""
    tally, beginnings, taken = Tally(), list(TO_REACH.values()), 0
    while taken < count:
        kept = Kept()
        conversation = Conversation(kept)
        conversation.open()
        for line in random.choice(beginnings):
            conversation.typed(line)
        for _ in range(min(LINES, count - taken)):
            line, kind = any_line(random)
            taken += 1
            at = f"{conversation.state.stage.name}: {line[:80]!r}"
            before, began = len(kept.facts), process_time()
            try:
                reply = conversation.typed(line)
            except Exception as error:
                tally.add(f"broken: {type(error).__name__}", what=f"{at}: {error!r}")
                continue
            took = process_time() - began
            if len(kept.facts) > before and not (reply.spoken or reply.signal or reply.ended):
                tally.add("broken: facts without an answer", took, what=f"{at}: {kept.facts[before:]}")
            elif took > MOST_SECONDS:
                tally.add("broken: too slow", took, what=f"{at}: {took:.1f} s")
            else:
                tally.add(f"{'answered' if reply.spoken else 'no words'}: {kind}", took)
            if reply.ended:
                break
        if replay(kept.facts) != conversation.state.job:
            tally.add("broken: the facts give another job", what=f"last line {line[:80]!r}")
    return tally


if __name__ == "__main__":
    sys.exit(tried(lines_taken, options(__doc__, 1_000_000), BLOCK))
