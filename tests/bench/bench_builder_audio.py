"""Whole random jobs by sound: a builder's voice, site noise, the recogniser and the conversation, faster than real time.

    python tests/bench/bench_builder_audio.py [--jobs 6] [--decibels 10] [--voices ash birch cedar] [--seed 0] [--transcript FILE]

The builder of tests/builder.py decides from the spoken text alone and only says what the vocabulary holds.  Time is that of the
sound: while the assistant speaks, and for the hold-off after, the microphone counts for nothing, as on a loudspeaker.  Prints wrong
values accepted, turns for a length, jobs stuck, words, and how long after its last word an utterance was known to be over.
"""

from __future__ import annotations

import argparse
import sys
import time
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "tests" / "bench"), str(ROOT)]

from builder import Builder, Tally, Words, add, random_job  # noqa: E402
from site_voices import VOICES, Site  # noqa: E402
from talk import Kept  # noqa: E402

from assistant.conversation import Conversation, Reply  # noqa: E402
from assistant.events import Utterance  # noqa: E402
from assistant.job import Job  # noqa: E402
from assistant.speech.hearing import Hearing  # noqa: E402
from assistant.speech.models import find_model, second_ear  # noqa: E402
from assistant.speech.recogniser import Recogniser  # noqa: E402
from assistant.speech.secondear import SecondEar  # noqa: E402
from assistant.speech.wav import BLOCK, SAMPLE_RATE, Samples  # noqa: E402

PATIENCE_S = 3.0
"""So long after his last word he waits for a reply."""
BREATH_S = (0.2, 1.0)
"""Between the end of a reply (and its tone) and his next word."""


@dataclass
class Heard:
    """Figures of many utterances."""

    over: list[tuple[float, bool, bool]] = field(default_factory=list)
    """Seconds from the end of his last word to the moment when the utterance was known to be over; whether it was a number; whether it
    was heard as it was said."""
    cut: int = 0
    """Utterances ended before he had finished."""
    silent: int = 0
    """Phrases that came to nothing, neither reply nor tone."""
    noise: int = 0
    """Utterances that nobody had said."""


class BySound:
    """The conversation, hearing a voice on a site (`builder.Assistant`)."""

    def __init__(self, recogniser: Recogniser, site: Site, random: Random, figures: Heard, second: SecondEar | None = None) -> None:
        self.site, self.random, self.figures = site, random, figures
        self.recogniser = recogniser
        self.conversation = Conversation(Kept())
        self.made_of_it: Words | None = None
        self._hearing = Hearing(recogniser, lambda text: None, second)
        self._said: Words = ()
        self._at = 0
        recogniser.forget()

    @property
    def job(self) -> Job:
        return self.conversation.state.job

    def begin(self) -> str:
        return self._spoken(self.conversation.open())

    def unasked(self) -> str:
        breath = np.zeros(round(self.random.uniform(*BREATH_S) * SAMPLE_RATE), np.int16)
        return self._listen(breath) or ""

    def answer(self, said: Words, number: bool) -> str:
        sound = self.site.say(" ".join(said), self.random)
        end = self.recogniser.time + len(sound) / SAMPLE_RATE
        self.made_of_it, self._said = None, said
        reply = self._listen(np.concatenate([sound, np.zeros(round(PATIENCE_S * SAMPLE_RATE), np.int16)]), (end, number))
        self.figures.silent += reply is None
        return reply or ""

    def _listen(self, sound: Samples, line: tuple[float, bool] | None = None) -> str | None:
        """Feeds a sound until something is answered; None when nothing is."""
        for start in range(0, len(sound), BLOCK):
            piece = sound[start : start + BLOCK]
            first = self._feed(piece)
            if first is None:
                continue
            utterance = self._hearing.judged(first)
            if line is None:
                self.figures.noise += 1
            elif self.recogniser.time < line[0]:
                self.figures.cut += 1
            else:
                right = utterance.understood and utterance.words == self._said
                self.figures.over.append((self.recogniser.time - line[0], line[1], right))
            self.made_of_it = utterance.words if utterance.understood else None
            return self._spoken(self.conversation.take(utterance))
        return None

    def _feed(self, sound: Samples) -> Utterance | None:
        where = (self._at + np.arange(len(sound))) % len(self.site.noise)
        self._at += len(sound)
        mixed = np.clip(sound.astype(np.int32) + self.site.noise[where], -32768, 32767).astype(np.int16)
        return self.recogniser.feed(mixed)

    def _spoken(self, reply: Reply) -> str:
        """Speaks: deaf for as long as that takes."""
        text = " ".join(reply.spoken)
        if text:
            self._at += round((len(text.split()) * 0.4 + 0.6) * SAMPLE_RATE)
            self.recogniser.forget()
        self._hearing.tune(self.conversation.phrases(), self.conversation.ending, self.conversation.expected())
        return text


def table(name: str, seconds: list[float]) -> None:
    """One line of figures in milliseconds."""
    if seconds:
        middle, high = np.percentile(np.array(seconds) * 1000, [50, 95])
        print(f"{name:46} n {len(seconds):4}   median {middle:5.0f}   p95 {high:5.0f}   max {max(seconds) * 1000:5.0f} ms")


def main() -> None:
    """The figures, a line for each job and the sum."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--jobs", type=int, default=6)
    parser.add_argument("--decibels", type=float, default=10.0)
    parser.add_argument("--voices", nargs="+", choices=sorted(VOICES), default=sorted(VOICES))
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--model")
    parser.add_argument("--one-ear", action="store_true", help="the first ear alone")
    parser.add_argument("--transcript", type=Path, help="a file for everything that was said")
    given = parser.parse_args()
    recogniser = Recogniser(find_model(given.model))
    second = None if given.one_ear else SecondEar(second_ear())
    total, figures, log = Tally(), Heard(), []
    for job in range(given.jobs):
        seed = given.seed + job
        random, name = Random(seed), given.voices[job % len(given.voices)]
        began = time.perf_counter()
        builder = Builder(random_job(random), BySound(recogniser, Site.of(name, given.decibels, seed), random, figures, second), random)
        tally = builder.build()
        total = add(total, tally)
        print(
            f"job {seed:3} {name:6} {tally.turns:4} turns, {tally.length_turns} for {tally.lengths} lengths, {tally.wrong} wrong"
            f"{', stuck' if tally.stuck else ''}   {time.perf_counter() - began:.0f} s",
            flush=True,
        )
        log += [f"# job {seed}, {name}", *builder.log, ""]
    print(
        f"wrong values accepted {total.wrong} of {total.lengths}; turns for a length {total.length_turns / total.lengths:.2f}; "
        f"words wrong in lengths {total.misheard / max(1, total.said):.1%}; stuck {total.stuck} of {total.jobs}; "
        f"words spoken a job {total.spoken / total.jobs:.0f}, {total.spoken_measuring / total.jobs:.0f} of them while measuring"
    )
    print("last word to the end of an utterance")
    table("  number, heard right", [s for s, number, right in figures.over if number and right])
    table("  command, heard right", [s for s, number, right in figures.over if right and not number])
    table("  misheard or refused", [s for s, _, right in figures.over if not right])
    print(f"cut short {figures.cut}, no answer at all {figures.silent}, nobody spoke {figures.noise}")
    if given.transcript:
        given.transcript.write_text("\n".join(log), encoding="utf-8")


if __name__ == "__main__":
    main()
