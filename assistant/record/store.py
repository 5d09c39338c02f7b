"""The durable record of jobs: what was accepted is on the disk before it is spoken.

Crosses the border: facts in, facts out.  Each job has a folder of its own with two copies of its record, an SQLite
database (write-ahead log, synchronous=FULL) and a journal of text lines, and a witness that counts them; files and folders
are readable by their owner alone.  Everything that can go wrong with the disk leaves as RecordError.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, closing, contextmanager
from dataclasses import dataclass
from datetime import datetime, timezone
from pathlib import Path
from types import TracebackType
from typing import TypeAlias

import platformdirs

from assistant.errors import RecordError
from assistant.fold import replay
from assistant.job import Fact, Job, Position
from assistant.record import database, folder
from assistant.record.disk_trouble import explained
from assistant.record.journal import Journal, flush_folder, line
from assistant.record.lock import BusyError, FileLock
from assistant.record.rows import Row, header, title_of
from assistant.record.witness import Witness
from assistant.record.written_facts import from_json, read_json, to_json

Clock: TypeAlias = Callable[[], datetime]


def default_home() -> Path:
    """Where records are kept: SITE_ASSISTANT_HOME, or the place the system keeps for such files."""
    chosen = os.environ.get("SITE_ASSISTANT_HOME")
    return Path(chosen) if chosen else Path(platformdirs.user_data_dir("site-assistant", appauthor=False))


def utc_now() -> datetime:
    """The wall clock."""
    return datetime.now(timezone.utc)


@dataclass(frozen=True, slots=True)
class Entry:
    """One accepted fact, when it was written (UTC) and the words that led to it."""

    seq: int
    at: str
    heard: str
    fact: Fact


@dataclass(frozen=True, slots=True)
class JobSummary:
    """One line of the list of jobs."""

    number: int
    title: str
    started: str
    last: str
    bays: int
    position: Position | None
    problem: str
    """Why the job cannot be read, or what is wrong with its record; empty when all is well."""


class Store:
    """All jobs under one folder.  Nothing is made on the disk before `create`."""

    def __init__(self, home: Path | None = None, clock: Clock = utc_now) -> None:
        self.home = home or default_home()
        """The folder."""
        self._clock = clock

    def create(self, title: str) -> int:
        """A new job and its number.  Raises RecordError."""
        with explained(f"A new job cannot be made in {self.home}"):
            self.home.mkdir(mode=0o700, parents=True, exist_ok=True)
            with self._changing_list():
                number = max(self._numbers(), default=0) + 1
                fresh = self.home / ".new"
                shutil.rmtree(fresh, ignore_errors=True)
                fresh.mkdir(mode=0o700)
                row = header(_clean(title), self._now())
                database.create(fresh / folder.DATABASE, [row])
                with Journal(fresh / folder.JOURNAL) as lines:
                    lines.add(line([row]))
                Witness(fresh / folder.WITNESS, 1).close()
                flush_folder(fresh)
                fresh.rename(self._folder(number))
                flush_folder(self.home)
                return number

    def open(self, number: int) -> Writer:
        """The job, for going on with it.  Raises RecordError when another process has it, or it cannot be written."""
        self._require(number)
        path = self._folder(number)
        with explained(f"Job {number} cannot be opened"), ExitStack() as held:
            held.enter_context(self._locked(number))
            found = folder.read(path, f"job {number}")
            aside = folder.repair(path, found)
            return Writer(path, found.rows, _notices(number, found.damage, aside), self._now, held)

    def entries(self, number: int) -> tuple[Entry, ...]:
        """Every accepted fact of a job in order, undone ones too.  Raises RecordError."""
        return tuple(Entry(row.seq, row.at, row.heard, from_json(row.text)) for row in self._found(number).rows[1:])

    def facts(self, number: int) -> tuple[Fact, ...]:
        """The facts alone.  Raises RecordError."""
        return tuple(entry.fact for entry in self.entries(number))

    def job(self, number: int) -> Job:
        """The job as it stands.  Raises RecordError."""
        return replay(self.facts(number))

    def title(self, number: int) -> str:
        """What the job is called.  Raises RecordError."""
        return title_of(self._found(number).rows[0])

    def jobs(self) -> tuple[JobSummary, ...]:
        """Every job, the newest last; one that cannot be read says why.  Raises RecordError for the folder itself."""
        return tuple(self._summary(number) for number in self.numbers())

    def numbers(self) -> tuple[int, ...]:
        """The number of every job, the one begun last at the end, whether it can be read or not.  Raises RecordError."""
        with explained(f"The jobs in {self.home} cannot be read"):
            return tuple(self._numbers())

    def delete(self, number: int) -> None:
        """Remove a job for good.  Raises RecordError, also while it is open."""
        self._require(number)
        with explained(f"Job {number} cannot be deleted"), self._changing_list(), self._locked(number):
            gone = self.home / ".deleted"
            shutil.rmtree(gone, ignore_errors=True)
            self._folder(number).rename(gone)
            flush_folder(self.home)
            shutil.rmtree(gone)

    def _summary(self, number: int) -> JobSummary:
        try:
            found = self._found(number)
            facts = [from_json(row.text) for row in found.rows[1:]]
            job, title = replay(facts), title_of(found.rows[0])
        except RecordError as error:
            return JobSummary(number, f"job {number}", "", "", 0, None, str(error))
        started, last = found.rows[0].at, found.rows[-1].at
        return JobSummary(number, title, started, last, len(job.bays), job.position, found.damage)

    def _found(self, number: int) -> folder.Found:
        self._require(number)
        with explained(f"Job {number} cannot be read"):
            return folder.read(self._folder(number), f"job {number}")

    def _require(self, number: int) -> None:
        numbers = self.numbers()
        if number not in numbers:
            known = f"The jobs are: {', '.join(map(str, numbers))}." if numbers else "There are no jobs yet."
            raise RecordError(f"There is no job {number}. {known}")

    def _numbers(self) -> list[int]:
        try:
            found = os.listdir(self.home)  # a folder that may not be read raises; with `glob` it would seem empty
        except FileNotFoundError:
            return []
        names = [name.removeprefix("job-") for name in found if name.startswith("job-") and (self.home / name).is_dir()]
        return sorted(int(name) for name in names if name.isascii() and name.isdigit())

    def _folder(self, number: int) -> Path:
        return self.home / f"job-{number}"

    def _locked(self, number: int) -> FileLock:
        try:
            return FileLock(self.home / f"job-{number}.lock")
        except BusyError as error:
            raise RecordError(f"Job {number} is open in another site-assistant. Close that one first, then try again.") from error

    @contextmanager
    def _changing_list(self) -> Iterator[None]:
        try:
            lock = FileLock(self.home / "jobs.lock")
        except BusyError as error:
            raise RecordError("Another site-assistant is adding or deleting a job. Try again in a moment.") from error
        with lock:
            yield

    def _now(self) -> str:
        return self._clock().astimezone(timezone.utc).isoformat(timespec="milliseconds")


class Writer:
    """One job, held open by this process; for use from one thread.  Made by `Store.open`."""

    def __init__(self, path: Path, rows: tuple[Row, ...], notices: tuple[str, ...], now: Callable[[], str], held: ExitStack) -> None:
        self.title = title_of(rows[0])
        self.turns: tuple[tuple[Fact, ...], ...] = _turns(rows[1:])
        """The facts found when the job was opened, oldest first, those accepted together in a group."""
        self.notices = notices
        """What has to be said about the record: damage found, what was set aside, what was lost."""
        self._next = len(rows)
        self._now = now
        self._journal = held.enter_context(Journal(path / folder.JOURNAL))
        self._connection = held.enter_context(closing(database.connect(path / folder.DATABASE)))
        self._witness = held.enter_context(closing(Witness(path / folder.WITNESS, self._next)))
        self._held = held.pop_all()

    @property
    def facts(self) -> tuple[Fact, ...]:
        """The facts found when the job was opened, oldest first."""
        return tuple(fact for group in self.turns for fact in group)

    def append(self, facts: Sequence[Fact], heard: str = "") -> None:
        """Put facts on the disk, all or none, before returning.  Raises RecordError with nothing changed."""
        at, words = self._now(), _clean(heard)
        rows = [Row(self._next + place, at, words, to_json(fact, self._next)) for place, fact in enumerate(facts)]
        if not rows:
            return
        with explained("This was not saved"):
            self._connection.execute("BEGIN IMMEDIATE")
            try:
                database.add(self._connection, rows)
                self._journal.add(line(rows))
                self._commit()
            except (OSError, sqlite3.Error):
                if self._connection.in_transaction:
                    self._connection.execute("ROLLBACK")
                raise
        self._next += len(rows)
        self._witness.note(self._next)

    def close(self) -> None:
        """Let the job go."""
        with explained("The job was not closed as it should be"):
            self._held.close()

    def _commit(self) -> None:
        try:
            self._connection.execute("COMMIT")
        except sqlite3.Error:
            self._journal.undo()
            raise

    def __enter__(self) -> Writer:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()


def _turns(rows: Sequence[Row]) -> tuple[tuple[Fact, ...], ...]:
    """The facts of rows, turn by turn; version 1 did not say, but what was kept at one time for the same words belongs together."""
    groups: list[tuple[object, list[Fact]]] = []
    for row in rows:
        fact, turn = read_json(row.text)
        key: object = (row.at, row.heard) if turn is None else turn
        if not groups or groups[-1][0] != key:
            groups.append((key, []))
        groups[-1][1].append(fact)
    return tuple(tuple(group) for _, group in groups)


def _clean(text: str) -> str:
    """Text that can be stored: half characters from a broken terminal are replaced."""
    return text.encode("utf-8", "replace").decode("utf-8")


def _notices(number: int, damage: str, aside: tuple[str, ...]) -> tuple[str, ...]:
    if not damage and not aside:
        return ()
    kept = f" and was set aside as {' and '.join(aside)}" if aside else ""
    return (f"The record of job {number} was damaged{kept}. {damage or 'Nothing was lost.'}",)
