"""The second copy of a record: one line of text for each time facts were accepted, only ever added to.

Crosses the border: rows in, rows out.  It exists so that damage to the database loses nothing: whatever one copy cannot
give, the other can.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType

from assistant.record.rows import Row, row_of

if sys.platform == "darwin":
    import fcntl

    def flush(descriptor: int) -> None:
        """Wait until the file is on the disk itself; fsync alone does not on this system."""
        fcntl.fcntl(descriptor, fcntl.F_FULLFSYNC)

else:

    def flush(descriptor: int) -> None:
        """Wait until the file is on the disk itself."""
        os.fsync(descriptor)


@dataclass(frozen=True, slots=True)
class Reading:
    """What could be read of one copy."""

    rows: dict[int, Row]
    sound: bool
    """Whether the copy can be added to as it stands."""
    damaged: bool = False
    """Whether something other than its unfinished end is wrong with it."""
    refused: OSError | None = None
    """Why it could not be read at all: a fault of the disk, no permission, a folder in its place."""


def line(rows: Sequence[Row]) -> bytes:
    """The line of one addition."""
    return json.dumps([row.fields() for row in rows]).encode("ascii") + b"\n"


def read(path: Path) -> Reading:
    """Every row that can be read; of two with the same number the later."""
    try:
        content = path.read_bytes()
    except FileNotFoundError:
        return Reading({}, sound=False)
    except OSError as error:
        return Reading({}, sound=False, damaged=True, refused=error)
    *lines, end = content.split(b"\n")
    rows: dict[int, Row] = {}
    damaged = bool(end) and not lines
    for text in lines:
        found = [row_of(fields) for fields in _fields(text)]
        damaged = damaged or not found or None in found
        rows.update((row.seq, row) for row in found if row is not None)
    return Reading(rows, sound=not damaged and not end, damaged=damaged)


def _fields(text: bytes) -> list[object]:
    try:
        fields = json.loads(text)
    except (ValueError, RecursionError):
        return []
    return fields if isinstance(fields, list) else []


def write(path: Path, rows: Iterable[Row]) -> None:
    """Put a new journal in place of the old, whole or not at all.  Raises OSError."""
    fresh = path.with_name(path.name + ".new")
    fresh.unlink(missing_ok=True)
    with Journal(fresh) as journal:
        journal.add(b"".join(line([row]) for row in rows))
    os.replace(fresh, path)
    flush_folder(path.parent)


def flush_folder(folder: Path) -> None:
    """Wait until the names in a folder are on the disk; Windows does not let a folder be opened for that."""
    if sys.platform != "win32":
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


class Journal:
    """A journal open for adding; a new one is made readable by its owner alone."""

    def __init__(self, path: Path) -> None:
        self._descriptor = os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_BINARY", 0), 0o600)
        self._end = self._before = os.lseek(self._descriptor, 0, os.SEEK_END)

    def add(self, content: bytes) -> None:
        """Add lines and wait until they are on the disk.  Raises OSError, with nothing added."""
        self._before = self._end
        try:
            os.lseek(self._descriptor, self._end, os.SEEK_SET)
            rest = memoryview(content)
            while rest:
                rest = rest[os.write(self._descriptor, rest) :]
            flush(self._descriptor)
        except OSError:
            self.undo()
            raise
        self._end += len(content)

    def undo(self) -> None:
        """Take the last addition away, as well as the disk allows."""
        self._end = self._before
        with suppress(OSError):
            os.ftruncate(self._descriptor, self._end)
            flush(self._descriptor)

    def close(self) -> None:
        """Close the file."""
        os.close(self._descriptor)

    def __enter__(self) -> Journal:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()
