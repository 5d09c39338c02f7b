"""What a native library writes to standard error can be kept off the screen, and comes back afterwards."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from assistant.speech.native import stderr_diverted, stderr_dropped


def test_what_is_dropped_is_dropped_and_no_more(capfd: pytest.CaptureFixture[str]) -> None:
    os.write(2, b"before ")
    with stderr_dropped():
        os.write(2, b"noise ")
    os.write(2, b"after")
    assert capfd.readouterr().err == "before after"


def test_it_comes_back_after_an_error_too(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(KeyError), open(tmp_path / "log", "wb") as log, stderr_diverted(log.fileno()):
        os.write(2, b"noise")
        raise KeyError
    os.write(2, b"after")
    assert capfd.readouterr().err == "after"
    assert (tmp_path / "log").read_bytes() == b"noise"
