"""The laws of the conversation over many random turns: python tests/bench/bench_laws.py [TURNS] [SEED]

Anything that can be said, changes of mind, undoing, breaks and the program ended, one course after another; every step is watched as in
`tests/talk.py`, and each course has to come to its last mark.  Prints the turns and the seed; ends with an error at the first law broken.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from random import Random

sys.path[:0] = [str(Path(__file__).resolve().parents[1]), str(Path(__file__).resolve().parents[1] / "dialogue")]

from strategies import COUNTS, EVERY_WORD, LENGTHS  # noqa: E402
from talk import ALWAYS, Watched, watched  # noqa: E402
from test_conversation_laws import STARTS, plain_job, ways_on  # noqa: E402

from assistant.dialogue.asking import wanted  # noqa: E402
from assistant.events import JobOpened, NothingHeard  # noqa: E402
from assistant.language.patterns import expand, parse_template  # noqa: E402
from assistant.language.understanding import Wants  # noqa: E402
from assistant.language.vocabulary import PHRASES  # noqa: E402

CHANGES_OF_MIND = ("change bay one", "change bay two", "picket slipped", "stop", "remove bay one", "from the right", "one more picket")
COURSE = 60
"""Turns before a course is brought to its end."""


def said(talk: Watched, random: Random) -> tuple[str, ...]:
    """What counts now, its slot filled with any number."""
    state = talk.conversation.state
    phrase = random.choice([phrase for phrase in PHRASES if state.stage in phrase.stages])
    words = random.choice([line for template in phrase.templates for line in expand(parse_template(template))])
    number = random.choice(COUNTS if wanted(state) is Wants.COUNT else LENGTHS)
    filled = [random.choice(COUNTS) if word == "<count>" else number if word[0] == "<" else word for word in words]
    return tuple(word for part in filled for word in part.split())


def turn(talk: Watched, random: Random) -> None:
    """One turn of a course."""
    match random.randrange(20):
        case 0 | 1 | 2 | 3 | 4 | 5 | 6 | 7 | 8:
            talk.say(*random.choice(ways_on(talk.conversation.state)))
        case 9 | 10 | 11:
            talk.say(*said(talk, random))
        case 12:
            talk.say(*random.choice(CHANGES_OF_MIND).split())
        case 13 | 14:
            talk.say("undo")
        case 15:
            talk.reopen()
        case 16:
            talk.take(JobOpened("a fence"))
        case 17:
            talk.take(NothingHeard())
        case 18:
            talk.say(*random.choice(ALWAYS).split())
        case _:
            talk.say(*random.choices(EVERY_WORD, k=random.randrange(1, 6)))


def main(turns: int, seed: int) -> None:
    """Courses until so many turns were taken."""
    random = Random(seed)
    taken, courses = 0, 0
    called = slips = reopened = 0
    while taken < turns:
        talk = watched(random.choice(STARTS))
        for _ in range(COURSE):
            turn(talk, random)
        plain_job(talk)
        taken, courses = taken + talk.count, courses + 1
        kinds = [type(fact).__name__ for fact in talk.facts]
        called += kinds.count("MarkCalled")
        slips += kinds.count("PicketSlipped")
        reopened += kinds.count("BayReopened")
    print(f"{taken} turns in {courses} courses, seed {seed}; no law broken")
    print(f"{called} marks called, {slips} slips, {reopened} bays opened again")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", 1)[0])
    parser.add_argument("turns", nargs="?", type=int, default=100_000)
    parser.add_argument("seed", nargs="?", type=int, default=1)
    given = parser.parse_args()
    main(given.turns, given.seed)
