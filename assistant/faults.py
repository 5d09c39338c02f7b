"""A mistake in the program, kept as text that the user can send to whoever mends it.

Crosses the border: an exception comes in, and an entry with its traceback is put behind the others in a file under the home, readable by
its owner alone.  What was heard is in it, no sound is.
"""

from __future__ import annotations

import os
import platform
import traceback
from datetime import datetime, timezone
from pathlib import Path

from assistant import __version__

FILE = "faults.txt"
"""The file under the home."""
LARGEST = 1_000_000
"""Bytes; a larger file is begun anew, the one before it is kept beside it."""


def keep_fault(home: Path, error: BaseException, doing: str) -> str:
    """Keep a fault, and a sentence that says where.  Never raises: a full disk must not make one fault into two."""
    path = home / FILE
    head = f"{datetime.now(timezone.utc).isoformat(timespec='seconds')}  site-assistant {__version__}"
    system = f"Python {platform.python_version()}, {platform.platform()}"
    entry = f"{head}  {system}\nat: {doing[:1000]}\n{''.join(traceback.format_exception(error))}\n"
    try:
        home.mkdir(mode=0o700, parents=True, exist_ok=True)
        if path.exists() and path.stat().st_size > LARGEST:
            path.replace(path.with_name(FILE + ".old"))
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
        with os.fdopen(descriptor, "ab") as file:
            file.write(entry.encode("utf-8", "replace"))
    except OSError as trouble:
        return f"What went wrong could not be written down ({trouble.strerror}): {type(error).__name__}: {error}"
    return f"What went wrong is written in {path}. Please send that file with what you did before."
