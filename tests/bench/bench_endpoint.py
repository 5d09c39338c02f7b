"""When an utterance is known to be over, on the time of the sound, and whether a breath inside a number cuts it.

    python tests/bench/bench_endpoint.py [--each 40] [--decibels 30 10] [--voices ash birch cedar] [--model PATH] [--one-ear]

Numbers where one is asked for, commands between bays, commands while marking: seconds from the end of the last word to the end of
the utterance, whatever was recognised.  Then numbers with a breath behind “thousand” or “hundred”, and feet and inches with a breath
before “and”, as people leave it.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from random import Random

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "tests" / "bench"), str(ROOT)]

from site_voices import VOICES, Site  # noqa: E402
from talk import TO_REACH, Talk  # noqa: E402
from wordings import Habit, likely_opening, words_for  # noqa: E402

from assistant.language.vocabulary import Stage  # noqa: E402
from assistant.setout.lengths import Unit  # noqa: E402
from assistant.speech.hearing import Hearing  # noqa: E402
from assistant.speech.models import find_model  # noqa: E402
from assistant.speech.recogniser import Recogniser  # noqa: E402
from assistant.speech.secondear import open_second_ear  # noqa: E402
from assistant.speech.wav import BLOCK, SAMPLE_RATE, Samples  # noqa: E402

COMMANDS = {
    Stage.HUB: ("next bay", "no more bays", "start marking", "undo", "gate", "add a gate", "summary", "repeat"),
    Stage.WALK: ("next", "repeat", "back", "how many left", "next rail", "mark twelve", "undo", "where am i"),
    Stage.GAP: ("gap confirmed", "repeat", "leave it"),
}
SHORT = (
    ("ninety",), ("seventy five millimetres",), ("nineteen",), ("ninety", "one hundred"), ("ninety", "ninety five"),
    ("ninety", "one hundred", "gate", "one thousand", "ten"), ("ninety", "one hundred", "gate", "one thousand", "ten", "twelve"),
)  # fmt: skip
"""Numbers that are not said in groups: what is said before each, and the number."""
BREATHS = (0.2, 0.3, 0.4)


INCHES = ("work in inches", "three and a half inches", "four inches")
"""The lines that bring a conversation to the first opening in inches."""
FEET = (
    ("six feet", "and a quarter"),
    ("ten feet four", "and five sixteenths"),
    ("seventy two", "and a half"),
    ("ninety six", "and three eighths"),
)
"""Lengths, where people breathe."""


def ends(hearing: Hearing, site: Site, lines: tuple[str, ...], sound: Samples, random: Random) -> list[float]:
    """When each utterance ended, counted from the end of the sound; ``lines`` bring the conversation to where it is said."""
    talk = Talk(*lines)
    recogniser = hearing.recogniser
    recogniser.forget()
    hearing.tune(talk.conversation.phrases(), talk.conversation.ending, talk.conversation.expected())
    silence = (np.zeros(round(s * SAMPLE_RATE), np.int16) for s in (random.uniform(1.0, 3.0), 2.5))
    before, after = silence
    whole = np.concatenate([before, sound, after])
    at = random.randrange(len(site.noise))
    mixed = whole.astype(np.int32) + site.noise[(at + np.arange(len(whole))) % len(site.noise)]
    mixed = np.clip(mixed, -32768, 32767).astype(np.int16)
    begun = recogniser.time
    found = []
    for start in range(0, len(mixed), BLOCK):
        if recogniser.feed(mixed[start : start + BLOCK]) is not None:
            found.append(recogniser.time - begun - (len(before) + len(sound)) / SAMPLE_RATE)
    return found


def table(name: str, seconds: list[float], count: int) -> None:
    """One line of figures in milliseconds; what ended before the last word counts as early."""
    late = np.array([s for s in seconds if s > 0] or [0.0]) * 1000
    middle, high = np.percentile(late, [50, 95])
    early = sum(s <= 0 for s in seconds)
    figures = f"median {middle:5.0f}   p95 {high:5.0f}   max {late.max():5.0f} ms   ended early {early}"
    print(f"  {name:26} said {count:4}   {figures}", flush=True)


def main() -> None:
    """The figures."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--each", type=int, default=40)
    parser.add_argument("--decibels", type=float, nargs="+", default=[30.0, 10.0])
    parser.add_argument("--voices", nargs="+", choices=sorted(VOICES), default=sorted(VOICES))
    parser.add_argument("--model")
    parser.add_argument("--one-ear", action="store_true", help="the first ear alone")
    given = parser.parse_args()
    hearing = Hearing(Recogniser(find_model(given.model)), print, None if given.one_ear else open_second_ear(print))
    for decibels in given.decibels:
        print(f"{decibels:g} dB")
        sites = [Site.of(name, decibels, seed) for seed, name in enumerate(given.voices)]
        random = Random(1)
        found = []
        for turn in range(given.each):
            site = sites[turn % len(sites)]
            words = words_for(likely_opening(random), Unit.MM, list(Habit)[turn % len(Habit)], random)
            found += ends(hearing, site, TO_REACH[Stage.ASK], site.say(" ".join(words), random), random)
        table("openings", found, given.each)
        found = []
        for turn in range(given.each):
            site, line = sites[turn % len(sites)], SHORT[turn % len(SHORT)]
            found += ends(hearing, site, line[:-1], site.say(line[-1], random), random)
        table("short numbers", found, given.each)
        for stage, commands in COMMANDS.items():
            found = []
            for turn in range(given.each):
                site = sites[turn % len(sites)]
                found += ends(hearing, site, TO_REACH[stage], site.say(random.choice(commands), random), random)
            table(f"commands, {stage.name.lower()}", found, given.each)
        for breath in BREATHS:
            found = []
            for turn in range(given.each):
                site = sites[turn % len(sites)]
                words = words_for(likely_opening(random), Unit.MM, Habit.CARDINAL, random)
                place = 1 + max(words.index(word) for word in ("thousand", "hundred") if word in words[:-1])
                parts = [site.say(" ".join(part), random) for part in (words[:place], words[place:]) if part]
                parts.insert(1, np.zeros(round(breath * SAMPLE_RATE), np.int16))
                found += ends(hearing, site, TO_REACH[Stage.ASK], np.concatenate(parts), random)
            table(f"a breath of {breath:g} s inside", found, given.each)
            found = []
            for turn in range(given.each):
                site = sites[turn % len(sites)]
                before, behind = (site.say(part, random) for part in FEET[turn % len(FEET)])
                quiet = np.zeros(round(breath * SAMPLE_RATE), np.int16)
                found += ends(hearing, site, INCHES, np.concatenate([before, quiet, behind]), random)
            table("the same in inches", found, given.each)


if __name__ == "__main__":
    main()
