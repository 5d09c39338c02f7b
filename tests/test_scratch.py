"""Folders for passing files are gone afterwards, also those of programs that were killed."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import pytest

from assistant.scratch import LOCK, PREFIX, YOUNG_S, Scratch, sweep

KILLED = "import os; from assistant.scratch import Scratch; s = Scratch(); print(s.path, flush=True); os.kill(os.getpid(), 9)"


@pytest.fixture(autouse=True)
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A place for passing files of its own."""
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    return tmp_path


def aged(folder: Path) -> Path:
    """The folder, as if it had been made long ago."""
    before = time.time() - YOUNG_S - 5
    os.utime(folder, (before, before))
    return folder


def test_a_folder_is_gone_with_what_is_in_it() -> None:
    with Scratch() as folder:
        (folder / "sound.wav").write_text("")
    assert not folder.exists()


def test_what_a_killed_program_left_is_swept(place: Path) -> None:
    environment = {**os.environ, "TMPDIR": str(place), "PYTHONPATH": str(Path(__file__).parents[1])}
    done = subprocess.run([sys.executable, "-c", KILLED], capture_output=True, text=True, check=False, env=environment)
    left = Path(done.stdout.strip())
    assert left.is_dir() and left.parent == place
    aged(left)
    with Scratch():
        assert not left.exists()


def test_what_is_in_use_or_young_or_not_ours_stays(place: Path) -> None:
    others = place / "another-program"
    others.mkdir()
    linked = place / f"{PREFIX}linked"
    linked.symlink_to(others)
    young = place / f"{PREFIX}young"
    young.mkdir()
    with Scratch() as folder:
        aged(folder)
        aged(others)
        sweep()
        assert folder.is_dir() and (folder / LOCK).exists()
        assert others.is_dir() and linked.exists() and young.is_dir()
