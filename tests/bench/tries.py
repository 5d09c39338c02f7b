"""Many tries in many processes, and one table of what came of them; shared by the benches that spoil things on purpose.

The tries are dealt out in blocks, each with chances of its own: the same seed gives the same tries whatever the number of workers.
"""

from __future__ import annotations

import argparse
import os
import resource
import sys
from collections import Counter
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from time import perf_counter
from typing import TypeAlias

for library in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(library, "1")  # one process a core is enough

ROOT = Path(__file__).resolve().parents[2]
for folder in (ROOT / "audio_fixtures", ROOT / "tests", ROOT):
    sys.path.insert(0, str(folder))

BROKEN = "broken"
"""What the name of an outcome begins with that must not be."""


@dataclass(slots=True)
class Tally:
    """What came of some tries."""

    times: Counter[str] = field(default_factory=Counter)
    """How often each outcome came."""
    slowest: float = 0.0
    """Seconds of the slowest single thing that was timed."""
    memory: int = 0
    """MiB at most in one process."""

    def add(self, outcome: str, seconds: float = 0.0, *, what: str = "") -> None:
        """One more; what is broken is printed at once with what it was."""
        self.times[outcome] += 1
        self.slowest = max(self.slowest, seconds)
        if outcome.startswith(BROKEN):
            print(f"{what}: {outcome}", flush=True)


Block: TypeAlias = Callable[[Random, int], Tally]
"""Makes so many tries with the chances given.  A function of a module: it is called in another process."""


def options(about: str | None, count: int, arguments: Sequence[str] | None = None, *more: tuple[str, str]) -> argparse.Namespace:
    """SEED, COUNT and --workers from the command line, and further words by name and help."""
    parser = argparse.ArgumentParser(description=(about or "").split("\n", 1)[0])
    parser.add_argument("seed", nargs="?", default="1", help="of the chances (%(default)s)")
    parser.add_argument("count", nargs="?", type=int, default=count, help="how many tries (%(default)s)")
    for name, said in more:
        parser.add_argument(name, help=said, action="store_true") if name.startswith("--") else parser.add_argument(name, help=said)
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1, help="processes at a time (%(default)s)")
    return parser.parse_args(arguments)


def tried(work: Block, given: argparse.Namespace, block: int) -> int:
    """Make all the tries, `block` of them at a time, and print the table; the exit status, 1 where something is broken."""
    start = perf_counter()
    sizes = [min(block, given.count - first) for first in range(0, given.count, block)]
    everything = Tally()
    with ProcessPoolExecutor(max_workers=given.workers) as pool:
        seeds = [f"{given.seed}/{number}" for number in range(len(sizes))]
        for tally in pool.map(_one_block, [work] * len(sizes), seeds, sizes):
            everything.times += tally.times
            everything.slowest = max(everything.slowest, tally.slowest)
            everything.memory = max(everything.memory, tally.memory)
    seconds = perf_counter() - start
    print(f"seed {given.seed}, {given.count} tries by {given.workers} workers in {seconds:.0f} s, {given.count / seconds:.0f} a second")
    print(f"slowest {everything.slowest * 1e3:.0f} ms, at most {everything.memory} MiB in one process")
    return told(everything)


def told(tally: Tally) -> int:
    """Print the table; the exit status."""
    for outcome, times in tally.times.most_common():
        print(f"{times:9d}  {outcome}")
    return int(any(outcome.startswith(BROKEN) for outcome in tally.times))


def _one_block(work: Block, seed: str, count: int) -> Tally:
    tally = work(Random(seed), count)
    tally.memory = memory_used()
    return tally


def memory_used() -> int:
    """MiB that this process has taken at most."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
