"""Whole random jobs through the dialogue, over a recognition channel measured with the real recogniser.

    python tests/bench/bench_builder.py [--jobs 2000] [--only "with the sums"] [--examples] [--workers N]

Prints for each channel, with and without the tape held over run and last gaps: wrong values that stand confirmed in the end, turns for
a length, jobs stuck, turns to the first mark.
"""

from __future__ import annotations

import argparse
import os
import sys
import time
from concurrent.futures import Executor, ProcessPoolExecutor
from dataclasses import dataclass, replace
from functools import reduce
from pathlib import Path
from random import Random

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT)]

from builder import Builder, OverChannel, Tally, add, random_job  # noqa: E402
from channel import Channel, Words, read_channel, scaled  # noqa: E402
from wordings import Habit, is_correction, words_for  # noqa: E402

BLOCK = 10
"""Jobs that one process takes at a time."""


def sample(jobs: int) -> list[Words]:
    """The lengths of some jobs, in everybody's wording: what a channel is scaled on."""
    said = []
    for seed in range(jobs):
        random = Random(f"sample {seed}")
        job, habit = random_job(random), random.choice(list(Habit))
        said += [words_for(value, job.unit, habit, random) for row in job.rows for name, value in row if name != "leaves"]
    return said


@dataclass(frozen=True)
class Jobs:
    """Some jobs over one channel."""

    channel: Channel | None
    seeds: range
    notices: float
    checks: bool
    bays: int | None = None
    """So many bays each, where that is given."""

    def tally(self) -> Tally:
        """What came of them."""
        total = Tally()
        for seed in self.seeds:
            random = Random(seed)
            over = OverChannel(self.channel, random)
            total = add(total, Builder(random_job(random, self.bays), over, random, self.notices, checks=self.checks).build())
        return total


def run(pool: Executor, jobs: Jobs) -> Tally:
    """The same, shared out."""
    parts = [replace(jobs, seeds=jobs.seeds[at : at + BLOCK]) for at in range(0, len(jobs.seeds), BLOCK)]
    return reduce(add, pool.map(Jobs.tally, parts), Tally())


def main() -> None:
    """Reads what was asked for."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--jobs", type=int, default=2000)
    arguments.add_argument("--only", help="of the rows below, those with this in their name")
    arguments.add_argument("--examples", action="store_true", help="show jobs that went wrong")
    arguments.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    given = arguments.parse_args()
    with ProcessPoolExecutor(given.workers) as pool:
        table(pool, given)


def table(pool: Executor, given: argparse.Namespace) -> None:
    """The rows."""
    clean, site = (read_channel(condition, is_correction) for condition in ("clean", "site"))
    runs: list[tuple[str, Channel | None, float, bool]] = [
        ("nothing misheard", None, 1.0, True),
        ("clean", clean, 0.9, False),
        ("clean, with the sums", clean, 0.9, True),
        ("site", site, 0.9, False),
        ("site, with the sums", site, 0.9, True),
        ("5 % of words, with the sums", scaled(site, 0.05, sample(80)), 0.9, True),
    ]
    print("One read-back in ten is not noticed, where anything is misheard.")
    print(
        "| channel | words wrong in lengths | lengths | wrong per 10,000 | of them whole bays "
        "| turns per length | jobs stuck | runs taped | bays marked again | turns to the first mark of two bays | words spoken per job |"
    )
    print("| --- " * 11 + "|")
    for name, channel, notices, checks in runs:
        if given.only and given.only not in name:
            continue
        began = time.perf_counter()
        tally = run(pool, Jobs(channel, range(given.jobs), notices, checks))
        two = run(pool, Jobs(channel, range(max(1, given.jobs // 10)), notices, checks=False, bays=2))
        print(
            f"| {name} | {tally.misheard / tally.said:.1%} | {tally.lengths} | {10_000 * tally.wrong / tally.lengths:.1f} "
            f"| {10_000 * tally.amiss / tally.lengths:.1f} "
            f"| {tally.length_turns / tally.lengths:.2f} | {tally.stuck} of {tally.jobs} | {tally.sums} | {tally.remarked} "
            f"| {two.first_mark / two.jobs:.1f} | {tally.spoken / tally.jobs:.0f} |",
            flush=True,
        )
        print(f"  {time.perf_counter() - began:.0f} s", file=sys.stderr)
        if given.examples:
            for example in tally.examples:
                print(example, "\n", "-" * 80)


if __name__ == "__main__":
    main()
