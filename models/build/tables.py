"""Reads the tab-separated index of a corpus folder."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path


def rows(path: str | Path) -> Iterator[dict[str, str]]:
    """Rows of a tab-separated file with a header, as dictionaries."""
    with open(path, newline="") as f:
        yield from csv.DictReader(f, delimiter="\t", quoting=csv.QUOTE_NONE)
