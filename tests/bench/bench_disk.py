"""A disk that fails at every single call: each write and each read of a job, of what is made of it, and of the sound that is kept.

Run as a script from the repository root: python tests/bench/bench_disk.py [SCENE] [--workers N]     (Linux, with a C compiler)
`faulty_disk.c` stands before the C library, and so before the database and the sound library too.  For every n the n-th call below one
folder fails, once or from there on, with EIO or ENOSPC, until a whole run passes untouched.  Each time: is what went wrong told in words,
is everything there that was told as kept, can it be gone on with once the disk is well, and are the files that were made whole?  A person
at the keyboard goes on meanwhile; a script ends.  Anything else is printed and makes the exit status 1.
"""

from __future__ import annotations

import argparse
import ctypes
import errno
import io
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from itertools import count, product
from pathlib import Path

import numpy as np
import soundfile
from bench_kills import GOING_ON, LINES, MOST_S, Run, chained, half_written, run
from tries import Tally, told

from assistant import cli
from assistant.errors import AudioError
from assistant.record.store import Store
from assistant.speech.devices import Block
from assistant.speech.kept_sound import KeepingCard, keepable

SHORT = ("ninety", "one hundred", "1815", "the same", "start marking", "gap confirmed", "understood", "next", "next")
"""Lines of a short job."""
BLOCKS = 40
"""Of 50 ms, of the sound that is kept."""


class Terminal(io.StringIO):
    """Lines that a person types."""

    def isatty(self) -> bool:
        """As a terminal does."""
        return True


class Card:
    """A microphone without a device."""

    name = "the loudspeaker"
    overruns = 0
    microphone_lost = loudspeaker_lost = unheard = False

    def open(self) -> None:
        """Nothing to open."""

    def read(self, seconds: float) -> Block | None:
        """A block of sound."""
        return Block(np.ones(800, dtype=np.int16), 0.0, False)

    def close(self) -> None:
        """Nothing to close."""

    reopen = close


@dataclass(frozen=True)
class Scene:
    """What is done while the disk fails, and below which folder it does."""

    name: str
    work: Callable[[Path], int]
    """In a folder which holds `home` with a job, and room for `new` and `out`; the exit status."""
    below: str
    lines: tuple[str, ...] = ()


def command(*words: str) -> Callable[[Path], int]:
    """A command whose words may name the folder as {}."""
    return partial(_command, words)


def _command(words: tuple[str, ...], folder: Path) -> int:
    return cli.main([word.format(folder) for word in words])


def person(folder: Path) -> int:
    """Somebody types at a terminal, and says once more what was not saved."""
    sys.stdin = Terminal("".join(f"{line}\n" for line in SHORT))
    return cli.main(["type", "--home", f"{folder}/new"])


def kept_sound(folder: Path) -> int:
    """Two seconds of what the microphone hears are kept."""
    path = folder / "out" / "kept.wav"
    try:
        keepable(path)
        card = KeepingCard(Card(), path, print)
    except AudioError as error:
        print(f"site-assistant: {error}")
        return 2
    for _ in range(BLOCKS):
        card.read(0.1)
    card.finish()
    return 0


WRITING = (
    Scene("type", command("type", "--home", "{}/new"), "new", SHORT),
    Scene("a person types", person, "new"),
    Scene("resume", command("resume", "--type", "--home", "{}/home"), "home", GOING_ON),
    Scene("type --out", command("type", "--home", "{}/new", "--out", "{}/out"), "out", SHORT),
    Scene("export", command("export", "--home", "{}/home", "--as", "pdf", "--out", "{}/out/sheet.pdf"), "out"),
    Scene("delete", command("delete", "1", "--home", "{}/home"), "home"),
    Scene("keep-audio", kept_sound, "out"),
)
READING = (
    Scene("resume", command("resume", "--type", "--home", "{}/home"), "home", GOING_ON),
    Scene("show", command("show", "--home", "{}/home"), "home"),
    Scene("jobs", command("jobs", "--home", "{}/home"), "home"),
    Scene("export", command("export", "--home", "{}/home"), "home"),
    Scene("type --out", command("type", "--home", "{}/new", "--out", "{}/out"), "new", SHORT),
)


@dataclass(frozen=True)
class Case:
    """A scene, and how the disk fails in it."""

    scene: Scene
    reads: bool
    error: int
    stays: bool

    def __str__(self) -> str:
        way = "from there on" if self.stays else "once"
        return f"{self.scene.name}, {'reads' if self.reads else 'writes'}, {errno.errorcode[self.error]} {way}"


def failing(case: Case, at: int, folder: Path) -> int:
    """The scene with the disk failing at the `at`-th call; what was hit stands in a file beside the folder."""
    disk = ctypes.CDLL(None)
    disk.faulty_disk(os.fsencode(folder / case.scene.below), ctypes.c_long(at), case.error, int(case.reads), int(case.stays))
    try:
        return case.scene.work(folder)
    finally:
        sys.stdout.flush()
        hit = disk.faulty_disk_fired()
        disk.faulty_disk(b"", ctypes.c_long(0), 0, 0, 0)
        folder.with_suffix(".hit").write_text(str(hit), encoding="ascii")


def outcome(case: Case, folder: Path, running: Run, status: int, before: int) -> str:
    """What came of one failure."""
    screen = folder.with_suffix(".log").read_text(encoding="utf-8")
    if status not in (0, 2) or "mistake in this program" in screen or "Traceback" in screen:
        return f"broken: status {status}, {screen[-800:]!r}"
    if status == 2 and "site-assistant: " not in screen:
        return f"broken: ended without a word, {screen[-300:]!r}"
    if bad := half_written(folder / "out"):
        return f"broken: half a file: {bad}"
    if case.scene.work is kept_sound:
        whole = not screen and soundfile.info(str(folder / "out" / "kept.wav")).frames == BLOCKS * 800
        return "told" if screen else "passed" if whole else "broken: sound lost without a word"
    home = folder / ("new" if case.scene.below == "new" or "{}/new" in str(case.scene.work) else "home")
    store = Store(home)
    if case.scene.name == "delete" and not store.numbers():
        return "told" if status else "passed"
    count, chain = running.kept[-1][1:] if running.kept else (before if home.name == "home" else 0, "")
    if not store.numbers():
        return "broken: the job is gone" if count else "told before there was a job" if status else "broken: no job and no word"
    facts = store.facts(1)
    if len(facts) < count or (chain and chained(facts[:count]) != chain):
        return "broken: what was kept is gone"
    again = run(partial(cli.main, ["resume", "--type", "--home", str(home)]), folder.with_suffix(".again"), GOING_ON)
    if again.end(kill=False) or store.facts(1)[: len(facts)] != facts or len(store.facts(1)) <= len(facts):
        return f"broken: not gone on with: {folder.with_suffix('.again').read_text()[-500:]!r}"
    more = "; a refused fact stayed" if len(facts) > count and chain and "not saved" in screen else ""
    if case.scene.work is person and status and running.kept:
        return "broken: the conversation with a person ended"
    return ("told" if status or "not saved" in screen or "damaged" in screen or "lost" in screen else "passed") + more


def every_call(case: Case) -> Tally:
    """All n of a case."""
    tally = Tally()
    with tempfile.TemporaryDirectory() as name:
        model = Path(name) / "model"
        (model / "out").mkdir(parents=True)
        made = run(partial(cli.main, ["type", "--home", str(model / "home")]), Path(name) / "made.log", LINES[:24])
        made.end(kill=False)
        before = len(Store(model / "home").facts(1))
        for at in count(1):
            folder = Path(name) / f"at-{at}"
            shutil.copytree(model, folder)
            running = run(partial(failing, case, at, folder), folder.with_suffix(".log"), case.scene.lines or ("yes", "1"))
            if running.until(lambda: False, time.monotonic() + MOST_S):
                tally.add("broken: it hangs", what=f"{case}, call {at}")
            status = running.end(kill=False)
            hit = folder.with_suffix(".hit")
            if hit.exists() and hit.read_text(encoding="ascii") == "0":
                break
            result = outcome(case, folder, running, status, before)
            tally.add(":".join(result.split(":")[:2]) if result.startswith("broken") else result, what=f"{case}, call {at}: {result}")
            shutil.rmtree(folder)
    print(f"{case}: {dict(tally.times)}", flush=True)
    return tally


def main(scene: str | None, workers: int) -> int:
    """Every case, or those of one scene; the exit status."""
    cases = [Case(scene, False, error, stays) for scene, error, stays in product(WRITING, (errno.EIO, errno.ENOSPC), (False, True))]
    cases += [Case(scene, True, errno.EIO, stays) for scene, stays in product(READING, (False, True))]
    cases = [case for case in cases if scene in (None, case.scene.name)]
    everything = Tally()
    with ProcessPoolExecutor(max_workers=workers) as pool:
        for tally in pool.map(every_call, cases):
            everything.times += tally.times
    return told(everything)


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("scene", nargs="?", help="one of them alone, by its name")
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1, help="processes at a time (%(default)s)")
    given = parser.parse_args()
    if "LD_PRELOAD" not in os.environ:
        with tempfile.TemporaryDirectory() as place:
            library = Path(place) / "faulty_disk.so"
            source = Path(__file__).with_name("faulty_disk.c")
            subprocess.run(["cc", "-shared", "-fPIC", "-o", str(library), str(source), "-ldl"], check=True)
            sys.exit(subprocess.run([sys.executable, *sys.argv], env={**os.environ, "LD_PRELOAD": str(library)}, check=False).returncode)
    sys.exit(main(given.scene, given.workers))
