"""The conversation on a real terminal of 44 and of 80 letters: no word is broken, and the rail is drawn as the marks are called."""

from __future__ import annotations

import fcntl
import os
import pty
import struct
import subprocess
import sys
import termios
from pathlib import Path

import pytest

from assistant.display.rail_line import DONE, NOW, POSTS

ROOT = Path(__file__).resolve().parents[2]
LINES = ("90", "100", "2160 both", "thats all", "start marking", "gap confirmed", "understood", "next", "next")


def typed(columns: int, home: Path) -> list[str]:
    """What a terminal of this width shows of a job that is typed line by line, each once it is asked for."""
    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
    environment = {name: value for name, value in os.environ.items() if name not in ("COLUMNS", "LINES")}
    environment |= {"PYTHONPATH": str(ROOT), "SITE_ASSISTANT_HOME": str(home)}
    command = [sys.executable, "-m", "assistant", "type"]
    running = subprocess.Popen(command, stdin=theirs, stdout=theirs, stderr=theirs, env=environment)
    os.close(theirs)
    shown, left = b"", [*LINES, "\x04"]
    try:
        while more := os.read(ours, 65536):
            shown += more
            while left and shown.count(b"you  ") > len(LINES) + 1 - len(left):
                line = left.pop(0)
                os.write(ours, line.encode() + (b"" if line == "\x04" else b"\n"))
    except OSError:  # how a terminal ends whose program has gone
        pass
    finally:
        running.wait(30)
        os.close(ours)
    assert running.returncode == 0
    return shown.decode().replace("\r", "").split("\n")


@pytest.mark.parametrize("columns", [44, 80])
def test_nothing_is_wider_than_the_terminal_and_the_rail_is_drawn(columns: int, tmp_path: Path) -> None:
    lines = typed(columns, tmp_path)
    assert max(map(len, lines)) <= columns, lines
    rails = [line for line in lines if line.startswith(POSTS[0])]
    # One for each of the three marks, of the width of the terminal; the mark goes on, and leaves what is done behind it.
    assert [len(rail) for rail in rails] == [columns] * 3, lines
    assert [rail[: rail.index(NOW)].count(DONE) for rail in rails] == [0, 1, 2]
