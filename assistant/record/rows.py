"""One line of a record, as both of its copies keep it.

Crosses the border: plain text and numbers.  Row 0 names the job; every other row is one accepted fact.  A row carries a
check sum over all it says, so that a byte changed on the disk is noticed and never becomes a wrong number.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from typing import Any

from assistant.errors import RecordError
from assistant.record.migrations import SCHEMA_VERSION


@dataclass(frozen=True, slots=True)
class Row:
    """A numbered row; rows of a job are numbered 0, 1, 2, … without a gap."""

    seq: int
    at: str
    """Wall time in UTC when it was written; it may run backwards, `seq` never does."""
    heard: str
    """The words that led to it; empty when nothing was said."""
    text: str
    """JSON: a fact, or for row 0 the title."""

    @property
    def check(self) -> str:
        """The check sum."""
        said = json.dumps([self.seq, self.at, self.heard, self.text])
        return hashlib.sha256(said.encode()).hexdigest()[:16]

    def fields(self) -> tuple[int, str, str, str, str]:
        """The row with its check sum, as it is stored."""
        return self.seq, self.at, self.heard, self.text, self.check


def row_of(fields: Any) -> Row | None:
    """The row that stored fields describe, or None when they are not what was once written."""
    if not isinstance(fields, (list, tuple)) or len(fields) != 5:
        return None
    seq, *texts = fields
    if type(seq) is not int or not all(isinstance(text, str) for text in texts):
        return None
    row = Row(seq, *texts[:3])
    return row if row.check == texts[3] else None


def header(title: str, at: str) -> Row:
    """Row 0 of a new job."""
    return Row(0, at, "", json.dumps({"schema_version": SCHEMA_VERSION, "title": title, "counted": True}))


def is_counted(row: Row) -> bool:
    """Whether the record of this row 0 was begun with a witness beside it."""
    try:
        return bool(json.loads(row.text)["counted"])
    except (ValueError, KeyError, TypeError):
        return False


def title_of(row: Row) -> str:
    """The title that row 0 gives.  Raises RecordError when it is not one."""
    try:
        title = json.loads(row.text)["title"]
    except (ValueError, KeyError, TypeError) as error:
        raise RecordError("This record does not begin with the title of a job.") from error
    return str(title)


def version_of(row: Row) -> int:
    """The version of the written form that a row says it has; 0 when it says none."""
    try:
        return int(json.loads(row.text)["schema_version"])
    except (ValueError, KeyError, TypeError):
        return 0
