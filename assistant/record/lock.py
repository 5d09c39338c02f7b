"""A lock that only one process can hold, and that the system releases when that process ends, however it ends.

Crosses the border: a path in; holding it or BusyError.  The file itself stays; what counts is the lock on it.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path
from types import TracebackType

if sys.platform == "win32":
    import msvcrt

    def _lock(descriptor: int) -> None:
        msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)

else:
    import fcntl

    def _lock(descriptor: int) -> None:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)


class BusyError(Exception):
    """Another process holds the lock."""


class FileLock:
    """Held from construction until `release`.  Raises BusyError at once when another holds it, OSError if none can."""

    def __init__(self, path: Path) -> None:
        self._descriptor = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
        try:
            _lock(self._descriptor)
        except OSError as error:
            os.close(self._descriptor)
            if isinstance(error, (BlockingIOError, PermissionError)):
                raise BusyError(str(path)) from error
            raise

    def release(self) -> None:
        """Give it up; another process may take it."""
        os.close(self._descriptor)

    def __enter__(self) -> FileLock:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.release()
