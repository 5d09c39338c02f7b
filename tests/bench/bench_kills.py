"""Kill the program again and again at any moment, and look at what is there: nothing that was kept may be gone, and the job goes on.

Run as a script from the repository root: python tests/bench/bench_kills.py [SEED] [COUNT] WAY [--without-voice] [--workers N]
WAY is `type` (the recorded job typed, with --out), `hear` (its recording) or `listen` (spoken line by line into a virtual microphone;
needs pulseaudio, and takes half a minute a try).  Each try begins the command in a process of its own, kills it with SIGKILL, half of the
times at a moment drawn from the length of a whole run and half within a few milliseconds of the moment when something was kept, and then
asks: is every fact for which `append` had returned there, in order and unchanged?  Is no damage told?  Does `resume --type` go on with the
job, take further lines, and keep what comes of them?  Is every file under --out whole?  Has the speech worker gone as well?
"""

from __future__ import annotations

import hashlib
import json
import os
import select
import signal
import sys
import tempfile
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from random import Random

import numpy as np
from tries import BROKEN, ROOT, Tally, options, tried

from assistant import app, cli, live_wiring
from assistant.job import Fact
from assistant.record.store import Store, Writer
from assistant.speech.synthesiser import Synthesiser
from assistant.speech.wav import SAMPLE_RATE, read_wav, silence

BLOCK = {"type": 16, "hear": 16, "listen": 4}
"""Tries one after another by one worker."""
LOADED = (app, live_wiring)
"""Loaded here, once, and not by each process anew."""
LINES = [line["say"] for line in json.loads((ROOT / "audio_fixtures/job/job.json").read_text(encoding="utf-8"))["lines"]]
RECORDING = ROOT / "audio_fixtures/job/job.flac"
GOING_ON = (
    "carry on", "yes", "understood", "start marking", "gap confirmed", "understood", "next", "leave it", "next bay",
    "ninety", "two thousand",
)  # fmt: skip
"""Whatever is waited for, one of these puts something on record."""
AROUND_S = 0.004
"""Seconds behind the moment at which something was kept."""
MOST_S = 300.0
"""A run that takes longer hangs."""
SPOKEN_LINES = 8
"""Lines of the recording that are spoken in a run of `listen`."""
REPLY_S = 5.0
"""Seconds given to a spoken reply."""


def chained(facts: Iterable[Fact]) -> str:
    """One short text that stands for these facts in this order."""
    chain = hashlib.sha256()
    for fact in facts:
        chain.update(repr(fact).encode())
    return chain.hexdigest()[:16]


@dataclass
class Run:
    """A command in a process of its own, which tells through a pipe what it has kept."""

    process: int
    told: int
    start: float = field(default_factory=time.monotonic)
    kept: list[tuple[float, int, str]] = field(default_factory=list)
    """When (seconds since the start) so many facts had been kept, and what stands for them."""
    _rest: bytes = b""

    def until(self, happened: Callable[[], bool], deadline: float) -> bool:
        """Reads what is told until that is so or the time is over; False once the process has nothing more to tell."""
        while not happened() and (left := deadline - time.monotonic()) > 0:
            if not select.select([self.told], [], [], left)[0]:
                return True
            content = os.read(self.told, 65536)
            if not content:
                return False
            *lines, self._rest = (self._rest + content).split(b"\n")
            for line in lines:
                count, chain = line.split()
                self.kept.append((time.monotonic() - self.start, int(count), chain.decode()))
        return True

    def workers(self) -> list[int]:
        """The processes that it has started."""
        try:
            return [int(one) for one in Path(f"/proc/{self.process}/task/{self.process}/children").read_text().split()]
        except OSError:
            return []

    def end(self, *, kill: bool) -> int:
        """Kills it, or waits for it; its exit status, below 0 for a signal."""
        if kill:
            os.kill(self.process, signal.SIGKILL)
        _, status = os.waitpid(self.process, 0)
        self.until(lambda: False, time.monotonic() + 0.05)
        os.close(self.told)
        return os.waitstatus_to_exitcode(status)


def run(work: Callable[[], int], screen: Path, lines: Iterable[str] = (), *, without_voice: bool = False) -> Run:
    """Begins a command, which gives its exit status; what it shows goes to a file, what it is typed comes from one."""
    typed = screen.with_suffix(".typed")
    typed.write_text("".join(f"{line}\n" for line in lines), encoding="utf-8")
    ours, theirs = os.pipe()
    sys.stdout.flush()
    child = os.fork()
    if child:
        os.close(theirs)
        return Run(child, ours)
    try:
        os.close(ours)
        os.dup2(os.open(screen, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600), 1)
        os.dup2(1, 2)
        sys.stdin = typed.open(encoding="utf-8")
        _tell_what_is_kept(theirs)
        if without_voice:
            Synthesiser.render = lambda self, text: silence(0.3)  # type: ignore[method-assign]
        status = work()
        sys.stdout.flush()
    except BaseException as error:
        print(repr(error), flush=True)
        status = 99
    os._exit(status)


def _tell_what_is_kept(pipe: int) -> None:
    append, facts = Writer.append, []

    def told(self: Writer, more: list[Fact], heard: str = "") -> None:
        if not facts:
            facts.extend(self.facts)
        append(self, more, heard)
        facts.extend(more)
        os.write(pipe, f"{len(facts)} {chained(facts)}\n".encode())

    Writer.append = told  # type: ignore[method-assign,assignment]


class Way:
    """How a job is held: typed, or heard from a file."""

    def __init__(self, name: str, folder: Path, without_voice: bool) -> None:
        self.name, self.folder, self._without_voice = name, folder, without_voice
        self._count = 0
        self.home = self.out = folder

    def begin(self) -> Run:
        """A new job in folders of its own."""
        self._count += 1
        self.home = self.out = self.folder / f"{self._count}"
        self.out.mkdir()
        if self.name == "type":
            self.home = self.out / "home"
            arguments = ["type", "--home", str(self.home), "--out", str(self.out / "paper")]
        else:
            self.home = self.out / "record"
            arguments = ["hear", str(RECORDING), "--out", str(self.out)]
        return run(partial(cli.main, arguments), self.out / "screen.log", LINES, without_voice=self._without_voice)

    def attend(self, running: Run, happened: Callable[[], bool], deadline: float) -> bool:
        """Lets it run until then; False when it ended before."""
        return running.until(happened, deadline)

    def close(self) -> None:
        """Nothing is left open."""


class Listened(Way):
    """A job held by microphone and loudspeaker: virtual ones, and the recording spoken line by line."""

    def __init__(self, folder: Path, without_voice: bool) -> None:
        super().__init__("listen", folder, without_voice)
        sys.path.insert(0, str(ROOT / "tests/speech"))
        from listening import read_recording
        from site_noise import noise_bed
        from virtual_devices import VirtualRoom

        (folder / "room").mkdir()
        self._room = VirtualRoom(folder / "room")
        self._room.start()
        os.environ.update(self._room.environment)
        self._room.hum(np.rint(noise_bed(20, seed=1) * 100).astype(np.int16))
        sound = read_wav(RECORDING)
        self._lines = [
            sound[round((line.start - 0.1) * SAMPLE_RATE) : round((line.end + 0.1) * SAMPLE_RATE)] for line in read_recording().lines
        ][:SPOKEN_LINES]

    def begin(self) -> Run:
        """A new job; it is spoken to in `attend`."""
        from virtual_devices import LOUDSPEAKER, MICROPHONE

        self._count += 1
        self.home = self.out = self.folder / f"{self._count}"
        self.out.mkdir()
        arguments = ["listen", "--home", str(self.home), "--mic", MICROPHONE, "--speaker", LOUDSPEAKER]
        return run(partial(cli.main, arguments), self.out / "screen.log", without_voice=self._without_voice)

    def attend(self, running: Run, happened: Callable[[], bool], deadline: float) -> bool:
        """Speaks line by line meanwhile; a line that nothing was kept for is spoken once more."""
        waited = min(deadline, time.monotonic() + 2 * REPLY_S)  # for the welcome
        for sound in np.repeat(np.arange(len(self._lines)), 2):
            if not running.until(happened, waited):
                return False
            if happened() or time.monotonic() >= deadline:
                return True
            known = len(running.kept)
            self._room.speak(self._lines[sound])
            waited = min(deadline, time.monotonic() + len(self._lines[sound]) / SAMPLE_RATE + 2.0)
            if not running.until(lambda known=known: happened() or len(running.kept) > known, waited):
                return False
            waited = min(deadline, time.monotonic() + REPLY_S)
        return running.until(happened, deadline)

    def close(self) -> None:
        """The sound server ends."""
        self._room.kill()


def left_behind(workers: list[int]) -> bool:
    """Whether one of these is still there after ten seconds."""
    deadline = time.monotonic() + 10
    while time.monotonic() < deadline:
        if not any(alive(one) for one in workers):
            return False
        time.sleep(0.05)
    return True


def alive(process: int) -> bool:
    """Whether a process runs still; one that has ended and was not fetched does not."""
    try:
        return Path(f"/proc/{process}/stat").read_text().rsplit(")", 1)[1].split()[0] != "Z"
    except OSError:
        return False


def half_written(folder: Path) -> list[str]:
    """The files made of the job that are not whole."""
    ends = {".json": b"}\n", ".pdf": b"%%EOF", ".html": b"</html>"}
    made = [path for path in folder.glob("*") if path.suffix in (*ends, ".csv", ".txt")] if folder.is_dir() else []
    return [path.name for path in made if not path.read_bytes().rstrip().endswith(ends.get(path.suffix, b"").rstrip())]


def outcome(way: Way, running: Run, status: int, workers: list[int]) -> str:
    """What was found after the end of a run; "broken" is what must not be."""
    store = Store(way.home)
    count, chain = running.kept[-1][1:] if running.kept else (0, chained(()))
    if status not in (0, -signal.SIGKILL):
        faults = "".join(path.read_text() for path in way.out.rglob("faults.txt"))
        return f"broken: it ended by itself: status {status}, {(way.out / 'screen.log').read_text()[-300:]!r}, {faults[-1000:]}"
    if workers and left_behind(workers):
        return "broken: the speech worker was left behind"
    if way.name == "type" and (bad := half_written(way.out / "paper")):
        return f"broken: half a file: {bad}"
    if not store.numbers():
        return "broken: the job is gone" if count else "killed before there was a job"
    with store.open(1) as writer:
        if writer.notices:
            return f"broken: damage told: {writer.notices}"
        before = writer.facts
    if len(before) < count or chained(before[:count]) != chain:
        return "broken: a fact that was kept is gone"
    again = run(partial(cli.main, ["resume", "--type", "--home", str(way.home)]), way.out / "resumed.log", GOING_ON)
    done = again.end(kill=False)
    shown = (way.out / "resumed.log").read_text()
    after = store.facts(1)
    if done or shown.count("assistant  ") < len(GOING_ON) or after[: len(before)] != before or len(after) <= len(before):
        return f"broken: not gone on with: status {done}, {len(before)} facts before, {len(after)} after, shown {shown[-300:]!r}"
    if status == 0:
        return "ended before the kill, every fact kept, gone on with"
    return f"every fact kept, gone on with; killed {'with a fact on its way' if len(before) > count else 'between facts'}"


def killed(random: Random, count: int) -> Tally:
    """That many runs killed."""
    tally = Tally()
    with tempfile.TemporaryDirectory() as name:
        way = Listened(Path(name), GIVEN.without_voice) if GIVEN.way == "listen" else Way(GIVEN.way, Path(name), GIVEN.without_voice)
        try:
            length, moments = _whole_run(way)
            for _ in range(count):
                running = way.begin()
                if random.random() < 0.5:
                    there = way.attend(running, lambda: False, running.start + random.uniform(0, length))
                else:
                    at = random.randint(1, moments)
                    there = way.attend(running, lambda at=at, told=running.kept: len(told) >= at, running.start + length + 10)
                    time.sleep(random.uniform(0, AROUND_S))
                workers = running.workers()
                status = running.end(kill=there)
                result = outcome(way, running, status, workers)
                tally.add(result.split(": ", 2)[0] + ": " + result.split(": ", 2)[1] if result.startswith(BROKEN) else result, what=result)
        finally:
            way.close()
    return tally


def _whole_run(way: Way) -> tuple[float, int]:
    """Seconds that a run takes which is not killed, and how often something is kept in it."""
    if isinstance(way, Listened):
        return SPOKEN_LINES * (REPLY_S + 2.0) + 2 * REPLY_S, SPOKEN_LINES // 2
    running = way.begin()
    if way.attend(running, lambda: False, running.start + MOST_S):
        running.end(kill=True)
        raise SystemExit("a run that was not killed does not end")
    running.end(kill=False)
    return time.monotonic() - running.start, max(1, len(running.kept))


if __name__ == "__main__":
    GIVEN = options(__doc__, 2000, None, ("way", "type, hear or listen"), ("--without-voice", "silence for speech, where no voice is"))
    sys.exit(tried(killed, GIVEN, BLOCK[GIVEN.way]))
