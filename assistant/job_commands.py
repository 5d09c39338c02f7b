"""The jobs on record, from the command line: list, show, export, delete."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from datetime import datetime, timezone
from pathlib import Path

from assistant.errors import RecordError
from assistant.fold import replay
from assistant.paper.circumstances import Circumstances
from assistant.paper.exports import marks_text
from assistant.paper.files import kind_named, kinds_of, make
from assistant.paper.history import changes, confirmations, happenings, how_far
from assistant.paper.pages import Paper
from assistant.record.store import Entry, Store

ROOM = 2_000_000
"""Bytes that the files of a job may take."""

Show = Callable[[str], None]
Ask = Callable[[str], str]


def latest(store: Store, number: int | None) -> int:
    """The job asked for, or the one begun last: by its number, for a clock can be set back.  Raises RecordError when there is none."""
    if number is not None:
        return number
    numbers = store.numbers()
    if not numbers:
        raise RecordError("There is no job on record yet. Begin one with: site-assistant listen, or site-assistant type.")
    return numbers[-1]


def named(store: Store, number: int) -> str:
    """What is shown of the job that is gone on with, so that a wrong one is noticed.  Raises RecordError."""
    return f"Going on with job {number}: {store.title(number)}"


def list_jobs(home: Path | None, show: Show) -> None:
    """One line a job."""
    store = Store(home)
    jobs = store.jobs()
    if not jobs:
        show("No job on record yet.")
    for job in jobs:
        show(f"{job.number:4}  {job.title}  ({_far(store, job.number)}last {_local(job.last)}){'  ' + job.problem if job.problem else ''}")


def _far(store: Store, number: int) -> str:
    """How far a job has come; empty for one that cannot be read, whose problem is shown."""
    try:
        return f"{how_far(store.job(number))}; "
    except RecordError:
        return ""


def show_job(home: Path | None, number: int | None, show: Show) -> None:
    """How far a job has come, its marks, and what happened when."""
    store = Store(home)
    number = latest(store, number)
    entries = store.entries(number)
    facts = [entry.fact for entry in entries]
    job = replay(facts)
    show(f"Job {number}: {store.title(number)}\n{how_far(job)}\n")
    show(marks_text(job))
    for one in happenings(facts):
        first, last = _local(entries[one.first].at), _local(entries[one.last].at)
        until = "" if first == last else f" to {last.removeprefix(first[:11])}"
        show(f"{first}{until}  {one.text}")


def export_job(
    home: Path | None, number: int | None, kind: str, paper: str, out: Path | None, show: Show, place: str = "", measured_by: str = ""
) -> None:
    """A job as a file, or on the screen where it is text; `place` and `measured_by` are for the sheet.

    Raises RecordError for a binary kind without a file.
    """
    store, wanted = Store(home), kind_named(kind)
    number = latest(store, number)
    entries = store.entries(number)
    job = replay(entry.fact for entry in entries)
    if wanted not in kinds_of(job):
        raise RecordError(f"Job {number} has no bay to make a pole for.")
    size = None if paper == "roll" else Paper[paper.upper()]
    made = make(wanted, job, store.title(number), date_of(entries), size, circumstances(entries, place, measured_by))
    if out is not None:
        _write(out, made)
        show(f"Written to {out}")
    elif wanted.is_text:
        show(made.decode())
    else:
        raise RecordError(f"A {kind} file is not for the screen. Say where it goes with --out FILE.")


def _local(at: str) -> str:
    """A moment of the record (UTC) to the minute by the clock on the wall, as the date on paper is; empty stays empty."""
    return f"{datetime.fromisoformat(at).astimezone():%Y-%m-%d %H:%M}" if at else at


def ready(out: Path) -> None:
    """See to it, before a conversation begins, that what it makes can be left in a folder.  Raises RecordError."""
    trial = out / ".trial"
    _write(trial, bytes(ROOM))
    try:
        trial.unlink()
    except OSError as error:
        raise RecordError(f"{out} cannot be written: {error.strerror}. Choose another place with --out.") from error


def leave(store: Store, number: int, out: Path, show: Show) -> None:
    """Every kind of file of a job in a folder.  Raises RecordError for those that cannot be written, once the others are."""
    entries = store.entries(number)
    job = replay(entry.fact for entry in entries)
    troubles = []
    for kind in kinds_of(job):
        try:
            _write(out / kind.file_name, make(kind, job, store.title(number), date_of(entries), known=circumstances(entries)))
        except RecordError as error:
            troubles.append(error)
    if out.is_dir():
        show(f"\nWritten to {out}: " + ", ".join(sorted(path.name for path in out.iterdir())))
    if troubles:
        raise troubles[0]


def date_of(entries: Sequence[Entry]) -> str:
    """The date on everything made of a job: the day it was last worked on, in the machine's own time zone; today for one never begun."""
    last = datetime.fromisoformat(entries[-1].at) if entries else datetime.now(timezone.utc)
    return last.astimezone().date().isoformat()


def circumstances(entries: Sequence[Entry], place: str = "", measured_by: str = "") -> Circumstances:
    """When gaps were confirmed and what was changed when, by the clock on the wall; and in which time zone that is."""
    facts = [entry.fact for entry in entries]
    zone = f"{datetime.fromisoformat(entries[-1].at).astimezone():%z}" if entries else ""
    return Circumstances(
        place,
        measured_by,
        zone and f"UTC{zone[:3]}:{zone[3:]}",
        tuple((bay, _local(entries[at].at)) for bay, at in confirmations(facts).items()),
        tuple((bay, f"{text}, {_local(entries[at].at)}") for bay, at, text in changes(facts)),
    )


def _write(path: Path, made: bytes) -> None:
    """The file, whole or not at all; what stood in its place stays until then.  Raises RecordError."""
    fresh = path.with_name(path.name + ".new") if path.is_file() or not path.exists() else path
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        fresh.write_bytes(made)
        if fresh != path:
            fresh.replace(path)
    except OSError as error:
        if fresh != path:
            with suppress(OSError):
                fresh.unlink()
        raise RecordError(f"{path} cannot be written: {error.strerror}. Choose another place with --out.") from error


def delete_job(home: Path | None, number: int, ask: Ask, show: Show) -> None:
    """Delete a job once it was asked for twice; no answer, as from a closed input, keeps it."""
    store = Store(home)
    title = store.title(number)
    for question in (f"Delete job {number}, {title}? ", f"It cannot be brought back. Type {number} to delete it: "):
        try:
            answer = ask(question).strip().lower()
        except (EOFError, RuntimeError, UnicodeDecodeError):
            answer = ""
        if answer not in ("y", "yes", str(number)) or (question.startswith("It") and answer != str(number)):
            show("Kept.")
            return
    store.delete(number)
    show(f"Job {number} is deleted.")
