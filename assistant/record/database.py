"""The SQLite file of one job: write-ahead log, every commit on the disk before it returns.

Crosses the border: rows in, rows out.  Reading never changes the file and never fails on damage: it gives what it can.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from assistant.record.journal import Reading, flush_folder
from assistant.record.migrations import SCHEMA_VERSION
from assistant.record.rows import Row, row_of
from assistant.scratch import Scratch

LOG_SUFFIXES = ("-wal", "-shm")
"""What SQLite keeps beside a database."""

_BUSY_SECONDS = 5.0
_MAGIC = b"SQLite format 3\x00"
_FORMATS = (b"\x02\x02", b"\x01\x01")
"""Bytes 18 and 19 with a write-ahead log, and on a disk that cannot have one (sqlite.org/fileformat2.html, 1.3)."""

UNREADABLE = (sqlite3.Error, UnicodeDecodeError, MemoryError)
"""What reading a damaged database can raise: its own errors quote damaged names, and ask for damaged sizes."""

_ADD = 'INSERT INTO fact (seq, at, heard, text, "check") VALUES (?, ?, ?, ?, ?)'


@dataclass(frozen=True, slots=True)
class DatabaseReading(Reading):
    """What could be read of the database."""

    version: int = 0
    """The version of its tables, when those could be read."""


def create(path: Path, rows: Iterable[Row]) -> None:
    """A new database holding the rows, complete and closed.  Raises OSError or sqlite3.Error."""
    os.close(os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600))
    with closing(connect(path)) as connection:
        connection.execute("BEGIN IMMEDIATE")
        connection.execute(f"PRAGMA user_version = {SCHEMA_VERSION}")
        connection.execute(
            'CREATE TABLE fact (seq INTEGER PRIMARY KEY, at TEXT NOT NULL, heard TEXT NOT NULL, text TEXT NOT NULL, "check" TEXT NOT NULL)'
        )
        add(connection, rows)
        connection.execute("COMMIT")
    flush_folder(path.parent)


def connect(path: Path) -> sqlite3.Connection:
    """A connection for writing, with transactions begun and ended by hand.  Raises sqlite3.Error."""
    connection = sqlite3.connect(_uri(path, "rw"), uri=True, isolation_level=None, timeout=_BUSY_SECONDS)
    try:
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute("PRAGMA fullfsync = ON")
    except sqlite3.Error:
        connection.close()
        raise
    return connection


def add(connection: sqlite3.Connection, rows: Iterable[Row]) -> None:
    """Add rows within the transaction that is open.  Raises sqlite3.Error."""
    connection.executemany(_ADD, [row.fields() for row in rows])


def whole(connection: sqlite3.Connection) -> bool:
    """Whether every page is in order, as far as SQLite's quick check sees.  Raises UNREADABLE."""
    return bool(connection.execute("PRAGMA quick_check(1)").fetchone() == ("ok",))


def every_row(connection: sqlite3.Connection) -> tuple[Row | None, ...]:
    """What a writer meets, in order; None for a row that is not what was once written.  Raises UNREADABLE."""
    fields = connection.execute('SELECT seq, at, heard, text, "check" FROM fact ORDER BY seq').fetchall()
    return tuple(row_of(one) for one in fields)


def read(path: Path) -> DatabaseReading:
    """Every row that can be read."""
    try:
        with path.open("rb") as file:
            start = file.read(20)
        try:
            found = _read(path, "ro") if _logs_in_order(path) else None
        except UNREADABLE:
            found = None
        if found is None:
            # A folder that may not be written to, or a damaged file: a copy tells which.
            with _copied(path) as copy:
                found = _read_copy(copy)
    except FileNotFoundError:
        return DatabaseReading({}, sound=False)
    except OSError as error:
        return DatabaseReading({}, sound=False, damaged=True, refused=error)
    in_order = start[:16] == _MAGIC and start[18:20] in _FORMATS and _logs_in_order(path)
    return found if in_order else DatabaseReading(found.rows, sound=False, damaged=True, version=found.version)


def _logs_in_order(path: Path) -> bool:
    """Whether nothing but files stands in the place of the logs; with a folder there SQLite waits as long as for another program."""
    logs = [path.with_name(path.name + suffix) for suffix in LOG_SUFFIXES]
    return not any(log.exists() and not log.is_file() for log in logs)


def _read(path: Path, mode: str) -> DatabaseReading:
    """As `read`, but raising UNREADABLE where the file cannot be opened, or damage stops the reading."""
    with closing(sqlite3.connect(_uri(path, mode), uri=True, timeout=_BUSY_SECONDS)) as connection:
        connection.text_factory = lambda text: text.decode("utf-8", "replace")
        connection.execute("PRAGMA cell_size_check = ON")
        (version,) = connection.execute("PRAGMA user_version").fetchone()
        sound = whole(connection)
        found = [row_of(fields) for fields in connection.execute('SELECT seq, at, heard, text, "check" FROM fact')]
    rows = {row.seq: row for row in found if row is not None}
    sound = sound and None not in found
    return DatabaseReading(rows, sound, not sound, version=version)


def _read_copy(path: Path) -> DatabaseReading:
    """Every row of a private copy: as a whole, or when it is damaged one by one."""
    try:
        return _read(path, "rw")
    except UNREADABLE:
        rows = {row.seq: row for row in _salvage(path)}
        return DatabaseReading(rows, sound=False, damaged=True, version=_sound_version(path))


def _sound_version(path: Path) -> int:
    """The version of tables that are whole but not these; 0 when they are damaged."""
    try:
        with closing(sqlite3.connect(path)) as connection:
            if not whole(connection):
                return 0
            (version,) = connection.execute("PRAGMA user_version").fetchone()
            return int(version)
    except UNREADABLE:
        return 0


def _salvage(path: Path) -> Iterator[Row]:
    """The rows of a damaged database: forward to the damage, backward to it, and each between by its number."""
    with closing(sqlite3.connect(path)) as connection:
        connection.text_factory = lambda text: text.decode("utf-8", "replace")
        forward = list(_until_damage(connection, "ORDER BY seq"))
        backward = list(_until_damage(connection, "ORDER BY seq DESC"))
        yield from forward
        yield from backward
        first, last = (rows[-1].seq if rows else 0 for rows in (forward, backward))
        for seq in range(first + 1, last):
            yield from _until_damage(connection, f"WHERE seq = {seq}")


def _until_damage(connection: sqlite3.Connection, which: str) -> Iterator[Row]:
    try:
        for fields in connection.execute(f'SELECT seq, at, heard, text, "check" FROM fact {which}'):
            row = row_of(fields)
            if row is not None:
                yield row
    except UNREADABLE:
        return


@contextmanager
def _copied(path: Path) -> Iterator[Path]:
    with Scratch() as folder:
        copy = folder / path.name
        shutil.copyfile(path, copy)
        log = path.with_name(path.name + LOG_SUFFIXES[0])
        if log.is_file():
            shutil.copyfile(log, copy.with_name(log.name))
        yield copy


def _uri(path: Path, mode: str) -> str:
    return f"file:{quote(os.fsencode(path.absolute()))}?mode={mode}"
