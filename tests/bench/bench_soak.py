"""Hours of hearing: memory, open files, threads and the record at the start and at the end.

Run as a script from the repository root: python tests/bench/bench_soak.py [MINUTES] [--times 4] [--without-voice]
So many minutes of sound, so many times as fast as it was spoken: the recorded job, with site noise and without, goes round and round with
pauses of noise alone, through both ears, the conversation, the record on the disk and the synthesiser; each round is a new job.  Growth
after the first tenth above MOST_GROWTH, or one more open file, thread or folder for passing files makes the exit status 1.  How many
rounds ended with other facts than the first of their kind is only told: the first ear goes on from what it has heard before.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from tries import ROOT

from assistant.conversation import Conversation
from assistant.record.store import Store
from assistant.scratch import PREFIX
from assistant.speech.hearing import Hearing
from assistant.speech.models import find_model, second_ear
from assistant.speech.recogniser import Recogniser
from assistant.speech.secondear import SecondEar
from assistant.speech.synthesiser import Synthesiser
from assistant.speech.wav import SAMPLE_RATE, Samples, blocks, read_wav, silence

PAUSE_S = 30
MOST_GROWTH = 30.0
"""MiB between the first tenth of the time and its end: what is kept for later, 512 sentences and 12 graphs, fills up meanwhile."""


@dataclass(frozen=True)
class Size:
    """What the program holds."""

    memory: float
    """MiB of this process."""
    worker: float
    """MiB of the processes that it has started."""
    files: int
    threads: int
    scratch: int
    """Folders for passing files."""
    record: int
    """Bytes of all jobs on the disk."""

    def __str__(self) -> str:
        return (
            f"{self.memory:6.1f} MiB, worker {self.worker:5.1f} MiB, {self.files} open files, {self.threads} threads, "
            f"{self.scratch} folders for passing files, record {self.record / 1024:.0f} KiB"
        )


def size(home: Path) -> Size:
    """As it is now (Linux)."""
    status = dict(line.split(":", 1) for line in Path("/proc/self/status").read_text().splitlines())
    children = Path(f"/proc/self/task/{os.getpid()}/children").read_text().split()
    passing = list(Path(tempfile.gettempdir()).glob(f"{PREFIX}*"))
    record = sum(path.stat().st_size for path in home.rglob("*") if path.is_file())
    files = len(os.listdir("/proc/self/fd"))
    return Size(_resident("self"), sum(_resident(one) for one in children), files, int(status["Threads"]), len(passing), record)


def _resident(process: str) -> float:
    lines = Path(f"/proc/{process}/status").read_text().splitlines()
    return next((int(line.split()[1]) / 1024 for line in lines if line.startswith("VmRSS")), 0.0)


class Soak:
    """The round that is repeated, on a clock that runs so many times as fast."""

    def __init__(self, home: Path, times: float, synthesiser: Synthesiser) -> None:
        from site_noise import noise_bed

        self.store, self.home, self._times, self._synthesiser = Store(home), home, times, synthesiser
        self._recogniser = Recogniser(find_model())
        self._hearing = Hearing(self._recogniser, print, SecondEar(second_ear()))
        pause = np.rint(noise_bed(PAUSE_S, seed=9) * 300).astype(np.int16)
        self._rounds = [np.concatenate([read_wav(ROOT / f"audio_fixtures/job/{name}.flac"), pause]) for name in ("job", "site")]
        self._start = time.monotonic()
        self.sound = 0.0
        """Seconds of sound heard so far."""
        self.late = 0.0
        """Seconds by which the hearing was behind the clock at most."""
        self.heard = self.said = 0

    def round(self, number: int) -> int:
        """One job; how many facts it has."""
        job = self.store.create(f"round {number}")
        with self.store.open(job) as writer:
            conversation = Conversation(writer, writer.turns, writer.title)
            conversation.open()
            self._tune(conversation)
            for block in blocks(self._rounds[number % len(self._rounds)]):
                self._wait(block)
                utterance = self._recogniser.feed(block)
                if utterance is not None:
                    self.heard += 1
                    for text in conversation.take(self._hearing.judged(utterance)).spoken:
                        self._synthesiser.render(text)
                        self.said += 1
                    self._tune(conversation)
        self._recogniser.forget()
        return len(self.store.facts(job))

    def _tune(self, conversation: Conversation) -> None:
        self._hearing.tune(conversation.phrases(), conversation.ending, conversation.expected())

    def _wait(self, block: Samples) -> None:
        self.sound += len(block) / SAMPLE_RATE
        ahead = self._start + self.sound / self._times - time.monotonic()
        self.late = max(self.late, -ahead)
        if ahead > 0:
            time.sleep(ahead)


def main(minutes: float, times: float) -> int:
    """Prints a line a round and what has grown; the exit status."""
    with tempfile.TemporaryDirectory() as home:
        tempfile.tempdir = home  # the folders for passing files are counted there
        with Synthesiser() as synthesiser:
            return soaked(Soak(Path(home) / "record", times, synthesiser), minutes, times)


def soaked(soak: Soak, minutes: float, times: float) -> int:
    """Round after round, a line each; the exit status."""
    used, number, unlike = time.process_time(), 0, 0
    first: Size | None = None
    facts: dict[int, int] = {}
    while first is None or soak.sound < minutes * 60:
        kept = soak.round(number)
        unlike += kept != facts.setdefault(number % 2, kept)
        number += 1
        now = size(soak.home)
        if first is None and soak.sound >= minutes * 6:
            first = now
        share = (time.process_time() - used) / soak.sound
        print(f"{soak.sound / 60:6.1f} min  {now}; {share:.1%} of a core for what is spoken; {kept} facts", flush=True)
    grown = now.memory - first.memory
    print(f"\n{number} jobs, {soak.heard} heard, {soak.said} said, at most {soak.late:.1f} s late at {times:g} times speed")
    print(f"start  {first}\nend    {now}")
    print(f"memory {grown:+.1f} MiB; {unlike} rounds with other facts")
    return int(grown > MOST_GROWTH or now.files > first.files or now.threads > first.threads or now.scratch > first.scratch)


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("minutes", nargs="?", type=float, default=120.0, help="of sound (%(default)s)")
    parser.add_argument("--times", type=float, default=4.0, help="as fast as it was spoken (%(default)s)")
    parser.add_argument("--without-voice", action="store_true", help="silence for speech, where no voice is")
    given = parser.parse_args()
    if given.without_voice:
        Synthesiser.render = lambda self, text: silence(0.3)  # type: ignore[method-assign]
    sys.exit(main(given.minutes, given.times))
