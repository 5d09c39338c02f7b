"""Time and memory of the set-out core: one bay with all its marks, and runs of bays matched.

Run as a script from the repository root: python tests/bench/bench_setout.py
Targets: one bay with its marks in 100 microseconds (median); 100,000 bays matched in 2 s and 300 MB.
"""

from __future__ import annotations

import random
import resource
import statistics
import subprocess
import sys
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from assistant.setout.lengths import Resolution, inches, mm
from assistant.setout.limits import GapLimit
from assistant.setout.marks import Edge, Mark, Origin, marks
from assistant.setout.run import Likeness, match_run
from assistant.setout.spacing import Bay, solve

LIMIT = GapLimit(mm(100), strict=False)
PICKET = mm(70)
SEED = 20
STANDING = (mm(92),)


def metric_bay() -> tuple[Mark, ...]:
    """From numbers to marks: the bay is built, solved and marked."""
    return marks(solve(Bay(mm(2160), PICKET, LIMIT)), Edge.LEFT, Origin.LEFT, Resolution.MM_1)


FOUR = GapLimit(inches(4), strict=True)
OPENING, NARROW = inches(Fraction(3073, 16)), inches("1.5")


def inch_bay() -> tuple[Mark, ...]:
    """A long bay in sixteenths, 35 pickets."""
    return marks(solve(Bay(OPENING, NARROW, FOUR)), Edge.CENTRE, Origin.RIGHT, Resolution.INCH_16)


def median_microseconds(job: Callable[[], object], times: int = 5000) -> float:
    """The median time of one call."""
    taken = []
    for _ in range(times):
        start = perf_counter()
        job()
        taken.append(perf_counter() - start)
    return statistics.median(taken) * 1e6


def random_bays(count: int, parts: int) -> list[Bay]:
    """Openings from 1.5 to 2.7 m, on this many parts of a millimetre; the more parts, the fewer are alike."""
    dice = random.Random(SEED)
    return [Bay(Fraction(dice.randint(1500 * parts, 2700 * parts), parts), PICKET, LIMIT) for _ in range(count)]


def matched_row(count: int, parts: int) -> None:
    """One line of the table; run in a process of its own so that its peak memory is its own."""
    start = perf_counter()
    bays = random_bays(count, parts)
    built = perf_counter() - start
    times = []
    for likeness in Likeness:
        start = perf_counter()
        found = match_run(bays, STANDING, likeness)
        times.append(perf_counter() - start)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    columns = "".join(f"{1000 * taken:>12.1f}" for taken in (built, *times))
    print(f"{count:>8} {'1/' + str(parts) + ' mm':>10}{columns}{float(found.largest - found.smallest):>14.4f}{peak:>10.0f}", flush=True)


def main() -> None:
    """Print both tables."""
    print(f"one bay, built, solved and marked (median of 5000, Python {sys.version.split()[0]})")
    for job in (metric_bay, inch_bay):
        print(f"  {len(job()):>3} marks {median_microseconds(job):>8.1f} us")
    print("\nruns of bays beside one that stands (ms; spread of the most alike in mm; peak memory of the process in MB)")
    print(f"{'bays':>8} {'openings':>10}{'build':>12}{'fewest':>12}{'a tenth':>12}{'most alike':>12}{'spread':>14}{'MB':>10}")
    for count in (10, 1000, 100_000):
        for parts in (1, 1000):
            subprocess.run([sys.executable, __file__, str(count), str(parts)], check=True)


if __name__ == "__main__":
    if len(sys.argv) == 3:
        matched_row(int(sys.argv[1]), int(sys.argv[2]))
    else:
        main()
