"""What native libraries write to standard error, kept off the screen.

Crosses the border: a file to write to instead.  PortAudio, ALSA and the recogniser report there in their own words what the
assistant says in plain ones.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def stderr_diverted(target: int) -> Iterator[None]:
    """Standard error of the whole process goes to another file descriptor meanwhile."""
    screen = os.dup(2)
    os.dup2(target, 2)
    try:
        yield
    finally:
        os.dup2(screen, 2)
        os.close(screen)


@contextmanager
def stderr_dropped() -> Iterator[None]:
    """Standard error of the whole process goes nowhere meanwhile."""
    with open(os.devnull, "wb") as nowhere, stderr_diverted(nowhere.fileno()):
        yield
