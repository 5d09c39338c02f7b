"""Checksums of the second ear's model directory, written anew whenever a file in it is."""

from __future__ import annotations

import hashlib
from pathlib import Path

UNLISTED = {"README.md", "SHA256SUMS"}
"""The card changes by hand, and a list cannot list itself."""


def write(folder: Path) -> None:
    """SHA256SUMS of all other files, as sha256sum prints and checks it."""
    files = sorted(file for file in folder.iterdir() if file.name not in UNLISTED)
    lines = [f"{hashlib.sha256(file.read_bytes()).hexdigest()}  {file.name}\n" for file in files]
    (folder / "SHA256SUMS").write_text("".join(lines), encoding="utf-8")
