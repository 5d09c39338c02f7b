"""The files of one job: reading both copies as one, asking the witness whether that is all, and putting a damaged copy right.

Crosses the border: a job's folder in; its rows, what was wrong with them, and files that can be written again.
"""

from __future__ import annotations

import os
import shutil
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from assistant.errors import RecordError
from assistant.record import database, journal, witness
from assistant.record.migrations import SCHEMA_VERSION, newer
from assistant.record.rows import Row, header, is_counted, version_of

DATABASE, JOURNAL, WITNESS = "record.db", "record.lines", "record.count"


@dataclass(frozen=True, slots=True)
class Found:
    """What the two copies of a job hold together."""

    rows: tuple[Row, ...]
    """From row 0 on, without a gap; never empty."""
    beyond: int
    """Rows that could be read but come after one that could not, and so cannot be used."""
    database: database.DatabaseReading
    journal: journal.Reading
    count: witness.Count

    @property
    def damage(self) -> str:
        """What is wrong with the record and what became of it, as a sentence; empty when nothing is."""
        if self.beyond:
            return (
                f"Entries up to number {len(self.rows) - 1} could be read. {self.beyond} later ones follow on one "
                "that is lost, and are not used. Check the last bay and mark before you go on."
            )
        lost = self.count.rows - len(self.rows)
        if lost > 0:
            return (
                f"Entries up to number {len(self.rows) - 1} could be read; {lost} later "
                f"{'ones are' if lost > 1 else 'one is'} lost. Check the last bay and mark before you go on."
            )
        if (not self.database.sound and not self.journal.sound) or self._may_be_short:
            return (
                f"Entries up to number {len(self.rows) - 1} could be read; later ones may be lost. "
                "Check the last bay and mark before you go on."
            )
        if not self.database.sound or self.journal.damaged:
            return f"All {len(self.rows) - 1} entries were recovered from its other copy; nothing was lost."
        return ""

    @property
    def _may_be_short(self) -> bool:
        """Whether both copies may have lost their last rows and no witness can say: what a killed program leaves looks the same."""
        unknown = self.count.damaged or (not self.count.there and is_counted(self.rows[0]))
        return unknown and (not self.journal.sound or (self.database.sound and self.database.rows.keys() != self.journal.rows.keys()))


def read(folder: Path, name: str) -> Found:
    """Everything that can be read.  Raises RecordError for a newer version, OSError where reading is refused and nothing could be read."""
    in_journal = journal.read(folder / JOURNAL)
    in_database = database.read(folder / DATABASE)
    rows = {**in_journal.rows, **in_database.rows}
    refused = in_database.refused or in_journal.refused
    if refused is not None and not rows:
        raise refused
    # The version of the tables counts only where no row speaks against it: one changed byte must not lock a job away.
    version = max((version_of(row) for row in rows.values()), default=in_database.version)
    if version > SCHEMA_VERSION:
        raise RecordError(newer(version))
    if 0 not in rows:
        rows[0] = header(name, rows[1].at if 1 in rows else "")
    sound = 1
    while sound in rows:
        sound += 1
    count = witness.read(folder / WITNESS)
    return Found(tuple(rows[seq] for seq in range(sound)), len(rows) - sound, in_database, in_journal, count)


def repair(folder: Path, found: Found) -> tuple[str, ...]:
    """Make both copies whole, and name the files that were set aside.  Raises OSError or sqlite3.Error.

    At every moment one copy holds all rows: the journal is put right before the database is touched.
    """
    aside = []
    if not found.journal.sound or found.beyond or tuple(found.journal.rows.values()) != found.rows:
        if (found.journal.damaged or found.beyond) and (folder / JOURNAL).exists():
            aside.append(_free(folder / JOURNAL))
            try:
                shutil.copyfile(folder / JOURNAL, folder / aside[-1])
            except OSError:  # it cannot be read, or is a folder: the rows are all from the database
                (folder / aside[-1]).unlink(missing_ok=True)
                os.replace(folder / JOURNAL, folder / aside[-1])
        journal.write(folder / JOURNAL, found.rows)
    if found.count.damaged:  # of no use to anybody, and a folder would stay in the way
        os.replace(folder / WITNESS, folder / _free(folder / WITNESS))
    if not found.database.sound or found.beyond or not _completed(folder / DATABASE, found):
        aside += _replace_database(folder / DATABASE, found)
    return tuple(aside)


def _completed(path: Path, found: Found) -> bool:
    """Whether the database, with the rows it lacks put in, can be written and then holds what was read and nothing else.

    It was read from a copy where its log is damaged, or may not be used; what a writer meets can be something else.  And what one writer
    meets, the next may not: when the first closes, its log is written into the file, over or beside pages that are damaged.
    """
    lacking = [row for row in found.rows if row.seq not in found.database.rows]
    try:
        for missing in (lacking, ()):
            with closing(database.connect(path)) as connection:
                connection.execute("BEGIN IMMEDIATE")
                database.add(connection, missing)
                if not database.whole(connection) or database.every_row(connection) != found.rows:
                    return False
                connection.execute("COMMIT")
    except database.UNREADABLE:
        return False
    return True


def _replace_database(path: Path, found: Found) -> list[str]:
    fresh = path.with_name(path.name + ".new")
    for leftover in (fresh, *(fresh.with_name(fresh.name + suffix) for suffix in database.LOG_SUFFIXES)):
        leftover.unlink(missing_ok=True)
    database.create(fresh, found.rows)
    moved = []
    name = _free(path)
    # The log first: a new database must never meet the log of the old one, even where that itself is gone.
    for suffix in (*database.LOG_SUFFIXES, ""):
        old = path.with_name(path.name + suffix)
        if old.exists():
            os.replace(old, path.with_name(name + suffix))
            moved.append(name + suffix)
    os.replace(fresh, path)
    journal.flush_folder(path.parent)
    return [name] if name in moved else moved


def _free(path: Path) -> str:
    number = 1
    while any(path.parent.glob(f"{path.name}.damaged-{number}*")):
        number += 1
    return f"{path.name}.damaged-{number}"
