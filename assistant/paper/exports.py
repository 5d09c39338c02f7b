"""A job for other programs and for plain reading: JSON, CSV and text, all from the plan of each bay.

Crosses the border: a job in, text out.  Exact lengths are written as "p/q" millimetres.
"""

from __future__ import annotations

import csv
import io
import json
from typing import Any

from assistant.job import Job
from assistant.plan import AnyMark, BayPlan, RailPlan, plan_bay
from assistant.record import written_facts
from assistant.setout.lengths import Unit, write
from assistant.setout.marks import Mark
from assistant.setout.trouble import ImpossibleError
from assistant.written import counted, length_text, limit_text, mark_text, rail_name, unit_name

EXPORT_VERSION = 1

COLUMNS = ("bay", "rail", "mark", "from", "to", "value", "unit", "value_mm", "exact_mm")
"""Of the CSV file; `exact_mm` is empty for a mark along a sloping rail, whose exact distance is seldom a fraction."""


def job_json(job: Job, title: str, date: str) -> str:
    """The whole job: settings, bays as measured, and each bay's marks, exact and as they are set out."""
    whole = {
        "version": EXPORT_VERSION,
        "title": title,
        "date": date,
        "settings": written_facts.values(job.settings),
        "bays": [_bay(job, index) for index in range(len(job.bays))],
        "notes": [written_facts.values(note) for note in job.notes],
        "cautions_acknowledged": list(job.cautions),
        "position": written_facts.values(job.position) if job.position else None,
    }
    return json.dumps(whole, indent=1, ensure_ascii=False) + "\n"


def marks_csv(job: Job) -> str:
    """One row a mark, in the order of bays and rails."""
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\n")
    table.writerow(COLUMNS)
    settings = job.settings
    for plan in _possible(job):
        for rail in plan.rails:
            for mark in rail.marks:
                place = (plan.bay.name, rail.rail, mark.index, settings.origin.value, settings.edge.value)
                value = write(mark.value, Unit.MM).removesuffix(" mm")
                exact = written_facts.written(mark.true) if isinstance(mark, Mark) else ""
                table.writerow((*place, mark_text(settings, mark), unit_name(settings), value, exact))
    return text.getvalue()


def marks_text(job: Job) -> str:
    """The marks to read on a screen."""
    settings = job.settings
    lines = []
    for index, bay in enumerate(job.bays):
        lines.append(bay.name.capitalize())
        try:
            plan = plan_bay(job, index)
        except ImpossibleError as error:
            lines += [f"  {error}", ""]
            continue
        lines.append(f"  {counted(plan.pickets, 'picket')}, gap {limit_text(settings, bay.limit)}")
        for rail in plan.rails:
            heading = f"{rail_name(rail)}: gap {length_text(settings, rail.gap)}"
            lines.append(f"  {heading}; {settings.edge.value}s from the {settings.origin.value}, {unit_name(settings)}")
            lines += [f"  {mark.index:4}  {mark_text(settings, mark)}" for mark in rail.marks]
        lines.append("")
    for note in job.notes:
        lines += [note.title, *(f"  {line}" for line in note.lines), ""]
    return "\n".join(lines)


def _possible(job: Job) -> list[BayPlan]:
    plans = []
    for index in range(len(job.bays)):
        try:
            plans.append(plan_bay(job, index))
        except ImpossibleError:
            continue
    return plans


def _bay(job: Job, index: int) -> dict[str, Any]:
    bay = job.bays[index]
    written = {"name": bay.name, "measured": written_facts.values(bay), "gap_confirmed": index in job.confirmed}
    try:
        plan = plan_bay(job, index)
    except ImpossibleError as error:
        return {**written, "problem": str(error)}
    return {
        **written,
        "pickets": plan.pickets,
        "allowed": plan.allowed,
        "rails": [_rail(job, rail) for rail in plan.rails],
    }


def _rail(job: Job, rail: RailPlan) -> dict[str, Any]:
    return {
        "rail": rail.rail,
        "gap": written_facts.written(rail.gap),
        "left_space": written_facts.written(rail.left_space),
        "right_space": written_facts.written(rail.right_space),
        "marks": [_mark(job, mark) for mark in rail.marks],
    }


def _mark(job: Job, mark: AnyMark) -> dict[str, Any]:
    exact = {"exact": written_facts.written(mark.true)} if isinstance(mark, Mark) else {
        "exact_squared": written_facts.written(mark.true_squared)
    }
    return {"mark": mark.index, "set_out": mark_text(job.settings, mark), "value": written_facts.written(mark.value), **exact}
