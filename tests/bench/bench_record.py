"""What the record costs: one accepted fact, opening a job again, listing jobs, making the sheet.

Run as a script from the repository root: python tests/bench/bench_record.py [FOLDER]
The folder decides which disk is measured; without one it is a temporary folder.  Aim: a fact on the disk in 20 ms at p95,
so that nothing is heard of it before the reply.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from sample_jobs import METRIC

from assistant.job import BaySet, MarkCalled, Position
from assistant.paper.pole_print import pole_pdf
from assistant.paper.sheet_html import sheet_html
from assistant.paper.sheet_pdf import sheet_pdf
from assistant.paper.strips import strips
from assistant.record.store import Store

FACTS = 2000
"""A long day on one job."""

JOBS = 20


def seconds(work: Callable[[], object]) -> float:
    """How long it takes."""
    start = perf_counter()
    work()
    return perf_counter() - start


def main(folder: Path) -> None:
    """Print one line a figure."""
    store = Store(folder / "bench")
    number = store.create("bench")
    with store.open(number) as writer:
        writer.append([BaySet(index, bay) for index, bay in enumerate(METRIC.bays)])
        times = sorted(seconds(lambda: writer.append([MarkCalled(Position(1, "bottom", 1))], heard="next")) for _ in range(FACTS))
    p95 = times[int(0.95 * FACTS)]
    print(f"append one fact        median {statistics.median(times) * 1e3:7.2f} ms   p95 {p95 * 1e3:7.2f} ms")
    print(f"open {FACTS} facts        {seconds(lambda: store.open(number).close()) * 1e3:14.1f} ms")
    for _ in range(JOBS - 1):
        with store.open(store.create("more")) as writer:
            writer.append([MarkCalled(Position(1, "bottom", 1))] * (FACTS // 10))
    print(f"list {JOBS} jobs           {seconds(store.jobs) * 1e3:14.1f} ms")
    print(f"sheet of ten bays      {seconds(lambda: sheet_html(METRIC, 't', 'd')) * 1e3:14.1f} ms")
    print(f"the same as PDF        {seconds(lambda: sheet_pdf(METRIC, 't', 'd')) * 1e3:14.1f} ms")
    print(f"its story pole as PDF  {seconds(lambda: pole_pdf(strips(METRIC), 't', 'd')) * 1e3:14.1f} ms")


if __name__ == "__main__":
    if len(sys.argv) > 1:
        main(Path(sys.argv[1]))
    else:
        with tempfile.TemporaryDirectory() as name:
            main(Path(name))
