"""The record of jobs on a disk in good order."""

import json
import os
import sqlite3
import stat
import subprocess
import sys
from datetime import datetime, timedelta, timezone
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st
from strategies import facts

from assistant import job, measured
from assistant.errors import RecordError
from assistant.fold import replay
from assistant.record import database, journal
from assistant.record.store import Store, default_home
from assistant.setout.limits import GapLimit

BAY = job.BaySet(0, measured.Bay(1, (("bottom", Fraction(2160)),), Fraction(90), GapLimit(Fraction(100), True)))
MARK = job.MarkCalled(job.Position(1, "bottom", 1))


def test_facts_come_back_in_order_with_the_words_that_led_to_them(tmp_path: Path) -> None:
    store = Store(tmp_path)
    number = store.create("the long side")
    with store.open(number) as writer:
        writer.append([BAY], heard="two one six zero")
        writer.append([job.BayReopened(1), MARK], heard="gap confirmed")
    entries = Store(tmp_path).entries(number)
    assert [entry.fact for entry in entries] == [BAY, job.BayReopened(1), MARK]
    assert [entry.seq for entry in entries] == [1, 2, 3]
    assert [entry.heard for entry in entries] == ["two one six zero", "gap confirmed", "gap confirmed"]
    assert store.title(number) == "the long side"


@given(st.lists(st.tuples(st.lists(facts, max_size=3), st.text(max_size=8)), max_size=4))
@hypothesis_settings(max_examples=20)
def test_any_facts_are_there_when_the_job_is_opened_again(quick_home: Path, appended: list[tuple[list[job.Fact], str]]) -> None:
    store = Store(quick_home)
    number = store.create("any")
    with store.open(number) as writer:
        for batch, heard in appended:
            writer.append(batch, heard)
    expected = tuple(fact for batch, _ in appended for fact in batch)
    assert store.facts(number) == expected
    with store.open(number) as writer:
        assert (writer.facts, writer.notices) == (expected, ())


def test_a_job_goes_on_at_the_very_mark(tmp_path: Path) -> None:
    store = Store(tmp_path)
    number = store.create("fence")
    for mark in range(1, 6):
        with store.open(number) as writer:
            assert replay(writer.facts).position == (job.Position(1, "bottom", mark - 1) if mark > 1 else None)
            writer.append([job.MarkCalled(job.Position(1, "bottom", mark))])
    assert store.job(number).position == job.Position(1, "bottom", 5)


def test_what_was_undone_stays_in_the_record(tmp_path: Path) -> None:
    store = Store(tmp_path)
    number = store.create("fence")
    with store.open(number) as writer:
        writer.append([BAY])
        writer.append([MARK])
        writer.append([job.Undone(1)])
    assert len(store.entries(number)) == 3
    assert store.job(number).position is None
    assert store.job(number).bays == (BAY.bay,)


def test_every_append_waits_for_the_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The database commits with synchronous=FULL, and the second copy is flushed before append returns."""
    store = Store(tmp_path)
    number = store.create("fence")
    flushed = []
    monkeypatch.setattr(journal, "flush", lambda descriptor: flushed.append(os.fstat(descriptor).st_size))
    with store.open(number) as writer:
        for _ in range(3):
            writer.append([MARK])
            assert flushed[-1] == (tmp_path / "job-1" / "record.lines").stat().st_size
    assert len(flushed) == 3
    connection = database.connect(tmp_path / "job-1" / "record.db")
    assert connection.execute("PRAGMA synchronous").fetchone() == (2,)
    assert connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    connection.close()


def test_a_reader_sees_each_fact_as_soon_as_it_is_accepted(tmp_path: Path) -> None:
    store = Store(tmp_path)
    number = store.create("fence")
    with store.open(number) as writer:
        for count in range(1, 4):
            writer.append([MARK])
            assert len(Store(tmp_path).facts(number)) == count


def test_jobs_are_listed_with_where_they_stand(tmp_path: Path) -> None:
    store = Store(tmp_path, clock=lambda: datetime(2026, 5, 4, 7, 30, tzinfo=timezone.utc))
    assert store.jobs() == ()
    first, second = store.create("front"), store.create("back")
    with store.open(second) as writer:
        writer.append([BAY, MARK])
    listed = store.jobs()
    assert [(found.number, found.title, found.bays, found.position, found.problem) for found in listed] == [
        (first, "front", 0, None, ""),
        (second, "back", 1, job.Position(1, "bottom", 1), ""),
    ]
    assert {found.started for found in listed} == {"2026-05-04T07:30:00.000+00:00"}


def test_a_deleted_job_is_gone_and_the_others_are_not(tmp_path: Path) -> None:
    store = Store(tmp_path)
    numbers = [store.create("secret garden"), store.create("front")]
    store.delete(numbers[0])
    assert [found.title for found in store.jobs()] == ["front"]
    left = b"".join(path.read_bytes() for path in tmp_path.rglob("*") if path.is_file())
    assert b"secret garden" not in left
    with pytest.raises(RecordError, match=r"no job 1.*The jobs are: 2"):
        store.delete(numbers[0])


def test_a_new_job_never_takes_the_number_of_another(tmp_path: Path) -> None:
    store = Store(tmp_path)
    first, second = store.create("a"), store.create("b")
    store.delete(first)
    assert store.create("c") not in (first, second)
    assert [found.title for found in store.jobs()] == ["b", "c"]


def test_a_job_that_is_open_is_not_deleted(tmp_path: Path) -> None:
    store = Store(tmp_path)
    number = store.create("fence")
    with store.open(number), pytest.raises(RecordError, match="open in another"):
        store.delete(number)
    assert len(store.jobs()) == 1


def test_a_job_that_does_not_exist_is_named(tmp_path: Path) -> None:
    with pytest.raises(RecordError, match=r"There is no job 7. There are no jobs yet."):
        Store(tmp_path / "nowhere").open(7)
    assert not (tmp_path / "nowhere").exists()


def test_only_the_owner_can_read_the_record(tmp_path: Path) -> None:
    home = tmp_path / "home"
    store = Store(home)
    old = os.umask(0)
    try:
        number = store.create("fence")
        with store.open(number) as writer:
            writer.append([BAY])
            modes = {path: stat.S_IMODE(path.stat().st_mode) for path in (home, *home.rglob("*"))}
    finally:
        os.umask(old)
    assert {path.name: oct(mode) for path, mode in modes.items() if mode & 0o077} == {}
    assert {"record.db", "record.db-wal", "record.lines"} <= {path.name for path in modes}


def test_words_that_are_not_text_are_kept_as_well_as_they_can_be(tmp_path: Path) -> None:
    store = Store(tmp_path)
    number = store.create("half \ud800 letter")
    with store.open(number) as writer:
        writer.append([MARK], heard="nul \0 and half \udcff")
    assert store.title(number) == "half ? letter"
    assert store.entries(number)[0].heard == "nul \0 and half ?"


def test_a_clock_that_runs_backwards_changes_nothing(tmp_path: Path) -> None:
    start = datetime(2026, 5, 4, 7, 30, tzinfo=timezone.utc)
    times = (start - timedelta(hours=hours) for hours in range(100))
    store = Store(tmp_path, clock=lambda: next(times))
    number = store.create("fence")
    for mark in range(1, 6):
        with store.open(number) as writer:
            writer.append([job.MarkCalled(job.Position(1, "bottom", mark))])
    entries = store.entries(number)
    assert [entry.fact.position.mark for entry in entries if isinstance(entry.fact, job.MarkCalled)] == [1, 2, 3, 4, 5]
    assert [entry.at for entry in entries] == sorted((entry.at for entry in entries), reverse=True)
    assert store.job(number).position == job.Position(1, "bottom", 5)


def test_the_home_can_be_chosen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SITE_ASSISTANT_HOME", str(tmp_path / "chosen"))
    assert default_home() == tmp_path / "chosen"
    monkeypatch.delenv("SITE_ASSISTANT_HOME")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    assert default_home().name == "site-assistant"


OPEN_IN_ANOTHER_PROCESS = """
import sys
from pathlib import Path
from assistant.errors import RecordError
from assistant.record.store import Store
try:
    with Store(Path(sys.argv[1])).open(1) as writer:
        print("opened", flush=True)
        sys.stdin.readline()
except RecordError as error:
    print(error)
"""


def _other(home: Path) -> subprocess.Popen[str]:
    command = [sys.executable, "-c", OPEN_IN_ANOTHER_PROCESS, str(home)]
    return subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)


def test_only_one_process_writes_at_a_time(tmp_path: Path) -> None:
    store = Store(tmp_path)
    number = store.create("fence")
    with store.open(number) as writer:
        writer.append([BAY])
        refused, _ = _other(tmp_path).communicate(timeout=300)
        assert refused.strip() == "Job 1 is open in another site-assistant. Close that one first, then try again."
    with _other(tmp_path) as holder:
        assert holder.stdout is not None
        assert holder.stdout.readline() == "opened\n"
        with pytest.raises(RecordError, match="open in another"):
            store.open(number)
        assert store.facts(number) == (BAY,)
        holder.kill()
    with store.open(number) as writer:
        assert writer.facts == (BAY,)


def test_the_database_is_one_row_a_fact_for_anyone_to_read(tmp_path: Path) -> None:
    store = Store(tmp_path)
    with store.open(store.create("fence")) as writer:
        writer.append([BAY, MARK], heard="next")
    connection = sqlite3.connect(tmp_path / "job-1" / "record.db")
    rows = connection.execute("SELECT seq, heard, text FROM fact ORDER BY seq").fetchall()
    connection.close()
    assert [(seq, heard) for seq, heard, _ in rows] == [(0, ""), (1, "next"), (2, "next")]
    assert json.loads(rows[2][2])["fact"] == {"kind": "mark_called", "position": {"bay": 1, "rail": "bottom", "mark": 1}}


def test_what_was_accepted_together_stays_together_even_in_the_same_millisecond(tmp_path: Path) -> None:
    """Undo after a break takes back one turn, not two that were said alike and at once."""
    store = Store(tmp_path, lambda: datetime(2026, 5, 4, 8, 0, tzinfo=timezone.utc))
    number = store.create("fence")
    with store.open(number) as writer:
        writer.append([BAY, job.BayChosen(0)], heard="next")
        writer.append([MARK], heard="next")
    with store.open(number) as writer:
        assert writer.turns == ((BAY, job.BayChosen(0)), (MARK,))
