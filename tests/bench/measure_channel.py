"""Measure what both ears make of what a builder says, word by word, and write it as a channel.

    python tests/bench/measure_channel.py [--model PATH] [--each 120] [--speech FOLDER] [--workers N] [--out tests/bench/channel.json]

Speech is synthesised (voices that were not in training), clean and with building-site noise 10 dB below it, and heard by both ears, bound
to what can be said at that point of the conversation.  With --speech what was synthesised is kept in a folder, and taken from there.
Needed: what audio_fixtures/make_fixtures.py needs, and espeak-ng.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import multiprocessing
import os
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
from make_fixtures import HISS, LEVEL, festival, pico  # noqa: E402
from site_noise import RATE, add_noise  # noqa: E402
from talk import TO_REACH, Talk  # noqa: E402
from wordings import Habit, Words, is_correction, likely_opening, words_for  # noqa: E402

from assistant.language.guide import helpful  # noqa: E402
from assistant.language.vocabulary import Stage  # noqa: E402
from assistant.setout.lengths import Unit  # noqa: E402
from assistant.speech.hearing import Hearing  # noqa: E402
from assistant.speech.models import find_model, second_ear  # noqa: E402
from assistant.speech.recogniser import Recogniser  # noqa: E402
from assistant.speech.secondear import SecondEar  # noqa: E402
from assistant.speech.wav import blocks  # noqa: E402

NOISE_DB = 10.0


@dataclass
class Shares:
    """What became of the utterances of one kind."""

    said: int = 0
    lost: int = 0
    again: int = 0
    """Asked for once more."""
    which: int = 0
    """Asked which of two it was, the right one among them."""
    neither: int = 0
    """Asked which of two, both wrong."""
    wrong: int = 0
    still: int = 0
    """Wrong, and the number could be read as one all the same."""

    def result(self) -> dict[str, float | int]:
        """Shares of what was said; `still_number` of what was wrong."""
        lost, again, which, neither, wrong = (
            round(count / max(1, self.said), 4) for count in (self.lost, self.again, self.which, self.neither, self.wrong)
        )
        return {
            "said": self.said, "lost": lost, "again": again, "which": which, "neither": neither, "wrong": wrong,
            "still_number": round(self.still / max(1, self.wrong), 4),
        }  # fmt: skip


@dataclass
class Counts:
    """What came out in one condition."""

    said: Counter[str] = field(default_factory=Counter)
    errors: dict[str, Counter[str]] = field(default_factory=lambda: defaultdict(Counter))
    numbers: Shares = field(default_factory=Shares)
    phrases: Shares = field(default_factory=Shares)

    def take(self, said: Words, heard: Heard, number: bool) -> None:
        """One utterance and what was made of it."""
        shares = self.numbers if number else self.phrases
        shares.said += 1
        if heard.words is None:
            shares.lost += 1
            return
        if heard.doubt:
            shares.again += len(heard.doubt) == 1
            shares.which += len(heard.doubt) > 1 and heard.doubt_right
            shares.neither += len(heard.doubt) > 1 and not heard.doubt_right
            return
        self.said.update(said)
        if heard.right:
            return  # other words of the same meaning are no error
        shares.wrong += 1
        shares.still += number and is_correction(heard.words)
        pairs = [[word, word] for word in said]
        for chunk in jiwer.process_words(" ".join(said), " ".join(heard.words)).alignments[0]:
            place = slice(chunk.ref_start_idx, chunk.ref_end_idx)
            other = heard.words[chunk.hyp_start_idx : chunk.hyp_end_idx]
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
            "numbers": self.numbers.result(),
            "phrases": self.phrases.result(),
            "word_error_rate": round(wrong / self.said.total(), 4),
            "said": dict(sorted(self.said.items())),
            "errors": {word: dict(self.errors[word].most_common()) for word in sorted(self.errors)},
        }


@dataclass(frozen=True)
class Heard:
    """What both ears made of one thing that was said."""

    words: Words | None
    """None: nothing that was for us."""
    doubt: tuple[Words, ...] = ()
    right: bool = False
    """Whether what is taken has the meaning of what was said."""
    doubt_right: bool = False
    """Whether one of those that are asked about has it."""


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

STAGES = tuple(stage for stage in TO_REACH if stage is not Stage.ASLEEP)


def said(random: Random, each: int) -> Iterator[tuple[Stage, Words, bool]]:
    """(stage, words, whether they are a number): so many lengths and as many corrections, and every phrase help names."""
    for number in range(each):
        habit = list(Habit)[number % len(Habit)]
        yield Stage.ASK, words_for(likely_opening(random), Unit.MM, habit, random), True
        stage = Stage.ASK if number % 2 else Stage.HUB
        yield stage, ("no", *words_for(likely_opening(random), Unit.MM, habit, random)), True
    for stage in STAGES:
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


@dataclass(frozen=True)
class Task:
    """One thing to say and to hear."""

    voice: str
    number: int
    """Which of the things this voice says; also the seed of the noise."""
    stage: Stage
    words: Words
    is_number: bool
    speech: Path

    def sound(self) -> np.ndarray:
        """What is said."""
        return soundfile.read(self.keep(), dtype="int16")[0]

    def keep(self) -> Path:
        """Speaks it, unless it is kept from another time, and keeps it."""
        name = hashlib.sha256(f"{self.voice} {' '.join(self.words)}".encode()).hexdigest()[:20]
        path = self.speech / f"{name}.flac"
        if not path.exists():
            unfinished = path.with_suffix(f".{os.getpid()}")
            soundfile.write(unfinished, spoken(self.words, self.voice), RATE, format="FLAC")
            unfinished.replace(path)
        return path


class Ears:
    """Both ears, and the conversation at each stage."""

    def __init__(self, model: str | None) -> None:
        self.hearing = Hearing(Recogniser(find_model(model)), print, SecondEar(second_ear()))
        self.at = {stage: Talk(*TO_REACH[stage]).conversation for stage in STAGES}

    def hear(self, task: Task, samples: np.ndarray) -> Heard:
        """What comes of one recording; of several utterances in it the first that is not passed over decides."""
        conversation = self.at[task.stage]
        expected = conversation.expected()
        self.hearing.recogniser.forget()
        self.hearing.tune(conversation.phrases(), conversation.ending, expected)
        wanted = expected.meaning(task.words)
        for block in (*blocks(samples), None):
            first = self.hearing.recogniser.flush() if block is None else self.hearing.recogniser.feed(block)
            utterance = None if first is None else self.hearing.judged(first)
            if utterance is not None and utterance.understood and utterance.words:
                meant = [expected.meaning(words) == wanted for words in utterance.doubt]
                right = wanted is not None and expected.meaning(utterance.words) == wanted
                return Heard(utterance.words, utterance.doubt, right, any(meant))
        return Heard(None)


_EARS: list[Ears] = []


def _begin(model: str | None) -> None:
    _EARS.append(Ears(model))


def _heard(task: Task) -> tuple[Task, Heard, Heard]:
    clean = task.sound()
    return task, _EARS[0].hear(task, clean), _EARS[0].hear(task, add_noise(clean, NOISE_DB, task.number))


def main() -> None:
    """Measure and write."""
    arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("--model")
    arguments.add_argument("--each", type=int, default=120, help="lengths, and corrections, by each voice")
    arguments.add_argument("--speech", type=Path, help="folder of what was synthesised")
    arguments.add_argument("--speak-only", action="store_true", help="synthesise into that folder, and hear nothing")
    arguments.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    arguments.add_argument("--out", type=Path, default=ROOT / "tests" / "bench" / "channel.json")
    given = arguments.parse_args()
    with tempfile.TemporaryDirectory() as passing:
        speech = given.speech or Path(passing)
        speech.mkdir(parents=True, exist_ok=True)
        tasks = [
            Task(voice, index, stage, words, number, speech)
            for place, voice in enumerate(VOICES)
            for index, (stage, words, number) in enumerate(said(Random(2026 + place), given.each))
        ]
        if given.speak_only:
            with multiprocessing.get_context("spawn").Pool(given.workers) as pool:
                pool.map(Task.keep, tasks, chunksize=8)
            return
        counts = {"clean": Counts(), "site": Counts()}
        with multiprocessing.get_context("spawn").Pool(given.workers, _begin, (given.model,)) as pool:
            for task, clean, site in pool.imap_unordered(_heard, tasks, chunksize=4):
                counts["clean"].take(task.words, clean, task.is_number)
                counts["site"].take(task.words, site, task.is_number)
    written = {
        "made_by": "tests/bench/measure_channel.py",
        "voices": list(VOICES),
        "noise_decibels_below_speech": {"clean": None, "site": NOISE_DB},
        "conditions": {condition: found.result() for condition, found in counts.items()},
    }
    given.out.write_text(json.dumps(written, indent=1) + "\n", encoding="utf-8")
    for condition, found in counts.items():
        print(condition, "numbers", found.numbers.result())
        print(condition, "phrases", found.phrases.result())


if __name__ == "__main__":
    main()
