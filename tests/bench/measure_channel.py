"""Measure what the recogniser makes of what a builder says, word by word, and write it as a channel.

    python tests/bench/measure_channel.py [--model PATH] [--each 120] [--out tests/bench/channel.json]

Speech is synthesised (voices that were not in training), clean and with building-site noise 10 dB below it, and heard under the very
phrase lists of the conversation at that point.  Needed: what audio_fixtures/make_fixtures.py needs, and espeak-ng.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import tempfile
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

import jiwer
import numpy as np
import soundfile
import soxr

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "audio_fixtures"), str(ROOT)]

from channel import DROPPED  # noqa: E402
from listening import hear  # noqa: E402
from make_fixtures import HISS, LEVEL, festival, pico  # noqa: E402
from site_noise import RATE, add_noise  # noqa: E402
from wordings import Habit, Words, is_correction, likely_opening, words_for  # noqa: E402

from assistant.conversation import Conversation  # noqa: E402
from assistant.job import Fact  # noqa: E402
from assistant.language.guide import helpful  # noqa: E402
from assistant.language.vocabulary import Stage  # noqa: E402
from assistant.setout.lengths import Unit  # noqa: E402
from assistant.speech.models import find_model  # noqa: E402
from assistant.speech.recogniser import Grammar, Recogniser  # noqa: E402

NOISE_DB = 10.0
NUMBER_PAUSE = 0.5
"""The pause that a number may hold, as the assistant listens for it."""


class Nothing:
    """A keeper that keeps nothing."""

    def append(self, facts: tuple[Fact, ...], heard: str = "") -> None:
        pass


@dataclass
class Counts:
    """What came out in one condition."""

    said: Counter[str] = field(default_factory=Counter)
    errors: dict[str, Counter[str]] = field(default_factory=lambda: defaultdict(Counter))
    utterances: int = 0
    lost: int = 0
    exact: int = 0
    numbers: int = 0
    numbers_wrong: int = 0
    numbers_still: int = 0

    def take(self, said: Words, heard: Words | None, number: bool) -> None:
        """One utterance and what was made of it."""
        self.utterances += 1
        self.numbers += number
        if heard is None:
            self.lost += 1
            return
        self.said.update(said)
        self.exact += heard == said
        if number and heard != said:
            self.numbers_wrong += 1
            self.numbers_still += is_correction(heard)
        pairs = [[word, word] for word in said]
        for chunk in jiwer.process_words(" ".join(said), " ".join(heard)).alignments[0]:
            place = slice(chunk.ref_start_idx, chunk.ref_end_idx)
            other = heard[chunk.hyp_start_idx : chunk.hyp_end_idx]
            if chunk.type == "substitute":
                for pair, word in zip(pairs[place], other, strict=True):
                    pair[1] = word
            elif chunk.type == "delete":
                for pair in pairs[place]:
                    pair[1] = DROPPED
            elif chunk.type == "insert":
                near = pairs[max(0, chunk.ref_start_idx - 1)]
                near[1] = " ".join((near[1], *other)) if chunk.ref_start_idx else " ".join((*other, near[1]))
        for word, outcome in pairs:
            if outcome != word:
                self.errors[word][outcome] += 1

    def result(self) -> dict[str, object]:
        """The counts as they are written."""
        wrong = sum(sum(counts.values()) for counts in self.errors.values())
        return {
            "utterances": self.utterances,
            "exact": round(self.exact / self.utterances, 4),
            "lost": round(self.lost / self.utterances, 4),
            "word_error_rate": round(wrong / self.said.total(), 4),
            "numbers": self.numbers,
            "numbers_wrong": self.numbers_wrong,
            "still_number": round(self.numbers_still / max(1, self.numbers_wrong), 4),
            "said": dict(sorted(self.said.items())),
            "errors": {word: dict(self.errors[word].most_common()) for word in sorted(self.errors)},
        }


def espeak(text: str, voice: str) -> np.ndarray:
    """A sentence by an espeak-ng voice."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "line.wav"
        subprocess.run(["espeak-ng", "-v", voice, "-s", "150", "-w", str(path), text], check=True)
        sound, rate = soundfile.read(path)
    return soxr.resample(sound, rate, RATE)


VOICES = {
    "festival slt": (festival, "voice_cmu_us_slt_arctic_hts"),
    "pico en-GB": (pico, "en-GB"),
    "pico en-US": (pico, "en-US"),
    "espeak-ng en-us": (espeak, "en-us"),
}

TO_REACH: dict[Stage, tuple[str, ...]] = {
    Stage.ASK: ("ninety", "one hundred"),
    Stage.HUB: ("ninety", "one hundred", "1815", "the same"),
    Stage.GAP: ("ninety", "one hundred", "1815", "the same", "start marking"),
    Stage.CAUTION: ("ninety", "one hundred", "1815", "the same", "start marking", "gap confirmed"),
    Stage.WALK: ("ninety", "one hundred", "1815", "the same", "start marking", "gap confirmed", "understood"),
    Stage.CHOOSE: ("ninety", "one hundred", "eighteen fifteen"),
    Stage.DOUBT: ("ninety", "one hundred", "12000"),
}
"""The lines that bring a conversation to each stage."""


def at(stage: Stage) -> Conversation:
    """A conversation at a stage."""
    conversation = Conversation(Nothing())
    conversation.open()
    for line in TO_REACH[stage]:
        conversation.typed(line)
    assert conversation.state.stage is stage, (stage, conversation.state.stage)
    return conversation


def said(random: Random, each: int) -> Iterator[tuple[Stage, Words, bool]]:
    """(stage, words, whether they are a number): so many lengths and as many corrections, and every phrase help names."""
    for number in range(each):
        habit = list(Habit)[number % len(Habit)]
        yield Stage.ASK, words_for(likely_opening(random), Unit.MM, habit, random), True
        stage = Stage.ASK if number % 2 else Stage.HUB
        yield stage, ("no", *words_for(likely_opening(random), Unit.MM, habit, random)), True
    for stage in TO_REACH:
        for phrase in helpful(stage):
            words = tuple(phrase.templates[0].split())
            if not any(word.startswith("<") for word in words):
                yield stage, words, False
    for mark in range(2, 30, 3):
        yield Stage.WALK, ("go", "to", "mark", *words_for(mark, Unit.MM, Habit.CARDINAL, Random(0))[:2]), False
    for _ in range(each // 8):
        for stage, line in COMMON:
            yield stage, tuple(line.split()), False


COMMON = (
    (Stage.WALK, "next"), (Stage.WALK, "next"), (Stage.WALK, "repeat"), (Stage.WALK, "back"), (Stage.WALK, "stop"),
    (Stage.ASK, "the same"), (Stage.ASK, "no"), (Stage.ASK, "undo"), (Stage.HUB, "next bay"), (Stage.HUB, "gate"),
    (Stage.HUB, "all measured"), (Stage.HUB, "start marking"), (Stage.GAP, "gap confirmed"),
    (Stage.CAUTION, "understood"), (Stage.CHOOSE, "the first"), (Stage.CHOOSE, "the second"), (Stage.DOUBT, "yes"),
    (Stage.DOUBT, "no"), (Stage.HUB, "carry on"),
)  # fmt: skip


def spoken(words: Words, voice: str) -> np.ndarray:
    """The words by a voice, with half a second of silence around them and a recorder's hiss."""
    make, name = VOICES[voice]
    sound = make(" ".join(words), name)
    loud = np.flatnonzero(np.abs(sound) > 0.01 * np.abs(sound).max())
    sound = sound[loud[0] : loud[-1] + 1]
    quiet = np.zeros(RATE // 2)
    whole = np.concatenate([quiet, sound * (LEVEL / np.abs(sound).max()), quiet, quiet]) * 32767
    return np.rint(whole + np.random.default_rng(1).normal(0, HISS, len(whole))).astype(np.int16)


def main() -> None:
    """Measure and write."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--model")
    arguments.add_argument("--each", type=int, default=120, help="lengths, and corrections, by each voice")
    arguments.add_argument("--out", type=Path, default=ROOT / "tests" / "bench" / "channel.json")
    given = arguments.parse_args()
    recogniser = Recogniser(find_model(given.model))
    grammars = {}
    for stage in TO_REACH:
        conversation = at(stage)
        known = [phrase for phrase in conversation.phrases() if not recogniser.missing(phrase.split())]
        pause = NUMBER_PAUSE if conversation.expects_number() else 0.0
        grammars[stage] = Grammar(tuple(known), pause=pause)
    counts = {"clean": Counts(), "site": Counts()}
    for place, voice in enumerate(VOICES):
        for index, (stage, words, number) in enumerate(said(Random(2026 + place), given.each)):
            clean = spoken(words, voice)
            for condition, samples in (("clean", clean), ("site", add_noise(clean, NOISE_DB, index))):
                heard = hear(recogniser, samples, grammars[stage])
                understood = bool(heard) and all(part.understood for part in heard)
                joined = tuple(word for part in heard for word in part.words)
                counts[condition].take(words, joined if understood and joined else None, number)
    written = {
        "made_by": "tests/bench/measure_channel.py",
        "voices": list(VOICES),
        "noise_decibels_below_speech": {"clean": None, "site": NOISE_DB},
        "conditions": {condition: found.result() for condition, found in counts.items()},
    }
    given.out.write_text(json.dumps(written, indent=1) + "\n", encoding="utf-8")
    for condition, found in counts.items():
        print(condition, {key: value for key, value in found.result().items() if not isinstance(value, dict)})


if __name__ == "__main__":
    main()
