"""Folders for passing files: gone with the program that made them, and what a killed one left is swept when the next is made.

Crosses the border: nothing in, a path out.  A lock inside tells that a folder is in use; the system releases it however its program ends.
"""

from __future__ import annotations

import os
import shutil
import tempfile
import time
from pathlib import Path
from types import TracebackType

from assistant.record.lock import BusyError, FileLock

PREFIX = "site-assistant-"
LOCK = ".lock"
YOUNG_S = 60.0
"""A folder this young may be between its making and its lock."""


class Scratch:
    """A private folder until it is closed (a context manager).  Raises OSError when none can be made."""

    def __init__(self) -> None:
        sweep()
        self.path = Path(tempfile.mkdtemp(prefix=PREFIX))
        self._lock = FileLock(self.path / LOCK)

    def close(self) -> None:
        """Remove the folder and all that is in it."""
        self._lock.release()
        shutil.rmtree(self.path, ignore_errors=True)

    def __enter__(self) -> Path:
        return self.path

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()


def sweep() -> None:
    """Remove our folders that nobody holds.  What cannot be looked at or removed stays."""
    for folder in Path(tempfile.gettempdir()).glob(f"{PREFIX}*"):
        try:
            found = folder.lstat()
            ours = folder.is_dir() and not folder.is_symlink() and found.st_uid == (os.getuid() if hasattr(os, "getuid") else found.st_uid)
            if ours and time.time() - found.st_mtime > YOUNG_S:
                with FileLock(folder / LOCK):
                    shutil.rmtree(folder, ignore_errors=True)
        except (BusyError, OSError):
            continue
