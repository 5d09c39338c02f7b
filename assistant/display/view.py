"""What is shown of a job at one moment, on the page and on the screen alike.

Crosses the border: a job in, a `View` of short texts out.  Nothing is shown where no mark is being called, whatever the job.
"""

from __future__ import annotations

from dataclasses import dataclass

from assistant.job import Job
from assistant.plan import marking
from assistant.written import mark_text, rail_name, unit_name


@dataclass(frozen=True, slots=True)
class View:
    """Texts to show; an empty one is left out."""

    title: str
    place: str = ""
    """Bay and rail."""
    mark: str = ""
    """The distance, as large as the screen allows."""
    unit: str = ""
    count: str = ""
    """“mark 4 of 11”."""
    next: str = ""
    status: str = ""
    """What the assistant is doing: listening, asleep."""
    done: int = 0
    total: int = 0


def view_of(job: Job, title: str, status: str = "") -> View:
    """Where the job stands."""
    now = marking(job)
    if now is None:
        return View(title, place="No mark called yet", status=status)
    made, marks, at = now.set_out, now.rail.marks, now.mark
    return View(
        title=title,
        place=f"{made.bay.name.capitalize()}, {rail_name(now.rail)}",
        mark=mark_text(made, marks[at - 1]),
        unit=unit_name(made.unit),
        count=f"mark {at} of {len(marks)}",
        next=f"next {mark_text(made, marks[at])}" if at < len(marks) else "last mark of this rail",
        status=status,
        done=at,
        total=len(marks),
    )
