"""Kill a writer again and again, and count what was acknowledged and what is there; run by test_store_faults.

    python kill_writers.py HOME KILLS SEED

One small process forks every writer, so that a thousand take seconds.  A writer opens the job (which repairs what the
last kill left), appends marks of its own and acknowledges each on a pipe once `append` has returned.  Every tenth kill
begins a new job, so that jobs are also killed when young.  Every fifth kill falls into `create`; of the others half fall
into opening a job and half into writing.
"""

import json
import os
import random
import select
import signal
import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

from assistant.job import MarkCalled, Position
from assistant.record.store import Store


def write_until_killed(store: Store, number: int, first: int, acknowledge: int) -> None:
    """Append marks for ever; a mark's number is its place in the job."""
    with store.open(number) as writer:
        mark = first
        while True:
            size = 1 + mark % 3
            writer.append([MarkCalled(Position(1, "bottom", mark + place)) for place in range(size)], heard="next")
            mark += size
            os.write(acknowledge, b"%d\n" % (mark - 1))


def create_until_killed(store: Store) -> None:
    """Make jobs for ever."""
    while True:
        store.create("made")


def killed(work: Callable[[int], None], delay: float, writing: bool = False) -> bytes:
    """What a forked process acknowledged before it was killed, `delay` seconds after its start or first word."""
    ours, theirs = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            work(theirs)
        finally:
            os._exit(9)
    os.close(theirs)
    if writing:
        select.select([ours], [], [], 30)
    time.sleep(delay)
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    with os.fdopen(ours, "rb") as pipe:
        said = pipe.read()
    if not os.WIFSIGNALED(status):
        raise SystemExit(f"the writer ended by itself: {status}")
    return said


def usual_times(store: Store) -> tuple[float, float]:
    """Seconds that opening a job and one append take on this machine, so that the kills fall among both."""
    number = store.create("timed")
    start = time.perf_counter()
    with store.open(number) as writer:
        opened = time.perf_counter()
        for _ in range(50):
            writer.append([MarkCalled(Position(1, "bottom", 1))])
        return opened - start, (time.perf_counter() - opened) / 50


def main(home: Path, kills: int, seed: int) -> dict[str, int]:
    """Kills, kills before the first acknowledgement, facts acknowledged, acknowledged facts lost, kills that left an
    unacknowledged append, jobs that hold anything else, notices of damage."""
    chance = random.Random(seed)
    counts = dict.fromkeys(("kills", "in_open", "acknowledged", "lost", "unacknowledged", "wrong", "notices"), 0)
    store, young = Store(home), Store(home / "young")
    opening, append = usual_times(store)
    number = store.create("fence")
    there = 0
    for kill in range(kills):
        counts["kills"] += 1
        if kill % 10 == 9:
            number, there = store.create("fence"), 0
        if kill % 5 == 4:
            killed(lambda _: create_until_killed(young), chance.uniform(0, 3 * opening))
            counts["wrong"] += any(found.problem or found.title != "made" for found in young.jobs())
            for found in young.jobs():
                young.delete(found.number)
            continue
        writing = kill % 2 == 0
        delay = chance.uniform(0, 10 * append) if writing else chance.uniform(0, 4 * opening)
        said = killed(partial(write_until_killed, store, number, there), delay, writing).split()
        last = int(said[-1]) if said else there - 1
        with store.open(number) as writer:
            marks = [fact.position.mark for fact in writer.facts]
            counts["notices"] += len(writer.notices)
        counts["in_open"] += not said
        counts["acknowledged"] += last - there + 1
        counts["lost"] += max(0, last + 1 - len(marks))
        counts["unacknowledged"] += len(marks) > last + 1
        # What is there is what was written, in order, and never a part of an append.
        counts["wrong"] += marks != list(range(len(marks))) or len(marks) - (last + 1) not in (0, 1 + (last + 1) % 3)
        there = len(marks)
    return counts


if __name__ == "__main__":
    print(json.dumps(main(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]))))
