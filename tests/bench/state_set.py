"""Recordings of everything that can be said at four points of a job, by voices no model was trained on, for `site-assistant evaluate`.

    python tests/bench/state_set.py FOLDER [--each 40] [--decibels 10 5]
    site-assistant evaluate FOLDER/manifest.tsv --grammar FOLDER/grammar.json --points FOLDER/points.json --decoys models/site-en/decoys.txt

Kinds: ask_mm and ask_in, an opening asked for in millimetres or in inches; hub, between bays; walk, while marks are called.  Each
voice says as many lengths, and every command of hub and walk that holds no number.  The grammar is what the conversation
listens for at that point.  Needed: what audio_fixtures/make_fixtures.py needs.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from random import Random

import numpy as np
import soundfile

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "audio_fixtures"), str(ROOT / "tests" / "bench"), str(ROOT)]

from site_noise import RATE, add_noise  # noqa: E402
from site_voices import VOICES, Samples, voice  # noqa: E402
from talk import TO_REACH, Talk  # noqa: E402
from wordings import Habit, Words, likely_opening, words_for  # noqa: E402

from assistant.language.guide import helpful  # noqa: E402
from assistant.language.vocabulary import Stage  # noqa: E402
from assistant.points import write_points  # noqa: E402
from assistant.setout.lengths import Unit, inches  # noqa: E402

QUIET = RATE // 2
HISS = 4.0
"""The recorder's own noise, in 16-bit steps."""

POINTS = {
    "ask_mm": Talk(*TO_REACH[Stage.ASK]),
    "ask_in": Talk("work in inches", "three and a half inches", "four inches"),
    "hub": Talk(*TO_REACH[Stage.HUB]),
    "walk": Talk(*TO_REACH[Stage.WALK]),
}


def said(kind: str, each: int, random: Random) -> Iterator[Words]:
    """What one voice says at one point."""
    if kind == "ask_mm":
        for number in range(each):
            yield words_for(likely_opening(random), Unit.MM, list(Habit)[number % len(Habit)], random)
    elif kind == "ask_in":
        for _ in range(each):
            yield words_for(inches(Fraction(random.randint(28 * 16, 114 * 16), 16)), Unit.INCH, Habit.CARDINAL, random)
    else:
        for phrase in helpful(Stage.HUB if kind == "hub" else Stage.WALK):
            words = tuple(phrase.templates[0].split())
            if not any(word.startswith("<") for word in words):
                yield words


def recorded(sound: Samples, seed: int) -> Samples:
    """The phrase with half a second before and a second behind it, and a recorder's hiss."""
    whole = np.concatenate([np.zeros(QUIET), sound, np.zeros(2 * QUIET)])
    return np.rint(whole + np.random.default_rng(seed).normal(0, HISS, len(whole))).clip(-32768, 32767).astype(np.int16)


def main() -> None:
    """Make the recordings, the manifest and the grammar."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--each", type=int, default=40, help="lengths by each voice")
    parser.add_argument("--decibels", type=float, nargs="*", default=[10.0, 5.0], help="speech above the site noise")
    given = parser.parse_args()
    given.folder.mkdir(parents=True, exist_ok=True)
    lines = ["path\ttranscript\tkind\tspeaker\tsnr_db"]
    for kind in POINTS:
        for place, name in enumerate(sorted(VOICES)):
            for words in said(kind, given.each, Random(place)):
                clean = recorded(voice(name, " ".join(words)), len(lines))
                for level in ("", *given.decibels):
                    path = f"{len(lines):05d}.wav"
                    sound = clean if level == "" else add_noise(clean, level, len(lines))
                    soundfile.write(given.folder / path, sound, RATE)
                    lines.append(f"{path}\t{' '.join(words)}\t{kind}\t{name}\t{level if level == '' else f'{level:g}'}")
    (given.folder / "manifest.tsv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    grammar = {kind: list(talk.conversation.phrases()) for kind, talk in POINTS.items()}
    write_points(given.folder / "points.json", {kind: talk.conversation.expected() for kind, talk in POINTS.items()})
    (given.folder / "grammar.json").write_text(json.dumps(grammar), encoding="utf-8")
    print(len(lines) - 1, "recordings")


if __name__ == "__main__":
    main()
