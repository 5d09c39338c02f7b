"""Reads the tab-separated index of a corpus folder."""

import csv


def rows(path):
    """Rows of a tab-separated file with a header, as dictionaries."""
    with open(path, newline="") as f:
        yield from csv.DictReader(f, delimiter="\t", quoting=csv.QUOTE_NONE)
