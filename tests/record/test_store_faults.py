"""The record when things go wrong: killed writers, damaged files, full and read-only disks, other versions.

What one copy of a record loses the other has; only damage to both at once can lose facts, and then never silently.
"""

import errno
import json
import os
import pickle
import random
import resource
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from fractions import Fraction
from pathlib import Path

import pytest

from assistant import job, measured
from assistant.errors import RecordError
from assistant.record import database, folder, journal, rows
from assistant.record.store import Store
from assistant.setout.limits import GapLimit

PAGE = 4096
BAY = job.BaySet(0, measured.Bay(1, (("bottom", Fraction(2160)),), Fraction(90), GapLimit(Fraction(100), True)))
FACTS: tuple[job.Fact, ...] = (BAY, *(job.MarkCalled(job.Position(1, "bottom", mark)) for mark in range(1, 150)))
NOBODY = 65534


def mark(number: int) -> job.Fact:
    return job.MarkCalled(job.Position(1, "bottom", number))


@pytest.fixture(scope="module")
def closed(quick_home: Path) -> Path:
    """A job that was closed in good order."""
    home = quick_home / "closed"
    store = Store(home)
    with store.open(store.create("fence")) as writer:
        for fact in FACTS:
            writer.append([fact], heard="next")
    return home


@pytest.fixture(scope="module")
def interrupted(quick_home: Path) -> Path:
    """The same job, its writer gone without closing: most of it is still in the write-ahead log."""
    home, copy = quick_home / "open", quick_home / "interrupted"
    copy.mkdir()
    store = Store(home)
    with store.open(store.create("fence")) as writer:
        for fact in FACTS:
            writer.append([fact], heard="next")
        shutil.copytree(home / "job-1", copy / "job-1")
    return copy


def forked(work: Callable[[], object], user: int | None = None) -> object:
    """What `work` returns in a process of its own, which may have lost the rights of the superuser."""
    ours, theirs = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            if user is not None and os.geteuid() == 0:
                os.setgroups([])
                os.setgid(user)
                os.setuid(user)
            answer = work()
        except BaseException as error:
            answer = f"{type(error).__name__}: {error}"
        with os.fdopen(theirs, "wb") as pipe:
            pickle.dump(answer, pipe)
        os._exit(0)
    os.close(theirs)
    with os.fdopen(ours, "rb") as pipe:
        answer = pickle.load(pipe)
    os.waitpid(child, 0)
    return answer


# Killed ---------------------------------------------------------------------------------------------------------------


def test_no_acknowledged_fact_is_lost_however_often_the_writer_is_killed(quick_home: Path) -> None:
    script = Path(__file__).parent / "kill_writers.py"
    command = [sys.executable, str(script), str(quick_home / "killed"), "300", "20260511"]
    paths = os.pathsep.join([str(Path.cwd()), *sys.path])
    done = subprocess.run(command, capture_output=True, text=True, env={**os.environ, "PYTHONPATH": paths}, check=False)
    assert done.returncode == 0, done.stderr
    counts = json.loads(done.stdout)
    assert (counts["kills"], counts["lost"], counts["wrong"], counts["notices"]) == (300, 0, 0, 0), counts
    # The kills fell where they matter: while facts were being written, and while jobs were being opened.
    assert counts["acknowledged"] > 150
    assert counts["unacknowledged"] > 3
    assert counts["in_open"] > 3


# Damaged --------------------------------------------------------------------------------------------------------------


def _copy(source: Path, home: Path) -> Path:
    shutil.rmtree(home, ignore_errors=True)
    shutil.copytree(source, home)
    return home / "job-1"


def _damages(size: int) -> Iterator[tuple[int, bytes | None]]:
    """(offset, what is written there; None cuts the file off) for every page and for the middle of every page."""
    chance = random.Random(size)
    for offset in range(0, size, PAGE // 2):
        length = min(PAGE, size - offset)
        yield from ((offset, content) for content in (bytes(length), b"\xff" * length, chance.randbytes(length), None))


def _damage(path: Path, offset: int, content: bytes | None) -> None:
    with path.open("r+b") as file:
        if content is None:
            file.truncate(offset)
        else:
            file.seek(offset)
            file.write(content)


@pytest.mark.parametrize("name", ["record.db", "record.lines"])
@pytest.mark.parametrize("state", ["closed", "interrupted"])
def test_damage_to_any_page_of_one_copy_loses_nothing(name: str, state: str, quick_home: Path, request: pytest.FixtureRequest) -> None:
    source = request.getfixturevalue(state)
    size = (source / "job-1" / name).stat().st_size
    for offset, content in _damages(size):
        path = _copy(source, quick_home / "damaged") / name
        _damage(path, offset, content)
        damaged = path.read_bytes()
        assert Store(quick_home / "damaged").facts(1) == FACTS
        with Store(quick_home / "damaged").open(1) as writer:
            assert (writer.facts, writer.title) == (FACTS, "fence")
            writer.append([mark(150)])
            for notice in writer.notices:
                assert "nothing was lost" in notice
                assert path.with_name(f"{name}.damaged-1").read_bytes() == damaged
        with Store(quick_home / "damaged").open(1) as writer:
            assert (writer.facts, writer.notices) == ((*FACTS, mark(150)), ())


@pytest.mark.parametrize("in_place_of_shm", [None, "folder"])
def test_a_database_that_is_gone_leaves_a_log_that_no_new_one_meets(
    interrupted: Path, quick_home: Path, in_place_of_shm: str | None
) -> None:
    """A new database beside the old log would hold rows that were not read, or be damaged by it."""
    database_file = _copy(interrupted, quick_home / "damaged") / "record.db"
    log = database_file.with_name("record.db-wal").read_bytes()
    database_file.unlink()
    if in_place_of_shm:
        shm = database_file.with_name("record.db-shm")
        shm.unlink(missing_ok=True)
        shm.mkdir()
    with Store(quick_home / "damaged").open(1) as writer:
        assert writer.facts == FACTS and "record.db.damaged-1-wal" in writer.notices[0]
        writer.append([mark(150)])
    with Store(quick_home / "damaged").open(1) as writer:
        assert (writer.facts, writer.notices) == ((*FACTS, mark(150)), ())
    assert database_file.with_name("record.db.damaged-1-wal").read_bytes() == log


def test_damage_to_any_part_of_the_write_ahead_log_loses_nothing(interrupted: Path, quick_home: Path) -> None:
    log = interrupted / "job-1" / "record.db-wal"
    # Half a page a step, and the four kinds of damage in turn: every page of the log, in a few seconds.
    for offset, content in list(_damages(log.stat().st_size))[::11]:
        _damage(_copy(interrupted, quick_home / "damaged") / log.name, offset, content)
        with Store(quick_home / "damaged").open(1) as writer:
            assert writer.facts == FACTS
        # Both copies are whole again, each by itself.
        (quick_home / "damaged" / "job-1" / "record.lines").unlink()
        with Store(quick_home / "damaged").open(1) as writer:
            assert (writer.facts, writer.notices) == (FACTS, ())


def test_a_database_that_is_set_aside_takes_its_log_with_it(interrupted: Path, quick_home: Path) -> None:
    """A log left behind would be played into the new database."""
    folder = _copy(interrupted, quick_home / "damaged")
    log = (folder / "record.db-wal").read_bytes()
    _damage(folder / "record.db", 0, bytes(100))
    with Store(quick_home / "damaged").open(1) as writer:
        assert writer.facts == FACTS
    assert (folder / "record.db.damaged-1-wal").read_bytes() == log


def test_damage_that_is_found_is_said(closed: Path, quick_home: Path) -> None:
    path = _copy(closed, quick_home / "damaged") / "record.db"
    _damage(path, 0, bytes(100))
    (listed,) = Store(quick_home / "damaged").jobs()
    assert "nothing was lost" in listed.problem
    with Store(quick_home / "damaged").open(1) as writer:
        assert writer.notices == (
            "The record of job 1 was damaged and was set aside as record.db.damaged-1. "
            "All 150 entries were recovered from its other copy; nothing was lost.",
        )


def test_one_changed_digit_is_noticed(closed: Path, quick_home: Path) -> None:
    """The database is still well formed, but 2160 has become 2760: a wrong number that must never be spoken."""
    for name in ("record.db", "record.lines"):
        path = _copy(closed, quick_home / "damaged") / name
        path.write_bytes(path.read_bytes().replace(b"2160/1", b"2760/1", 1))
        with Store(quick_home / "damaged").open(1) as writer:
            assert writer.facts == FACTS
            assert len(writer.notices) == 1


def test_a_copy_that_is_gone_is_made_again(closed: Path, quick_home: Path) -> None:
    for name in ("record.db", "record.lines"):
        path = _copy(closed, quick_home / "damaged") / name
        path.unlink()
        with Store(quick_home / "damaged").open(1) as writer:
            assert writer.facts == FACTS
        assert path.exists()


def _folder_in_its_place(path: Path) -> None:
    path.unlink()
    path.mkdir()
    (path / "something").write_text("")


@pytest.mark.parametrize("name", ["record.db", "record.lines"])
def test_a_folder_in_the_place_of_one_copy_loses_nothing(name: str, closed: Path, quick_home: Path) -> None:
    _folder_in_its_place(_copy(closed, quick_home / "damaged") / name)
    store = Store(quick_home / "damaged")
    assert store.facts(1) == FACTS
    with store.open(1) as writer:
        assert writer.facts == FACTS
        assert f"set aside as {name}.damaged-1" in writer.notices[0] and "nothing was lost" in writer.notices[0]
        writer.append([mark(150)])
    with store.open(1) as writer:
        assert (writer.facts, writer.notices) == ((*FACTS, mark(150)), ())


@pytest.mark.parametrize("suffix", database.LOG_SUFFIXES)
def test_a_folder_in_the_place_of_a_log_is_put_right(suffix: str, closed: Path, quick_home: Path) -> None:
    """The rows can be read all the same, from a copy; what can be shown can be gone on with."""
    folder = _copy(closed, quick_home / "damaged")
    (folder / f"record.db{suffix}").mkdir()
    store = Store(quick_home / "damaged")
    assert store.facts(1) == FACTS
    with store.open(1) as writer:
        writer.append([mark(150)])
    with store.open(1) as writer:
        assert (writer.facts, writer.notices) == ((*FACTS, mark(150)), ())


def test_a_database_that_is_read_well_but_cannot_be_written_is_made_anew(
    closed: Path, quick_home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _copy(closed, quick_home / "damaged")
    store, connect, tries = Store(quick_home / "damaged"), database.connect, []

    def stubborn(path: Path) -> sqlite3.Connection:
        tries.append(path)
        if len(tries) == 1:
            raise sqlite3.OperationalError("attempt to write a readonly database")
        return connect(path)

    monkeypatch.setattr(database, "connect", stubborn)
    with store.open(1) as writer:
        assert "record.db.damaged-1" in writer.notices[0] and "Nothing was lost." in writer.notices[0]
        writer.append([mark(150)])
    assert store.facts(1) == (*FACTS, mark(150))


def test_a_gap_in_the_database_without_a_journal_can_be_opened(closed: Path, quick_home: Path) -> None:
    folder = _copy(closed, quick_home / "damaged")
    (folder / "record.lines").unlink()
    with closing(sqlite3.connect(folder / "record.db")) as connection, connection:
        connection.execute("DELETE FROM fact WHERE seq = 3")
    with Store(quick_home / "damaged").open(1) as writer:
        assert writer.facts == FACTS[:2]
        assert "later ones follow on one that is lost" in writer.notices[0]


@pytest.mark.parametrize("name", ["record.db", "record.lines"])
def test_one_copy_that_the_disk_cannot_read_loses_nothing(
    name: str, closed: Path, quick_home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = _copy(closed, quick_home / "damaged")
    sound = {"open": Path.open, "read_bytes": Path.read_bytes}

    def broken(call: str) -> Callable[..., object]:
        def tried(path: Path, *how: object, **more: object) -> object:
            if path == folder / name:
                raise OSError(errno.EIO, "Input/output error")
            return sound[call](path, *how, **more)  # type: ignore[operator]

        return tried

    with monkeypatch.context() as patched:
        for call in sound:
            patched.setattr(Path, call, broken(call))
        assert Store(quick_home / "damaged").facts(1) == FACTS
        with Store(quick_home / "damaged").open(1) as writer:
            assert writer.facts == FACTS
            assert "nothing was lost" in writer.notices[0]


@pytest.mark.parametrize("name", ["record.db", "record.lines"])
def test_one_copy_that_may_not_be_read_loses_nothing(name: str, closed: Path) -> None:
    with _read_only(closed) as home:
        for path in (home, *home.rglob("*")):
            path.chmod(0o777 if path.is_dir() else 0o666)
        (home / "job-1" / name).chmod(0o000)
        assert forked(lambda: Store(home).facts(1), NOBODY) == FACTS

        def gone_on_with() -> tuple[job.Fact, ...]:
            with Store(home).open(1) as writer:
                writer.append([mark(150)])
            return Store(home).facts(1)

        assert forked(gone_on_with, NOBODY) == (*FACTS, mark(150))


def test_two_copies_that_may_not_be_read_say_so(closed: Path) -> None:
    with _read_only(closed) as home:
        for name in ("record.db", "record.lines"):
            (home / "job-1" / name).chmod(0o000)
        assert "The folder may not be used by you" in str(forked(lambda: Store(home).facts(1), NOBODY))


def test_a_home_that_may_not_be_listed_does_not_look_empty(closed: Path) -> None:
    with _read_only(closed) as home:
        home.chmod(0o311)
        for work in (lambda: Store(home).jobs(), lambda: Store(home).numbers(), lambda: Store(home).facts(1)):
            assert "cannot be read. The folder may not be used by you" in str(forked(work, NOBODY))


def test_damage_to_both_copies_keeps_what_comes_before_it_and_says_so(closed: Path, quick_home: Path) -> None:
    chance = random.Random(4)
    lost = 0
    for _ in range(60):
        folder = _copy(closed, quick_home / "damaged")
        for name in ("record.db", "record.lines"):
            size = (folder / name).stat().st_size
            content = chance.choice((None, bytes(PAGE), chance.randbytes(PAGE), b"\xff" * PAGE))
            _damage(folder / name, chance.randrange(size), content)
        with Store(quick_home / "damaged").open(1) as writer:
            kept = writer.facts
            assert kept == FACTS[: len(kept)]
            if len(kept) < len(FACTS):
                lost += 1
                assert "Check the last bay and mark before you go on." in writer.notices[0]
            writer.append([BAY])
        with Store(quick_home / "damaged").open(1) as writer:
            assert (writer.facts, writer.notices) == ((*kept, BAY), ())
    assert lost > 5


def _cut(source: Path, home: Path, lines: int) -> Path:
    """A copy in which both copies of the record have lost their ends, and neither looks it."""
    folder = _copy(source, home)
    (folder / "record.db-wal").unlink()
    with (folder / "record.lines").open("r+b") as file:
        for _ in range(lines):
            file.readline()
        file.truncate(file.tell())
    return folder


def test_ends_that_both_copies_lost_without_a_trace_are_told_by_the_witness(interrupted: Path, quick_home: Path) -> None:
    _cut(interrupted, quick_home / "damaged", 101)
    with Store(quick_home / "damaged").open(1) as writer:
        assert writer.facts == FACTS[:100]
        assert writer.notices == (
            "The record of job 1 was damaged. Entries up to number 100 could be read; 50 later ones are lost. "
            "Check the last bay and mark before you go on.",
        )
    with Store(quick_home / "damaged").open(1) as writer:
        assert (writer.facts, writer.notices) == (FACTS[:100], ())


@pytest.mark.parametrize("spoil", [Path.unlink, lambda path: path.write_bytes(b"0000000003 0"), _folder_in_its_place])
def test_ends_that_are_lost_with_the_witness_are_told_as_possible(
    spoil: Callable[[Path], object], interrupted: Path, quick_home: Path
) -> None:
    spoil(_cut(interrupted, quick_home / "damaged", 101) / "record.count")
    with Store(quick_home / "damaged").open(1) as writer:
        assert writer.facts == FACTS[:100] and "later ones may be lost" in writer.notices[0]
    with Store(quick_home / "damaged").open(1) as writer:
        assert (writer.facts, writer.notices) == (FACTS[:100], ())


def test_a_witness_that_is_gone_beside_two_whole_copies_is_made_again_without_a_word(closed: Path, quick_home: Path) -> None:
    witness = _copy(closed, quick_home / "damaged") / "record.count"
    witness.unlink()
    with Store(quick_home / "damaged").open(1) as writer:
        assert (writer.facts, writer.notices) == (FACTS, ())
    assert witness.read_bytes() == (closed / "job-1" / "record.count").read_bytes()


def test_a_record_from_before_there_was_a_witness_is_gone_on_with_after_a_kill(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rows, "is_counted", lambda _: False)
    monkeypatch.setattr(folder, "is_counted", rows.is_counted)
    store = Store(tmp_path)
    store.create("fence")
    (tmp_path / "job-1" / "record.count").unlink()
    with (tmp_path / "job-1" / "record.lines").open("ab") as file:
        file.write(b"[[1, ")  # what a kill leaves
    with store.open(1) as writer:
        assert writer.notices == ()
        writer.append([BAY])
    assert (tmp_path / "job-1" / "record.count").read_bytes().startswith(b"0000000002 ")


def test_a_record_of_which_nothing_can_be_read_begins_anew(closed: Path, quick_home: Path) -> None:
    folder = _copy(closed, quick_home / "damaged")
    for name in ("record.db", "record.lines"):
        (folder / name).write_bytes(b"\x00" * 9000)
    with Store(quick_home / "damaged").open(1) as writer:
        assert (writer.title, writer.facts) == ("job 1", ())
        assert "Check the last bay" in writer.notices[0]
        writer.append([BAY])
    assert Store(quick_home / "damaged").facts(1) == (BAY,)
    assert len(list(folder.glob("*.damaged-1"))) == 2


# Full -----------------------------------------------------------------------------------------------------------------


# A limit on the size of files strikes in the middle of any write, as a full disk does, and needs no rights to set.


@contextmanager
def _file_size_limit(size: int) -> Iterator[None]:
    _, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (hard, hard))


def _append_until_full(home: Path, limit: int, then: int) -> tuple[int, int, str]:
    """Marks accepted before the disk was full, marks accepted in all once it has room again, and what was said."""
    accepted, said = 0, ""
    with Store(home).open(1) as writer:
        with _file_size_limit(limit):
            for _ in range(2000):
                try:
                    writer.append([mark(accepted)])
                except RecordError as error:
                    said = str(error)
                    break
                accepted += 1
        before = accepted
        for _ in range(then):
            writer.append([mark(accepted)])
            accepted += 1
    return before, accepted, said


@pytest.mark.parametrize("then", [0, 3])
@pytest.mark.parametrize("limit", [36_000, 50_000, 70_003, 90_001, 200_000, 300_000])
def test_a_full_disk_loses_nothing_accepted_and_keeps_nothing_refused(limit: int, then: int, tmp_path: Path) -> None:
    store = Store(tmp_path)
    store.create("fence")
    before, accepted, said = forked(lambda: _append_until_full(tmp_path, limit, then))  # type: ignore[misc]
    assert said.startswith("This was not saved. The disk ")
    assert said.endswith("then try again.")
    assert 0 < before <= accepted == before + then
    with store.open(1) as writer:
        assert writer.facts == tuple(mark(number) for number in range(accepted))
        assert writer.notices == ()


def test_a_full_database_takes_the_line_of_the_journal_back(tmp_path: Path) -> None:
    store = Store(tmp_path)
    store.create("fence")
    accepted = 0
    with store.open(1) as writer:
        writer._connection.execute("PRAGMA max_page_count = 4")
        with pytest.raises(RecordError, match="disk is full"):
            for _ in range(1000):
                writer.append([mark(accepted)])
                accepted += 1
    assert accepted > 0
    assert len(journal.read(tmp_path / "job-1" / "record.lines").rows) == accepted + 1
    assert len(store.facts(1)) == accepted


@pytest.mark.parametrize("call", ["write", "fsync"])
def test_a_journal_that_cannot_be_written_leaves_the_database_as_it_was(call: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    store = Store(tmp_path)
    store.create("fence")

    def full(*_: object) -> int:
        raise OSError(errno.ENOSPC, "No space left on device")

    with store.open(1) as writer:
        writer.append([mark(0)])
        with monkeypatch.context() as patched:
            patched.setattr(os, call, full)
            with pytest.raises(RecordError, match="disk is full"):
                writer.append([mark(1)])
        assert store.facts(1) == (mark(0),)
        writer.append([mark(2)])
    assert store.facts(1) == (mark(0), mark(2))
    with store.open(1) as writer:
        assert (writer.facts, writer.notices) == ((mark(0), mark(2)), ())


# Read-only, refused, newer --------------------------------------------------------------------------------------------


@contextmanager
def _read_only(source: Path) -> Iterator[Path]:
    """A copy of a home that can be read by anyone and written by no one but the superuser."""
    outer = Path(tempfile.mkdtemp())
    try:
        home = outer / "home"
        shutil.copytree(source, home)
        for path in (home, *home.rglob("*")):
            path.chmod(0o555 if path.is_dir() else 0o444)
        outer.chmod(0o755)
        yield home
    finally:
        for path in (outer, *outer.rglob("*")):
            path.chmod(0o755)
        shutil.rmtree(outer)


@pytest.mark.parametrize("state", ["closed", "interrupted"])
def test_a_read_only_folder_can_be_read_and_says_why_it_cannot_be_written(state: str, request: pytest.FixtureRequest) -> None:
    with _read_only(request.getfixturevalue(state)) as home:
        assert forked(lambda: Store(home).facts(1), NOBODY) == FACTS
        assert forked(lambda: Store(home).jobs()[0].position, NOBODY) == job.Position(1, "bottom", 149)
        advice = "Make it readable and writable, or set SITE_ASSISTANT_HOME to a folder that is."
        for work in (lambda: Store(home).open(1), lambda: Store(home).create("x"), lambda: Store(home).delete(1)):
            said = str(forked(work, NOBODY))
            assert said.startswith("RecordError:")
            assert said.endswith(advice)


def test_a_folder_that_may_not_be_read_is_a_plain_sentence(tmp_path: Path) -> None:
    home = tmp_path / "home"
    Store(home).create("fence")
    home.chmod(0o000)
    try:
        said = str(forked(lambda: Store(home).jobs(), NOBODY))
    finally:
        home.chmod(0o700)
    assert said.startswith(f"RecordError: The jobs in {home} cannot be read. The folder may not be")


def test_a_home_that_is_a_file_is_a_plain_sentence(tmp_path: Path) -> None:
    (tmp_path / "home").write_text("")
    with pytest.raises(RecordError, match="A new job cannot be made"):
        Store(tmp_path / "home").create("fence")


def _contents(home: Path) -> dict[str, bytes]:
    return {str(path): path.read_bytes() for path in home.glob("job-*/record.*") if path.suffix in (".db", ".lines")}


def test_a_record_from_a_newer_version_is_refused_and_left_as_it_is(tmp_path: Path) -> None:
    """A newer version may have written other facts in the same table, or other tables altogether."""
    store = Store(tmp_path)
    store.create("same table")
    newer_row = rows.Row(1, "", "", '{"schema_version":3,"fact":{"kind":"dream"}}')
    with sqlite3.connect(tmp_path / "job-1" / "record.db") as connection:
        database.add(connection, [newer_row])
    connection.close()
    store.create("other tables")
    for name in ("record.db", "record.lines"):
        (tmp_path / "job-2" / name).unlink()
    with sqlite3.connect(tmp_path / "job-2" / "record.db") as connection:
        connection.executescript("CREATE TABLE dreams (x); PRAGMA user_version = 3;")
    connection.close()
    before = _contents(tmp_path)
    for number in (1, 2):
        for work in (store.open, store.facts, store.title):
            with pytest.raises(RecordError, match=r"newer site-assistant .*left as it is"):
                work(number)
    assert ["newer" in found.problem for found in store.jobs()] == [True, True]
    assert _contents(tmp_path) == before


def test_a_changed_version_number_does_not_lock_a_job_away(closed: Path, quick_home: Path) -> None:
    path = _copy(closed, quick_home / "damaged") / "record.db"
    _damage(path, 60, b"\x00\x00\x00\x09")
    with Store(quick_home / "damaged").open(1) as writer:
        assert writer.facts == FACTS
