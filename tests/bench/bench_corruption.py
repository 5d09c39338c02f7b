"""Damaged records: whatever happens to the bytes, a job is read as far as one copy is sound, and can be gone on with.

Run as a script from the repository root: python tests/bench/bench_corruption.py [SEED] [COUNT] [--workers N]
One job is kept in two forms, closed in order and as a killed program leaves it.  Each try takes one form and spoils one file of it
or several: bits flipped, bytes replaced, the end cut off, the file gone or a folder in its place.  Survived means: the facts read are
the first so many of those that were kept (all, where one copy is untouched), the job opens with just these, and a further fact is there
afterwards.  With both copies hit facts may be lost, and the user is then told so.  Anything else is printed and makes the exit status 1.
With TMPDIR on a disk in memory it takes a minute.
"""

from __future__ import annotations

import re
import shutil
import sys
import tempfile
from fractions import Fraction
from pathlib import Path
from random import Random

from tries import Tally, options, tried

from assistant.errors import RecordError
from assistant.job import BaySet, Fact, MarkCalled, Position
from assistant.measured import Bay
from assistant.record import folder
from assistant.record.store import Store
from assistant.setout.limits import GapLimit

BAY = BaySet(0, Bay(1, (("bottom", Fraction(2160)),), Fraction(90), GapLimit(Fraction(100), True)))
FACTS: tuple[Fact, ...] = (BAY, *(MarkCalled(Position(1, "bottom", mark)) for mark in range(1, 40)))
BLOCK = 50
HEAD = 120
"""Bytes at the beginning of a file that are hit more often: headers."""
LOSS = re.compile("may be lost|(are|is|that is) lost[.,]")
"""What a notice says where facts are missing."""


def forms(root: Path) -> tuple[Path, Path]:
    """The record as it is closed in order, and as it lies on the disk while it is open."""
    closed, open_still = root / "closed", root / "open"
    store = Store(closed)
    with store.open(store.create("fence")) as writer:
        for fact in FACTS:
            writer.append([fact])
        shutil.copytree(closed, open_still)
    return closed, open_still


def spoil(path: Path, random: Random) -> None:
    """Damage one file."""
    if random.random() < 0.1:
        path.unlink()
        if random.random() < 0.5:
            path.mkdir()
        return
    content = bytearray(path.read_bytes())
    for _ in range(random.choice((1, 2, 10, 200))):
        at = random.randrange(len(content) if random.random() < 0.6 else min(len(content), HEAD))
        way = random.random()
        if way < 0.5:
            content[at] ^= 1 << random.randrange(8)
        elif way < 0.9:
            content[at] = random.randrange(256)
        elif len(content) > HEAD:
            del content[random.randrange(HEAD, len(content)) :]
    path.write_bytes(content)


def outcome(home: Path, copies: int) -> str:
    """What became of a record with that many copies hit, in a few words; what begins with "broken" must not be."""
    try:
        kept = Store(home).facts(1)
    except RecordError as error:
        return "both hit, none can be read, and the user is told" if copies > 1 and str(error) else "broken: refused"
    if kept != FACTS[: len(kept)]:
        return "broken: facts that were never kept"
    with Store(home).open(1) as writer:
        if writer.facts != kept:
            return "broken: opened with other facts than shown"
        told = any(LOSS.search(notice) for notice in writer.notices)
        writer.append([FACTS[1]])
    if Store(home).facts(1) != (*kept, FACTS[1]):
        return "broken: a fact that was added is not there"
    if len(kept) == len(FACTS):
        return "every fact kept"
    if copies == 1:
        return "broken: facts lost though one copy was untouched"
    return "both hit, the first facts kept, and the user is told" if told else "broken: facts lost and not told"


def records_spoilt(random: Random, count: int) -> Tally:
    """That many damaged records."""
    tally = Tally()
    with tempfile.TemporaryDirectory() as name:
        sources = forms(Path(name))
        home = Path(name) / "home"
        for _ in range(count):
            shutil.rmtree(home, ignore_errors=True)
            shutil.copytree(random.choice(sources), home)
            files = sorted(path for path in (home / "job-1").iterdir() if path.stat().st_size)
            hit = random.sample(files, random.randrange(1, len(files) + 1))
            for path in hit:
                spoil(path, random)
            try:
                result = outcome(home, len({path.name.startswith(folder.JOURNAL) for path in hit}))
            except Exception as error:
                result = f"broken: {error!r} <- {error.__cause__!r}"
            tally.add(result, what=", ".join(path.name for path in hit))
    return tally


if __name__ == "__main__":
    sys.exit(tried(records_spoilt, options(__doc__, 2000), BLOCK))
