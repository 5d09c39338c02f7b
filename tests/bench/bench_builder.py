"""Whole random jobs through the dialogue, over a recognition channel measured with the real recogniser.

    python tests/bench/bench_builder.py [--lengths 10000] [--condition site] [--examples]

Prints, for each word error rate on dictated lengths: wrong values accepted, turns for a length, jobs stuck, words spoken.
"""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path
from random import Random

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT)]

from builder import Builder, OverChannel, Tally, add, random_job  # noqa: E402
from channel import Channel, Words, read_channel, scaled  # noqa: E402
from wordings import Habit, is_correction, words_for  # noqa: E402


def sample(jobs: int) -> list[Words]:
    """The lengths of some jobs, in everybody's wording: what a channel is scaled on."""
    said = []
    for seed in range(jobs):
        random = Random(f"sample {seed}")
        job, habit = random_job(random), random.choice(list(Habit))
        said += [words_for(value, job.unit, habit, random) for row in job.rows for name, value in row if name != "leaves"]
    return said


def run(channel: Channel | None, lengths: int, notices: float, seed: int = 0) -> Tally:
    """Jobs until so many lengths were to be dictated."""
    total = Tally()
    while total.lengths < lengths:
        random = Random(seed)
        total = add(total, Builder(random_job(random), OverChannel(channel, random), random, notices).build())
        seed += 1
    return total


def main() -> None:
    """The table."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--lengths", type=int, default=10_000)
    arguments.add_argument("--condition", default="site", help="which measured channel: clean or site")
    arguments.add_argument("--examples", action="store_true", help="show jobs that went wrong")
    given = arguments.parse_args()
    measured = read_channel(given.condition, is_correction)
    sentences = sample(80)
    runs: list[tuple[str, Channel | None, float]] = [
        ("nothing misheard", None, 1.0),
        ("2 % of words", scaled(measured, 0.02, sentences), 1.0),
        ("5 % of words", scaled(measured, 0.05, sentences), 1.0),
        ("as measured, clean", read_channel("clean", is_correction), 1.0),
        ("as measured, site", read_channel("site", is_correction), 1.0),
        ("5 % of words, one read-back in ten not noticed", scaled(measured, 0.05, sentences), 0.9),
    ]
    print("| channel | words wrong in lengths | lengths | wrong accepted per 10,000 | turns per length | jobs stuck "
          "| words spoken per job, of them while measuring |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    for name, channel, notices in runs:
        began = time.perf_counter()
        tally = run(channel, given.lengths, notices)
        print(
            f"| {name} | {tally.misheard / tally.said:.1%} | {tally.lengths} | {10_000 * tally.wrong / tally.lengths:.1f} "
            f"| {tally.length_turns / tally.lengths:.2f} | {tally.stuck} of {tally.jobs} "
            f"| {tally.spoken / tally.jobs:.0f}, {tally.spoken_measuring / tally.jobs:.0f} |",
            flush=True,
        )
        print(f"  {time.perf_counter() - began:.0f} s", file=sys.stderr)
        if given.examples:
            for example in tally.examples:
                print(example, "\n", "-" * 80)


if __name__ == "__main__":
    main()
