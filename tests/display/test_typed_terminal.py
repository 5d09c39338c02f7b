"""The conversation on a real terminal of 44 letters, then of 80: no line is longer, and the rail is drawn as the marks are called."""

from __future__ import annotations

import fcntl
import os
import pty
import struct
import subprocess
import sys
import termios
from pathlib import Path

from assistant.display.rail_line import DONE, NOW, POSTS

ROOT = Path(__file__).resolve().parents[2]
LINES = ("90", "100", "2160 both", "thats all", "start marking", "gap confirmed", "understood", "next", "next")


COLUMNS = (44,) * 8 + (80,) * 2
"""How wide the terminal is for each line, and for the end: it is pulled wider before the last."""


def typed(home: Path) -> list[str]:
    """What a terminal shows of a job that is typed line by line, each once it is asked for."""
    ours, theirs = pty.openpty()
    _wide(theirs, COLUMNS[0])
    environment = {name: value for name, value in os.environ.items() if name not in ("COLUMNS", "LINES")}
    environment |= {"PYTHONPATH": str(ROOT), "SITE_ASSISTANT_HOME": str(home)}
    command = [sys.executable, "-m", "assistant", "type"]
    running = subprocess.Popen(command, stdin=theirs, stdout=theirs, stderr=theirs, env=environment)
    os.close(theirs)
    shown, left = b"", list(zip((*(f"{line}\n" for line in LINES), "\x04"), COLUMNS, strict=True))
    try:
        while more := os.read(ours, 65536):
            shown += more
            while left and shown.count(b"you  ") > len(COLUMNS) - len(left):
                line, columns = left.pop(0)
                _wide(ours, columns)
                os.write(ours, line.encode())
    except OSError:  # how a terminal ends whose program has gone
        pass
    finally:
        running.wait(30)
        os.close(ours)
    assert running.returncode == 0
    return shown.decode().replace("\r", "").split("\n")


def _wide(terminal: int, columns: int) -> None:
    fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))


def test_nothing_is_wider_than_the_terminal_and_the_rail_is_drawn(tmp_path: Path) -> None:
    lines = typed(tmp_path)
    wider = next(place for place, line in enumerate(lines) if len(line) > COLUMNS[0])
    assert max(map(len, lines)) <= COLUMNS[-1], lines
    rails = [place for place, line in enumerate(lines) if line.startswith(POSTS[0])]
    # One for each of the three marks, as wide as the terminal; the mark goes on, and leaves what is done behind it.
    assert [len(lines[place]) for place in rails] == [44, 44, 80], lines
    assert [lines[place][: lines[place].index(NOW)].count(DONE) for place in rails] == [0, 1, 2]
    assert wider > rails[1]
