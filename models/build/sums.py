"""Writes the checksums of a model directory; run it after any file in it has changed (regraph and build do so themselves).

usage: python -m models.build.sums models/site-en
SHA256SUMS lists every file below the folder as sha256sum prints and checks it.  The card is not in it: it changes by hand.
"""

from __future__ import annotations

import hashlib
import sys
from pathlib import Path

LIST = "SHA256SUMS"
UNLISTED = {"README.md", LIST}


def lines(folder: Path) -> list[str]:
    """The lines of the list, sorted by name."""
    files = sorted(file.relative_to(folder).as_posix() for file in folder.rglob("*") if file.is_file())
    return [f"{hashlib.sha256((folder / name).read_bytes()).hexdigest()}  {name}\n" for name in files if name not in UNLISTED]


def write(folder: Path) -> None:
    """The list of a model directory."""
    (folder / LIST).write_text("".join(lines(folder)), encoding="utf-8")


if __name__ == "__main__":
    write(Path(sys.argv[1]))
