"""What goes wrong with a disk, as a sentence that says what to do.

Crosses the border: OSError and sqlite3.Error in, RecordError out.
"""

from __future__ import annotations

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from assistant.errors import RecordError

_FULL = "The disk is full. Free some space, then try again."
_REFUSED = "The folder may not be used by you. Make it readable and writable, or set SITE_ASSISTANT_HOME to a folder that is."

_BY_NUMBER = {
    **dict.fromkeys((errno.ENOSPC, errno.EDQUOT, errno.EFBIG), _FULL),
    **dict.fromkeys((errno.EACCES, errno.EPERM, errno.EROFS), _REFUSED),
}
_BY_WORDS = {
    "full": _FULL,
    "disk I/O error": "The disk could not be written. Make sure that it is there and not full, then try again.",
    "readonly": _REFUSED,
    "unable to open": _REFUSED,
}


@contextmanager
def explained(what: str) -> Iterator[None]:
    """Turn trouble with the disk into RecordError; `what` begins its sentence."""
    try:
        yield
    except OSError as error:
        advice = _BY_NUMBER.get(error.errno or 0, f"The disk said: {error.strerror or error}.")
        raise RecordError(f"{what}. {advice}") from error
    except sqlite3.Error as error:
        advice = next((text for word, text in _BY_WORDS.items() if word in str(error)), f"The database said: {error}.")
        raise RecordError(f"{what}. {advice}") from error
