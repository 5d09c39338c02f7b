"""What the glance page shows at one moment, from the job alone.

Crosses the border: a job in, a `View` of short texts out.
"""

from __future__ import annotations

from dataclasses import dataclass

from assistant.job import Job, Position
from assistant.plan import RailPlan, plan_bay
from assistant.setout.trouble import ImpossibleError
from assistant.written import mark_text, rail_name, unit_name


@dataclass(frozen=True, slots=True)
class View:
    """Texts of the glance page; an empty one is left out."""

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
    """The page for where the job stands."""
    found = _rail(job, job.position)
    if found is None or job.position is None:
        return View(title, place="No mark called yet", status=status)
    bay, rail = found
    at, marks, settings = job.position.mark, rail.marks, job.settings
    upcoming = mark_text(settings, marks[at]) if at < len(marks) else ""
    return View(
        title=title,
        place=f"{bay.capitalize()}, {rail_name(rail)}",
        mark=mark_text(settings, marks[at - 1]) if at else "",
        unit=unit_name(settings),
        count=f"mark {at} of {len(marks)}" if at else f"{len(marks)} marks to come",
        next=f"next {upcoming}" if upcoming else "last mark of this rail",
        status=status,
        done=at,
        total=len(marks),
    )


def _rail(job: Job, position: Position | None) -> tuple[str, RailPlan] | None:
    """The bay's name and the rail of a position; None where there is none (any more)."""
    if position is None or position.bay >= len(job.bays):
        return None
    try:
        plan = plan_bay(job, position.bay)
    except ImpossibleError:
        return None
    if position.rail >= len(plan.rails) or position.mark > len(plan.rails[position.rail].marks):
        return None
    return plan.bay.name, plan.rails[position.rail]
