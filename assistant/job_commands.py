"""The jobs on record, from the command line: list, show, export, delete."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from assistant.errors import RecordError
from assistant.job import replay
from assistant.paper.exports import job_json, marks_csv, marks_text
from assistant.paper.pages import Paper
from assistant.paper.pole_print import pole_pdf, strips
from assistant.paper.sheet_html import sheet_html
from assistant.paper.sheet_pdf import sheet_pdf
from assistant.record.store import Store

Show = Callable[[str], None]
Ask = Callable[[str], str]

KINDS = ("json", "csv", "txt", "html", "pdf", "pole")


def latest(store: Store, number: int | None) -> int:
    """The job asked for, or the one begun last.  Raises RecordError when there is none."""
    if number is not None:
        return number
    jobs = store.jobs()
    if not jobs:
        raise RecordError("There is no job on record yet. Begin one with: site-assistant listen, or site-assistant type.")
    return max(jobs, key=lambda job: (job.last, job.number)).number


def list_jobs(home: Path | None, show: Show) -> None:
    """One line a job."""
    jobs = Store(home).jobs()
    if not jobs:
        show("No job on record yet.")
    for job in jobs:
        bays = f"{job.bays} bay{'' if job.bays == 1 else 's'}"
        at = "" if job.position is None else f", at mark {job.position.mark}"
        show(f"{job.number:4}  {job.title}  ({bays}{at}; last {job.last}){'  ' + job.problem if job.problem else ''}")


def show_job(home: Path | None, number: int | None, show: Show) -> None:
    """The marks of a job, and what was accepted when."""
    store = Store(home)
    number = latest(store, number)
    entries = store.entries(number)
    show(f"job {number}: {store.title(number)}\n")
    show(marks_text(replay(entry.fact for entry in entries)))
    for entry in entries:
        show(f"{entry.at}  {entry.heard or '-':40}  {type(entry.fact).__name__}")


def export_job(home: Path | None, number: int | None, kind: str, paper: str, out: Path | None, show: Show) -> None:
    """A job as a file, or on the screen where it is text.  Raises RecordError for a binary kind without a file."""
    store = Store(home)
    number = latest(store, number)
    entries = store.entries(number)
    job, title = replay(entry.fact for entry in entries), store.title(number)
    date = entries[-1].at[:10] if entries else ""
    size = None if paper == "roll" else Paper[paper.upper()]
    made: str | bytes
    match kind:
        case "json":
            made = job_json(job, title, date)
        case "csv":
            made = marks_csv(job)
        case "txt":
            made = marks_text(job)
        case "html":
            made = sheet_html(job, title, date)
        case "pdf":
            made = sheet_pdf(job, title, date, size or Paper.A4)
        case _:
            if not job.bays:
                raise RecordError(f"Job {number} has no bay to make a pole for.")
            made = pole_pdf(strips(job), title, date, size)
    if out is None:
        if isinstance(made, bytes):
            raise RecordError(f"A {kind} file is not for the screen. Say where it goes with --out FILE.")
        show(made)
        return
    try:
        out.write_bytes(made if isinstance(made, bytes) else made.encode())
    except OSError as error:
        raise RecordError(f"{out} cannot be written: {error.strerror}. Choose another place with --out.") from error
    show(f"Written to {out}")


def delete_job(home: Path | None, number: int, ask: Ask, show: Show) -> None:
    """Delete a job once it was asked for twice."""
    store = Store(home)
    title = store.title(number)
    for question in (f"Delete job {number}, {title}? ", f"It cannot be brought back. Type {number} to delete it: "):
        answer = ask(question).strip().lower()
        if answer not in ("y", "yes", str(number)) or (question.startswith("It") and answer != str(number)):
            show("Kept.")
            return
    store.delete(number)
    show(f"Job {number} is deleted.")
