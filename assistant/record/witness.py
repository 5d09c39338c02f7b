"""How many rows a record has, in a file of its own: both copies can lose their last rows without a trace, and this tells.

It never counts more than there are: it is written once both copies hold the rows, and need not be on the disk at once.  Whatever goes
wrong with it, the record itself is none the worse.
"""

from __future__ import annotations

import hashlib
import os
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Count:
    """What the witness says."""

    rows: int = 0
    """At least so many rows were kept; 0 where it cannot say."""
    there: bool = False
    damaged: bool = False


def read(path: Path) -> Count:
    """What it says, whatever is in its place."""
    try:
        content = path.read_bytes()
    except FileNotFoundError:
        return Count()
    except OSError:
        return Count(there=True, damaged=True)
    number = content[: content.find(b" ")]
    if not number.isdigit() or content != _written(int(number)):
        return Count(there=True, damaged=True)
    return Count(int(number), there=True)


def _written(rows: int) -> bytes:
    """Ten digits and their check sum: always of one length, so that one is written over the other in one piece."""
    number = f"{rows:010d}"
    return f"{number} {hashlib.sha256(number.encode()).hexdigest()[:16]}\n".encode("ascii")


class Witness:
    """A witness open for writing; without one where the disk does not allow it."""

    def __init__(self, path: Path, rows: int) -> None:
        self._descriptor: int | None = None
        with suppress(OSError):
            self._descriptor = os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_BINARY", 0), 0o600)
        self.note(rows)

    def note(self, rows: int) -> None:
        """So many rows are kept by both copies."""
        if self._descriptor is not None:
            with suppress(OSError):
                os.lseek(self._descriptor, 0, os.SEEK_SET)
                os.write(self._descriptor, _written(rows))

    def close(self) -> None:
        """Close the file."""
        if self._descriptor is not None:
            os.close(self._descriptor)
            self._descriptor = None
