"""A job for other programs and for plain reading: JSON, CSV and text, all from the set-out of each bay.

Crosses the border: a job in, text out.  Exact lengths are written as "p/q" millimetres, choices by their names.  Every field is written
out by hand, so that no change of the core can change the files unseen.
"""

from __future__ import annotations

import csv
import io
import json
from fractions import Fraction
from typing import Any

from assistant.job import Job, Position, Settings
from assistant.measured import Bay, Gate, Slip, Slope
from assistant.paper.figures import notes_in_figures
from assistant.paper.laid_out import laid_out, set_out_or_reason
from assistant.plan import is_confirmed
from assistant.set_out import AnyMark, Rail, SetOut
from assistant.setout.ends import End
from assistant.setout.lapped import Boards, lap
from assistant.setout.lengths import Unit, write
from assistant.setout.limits import GapLimit
from assistant.setout.marks import Mark
from assistant.setout.posts import Posts, set_out_posts
from assistant.setout.trouble import ImpossibleError
from assistant.written import counted, length_text, limit_text, mark_text, origin_name, rail_name, unit_name

EXPORT_VERSION = 2
"""1 had one edge, origin and unit for the whole job, and the position by places in lists."""

COLUMNS = ("bay", "rail", "mark", "from", "to", "value", "unit", "value_mm", "exact_mm")
"""Of the CSV file; `exact_mm` is empty for a mark along a sloping rail, whose exact distance is seldom a fraction."""


# Text -----------------------------------------------------------------------------------------------------------------


def marks_csv(job: Job) -> str:
    """One row a mark, in the order of bays and rails."""
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\n")
    table.writerow(COLUMNS)
    for made in laid_out(job):
        for rail in made.rails:
            for mark in rail.marks:
                place = (made.bay.name, rail.name, mark.index, origin_name(made) + _along(made), made.edge.value)
                value = write(mark.value, Unit.MM).removesuffix(" mm")
                exact = _exact(mark.true) if isinstance(mark, Mark) else ""
                table.writerow((*place, mark_text(made, mark), unit_name(made.unit), value, exact))
    return text.getvalue()


def _along(made: SetOut) -> str:
    """Behind the post that marks are measured from, where the tape lies along a sloping rail."""
    return ", along the slope" if made.bay.slope is Slope.RAKED else ""


def marks_text(job: Job) -> str:
    """The marks to read on a screen."""
    lines = []
    for index, bay in enumerate(job.bays):
        lines.append(bay.name.capitalize())
        made = set_out_or_reason(job, index)
        if isinstance(made, ImpossibleError):
            lines += [f"  {made}", ""]
            continue
        follows = f", {made.bay.slope.value}" if made.bay.slope is not None else ""
        lines.append(f"  {counted(made.pickets, 'picket')}{follows}, gap {limit_text(made.unit, made.bay.limit)}")
        for rail in made.rails:
            heading = f"{rail_name(rail)}: gap {length_text(made.unit, rail.gap)}"
            lines.append(f"  {heading}; {made.edge.value}s from the {origin_name(made)}{_along(made)}, {unit_name(made.unit)}")
            lines += [f"  {mark.index:4}  {mark_text(made, mark)}" for mark in rail.marks]
        lines.append("")
    for title, note in notes_in_figures(job):
        lines += [title, *(f"  {line}" for line in note), ""]
    return "\n".join(lines)


# JSON -----------------------------------------------------------------------------------------------------------------


def job_json(job: Job, title: str, date: str) -> str:
    """The whole job: each bay as measured and as set out, with its marks, exact and as they are called."""
    whole = {
        "version": EXPORT_VERSION,
        "title": title,
        "date": date,
        "settings_of_bays_not_set_out": _settings(job.settings),
        "bays": [_bay(job, index) for index in range(len(job.bays))],
        "posts": None if job.posts is None else _posts(job.posts),
        "boards": None if job.boards is None else _boards(job.boards),
        "notes": [{"title": note.title, "lines": list(note.lines)} for note in job.notes],
        "cautions_acknowledged": list(job.cautions),
        "position": None if job.position is None else _position(job.position),
    }
    return json.dumps(whole, indent=1, ensure_ascii=False) + "\n"


def _posts(wanted: Posts) -> list[dict[str, Any]]:
    """Where each post stands, from the outer face of the first; empty where they cannot be set out."""
    try:
        row = set_out_posts(wanted)
    except ImpossibleError:
        return []
    return [{"kind": post.kind.name, "near": _exact(post.near), "width": _exact(post.width)} for post in row.posts]


def _boards(wanted: Boards) -> dict[str, Any]:
    """Boards that overlap: the first begins at its post, each other one a pitch farther on."""
    row = lap(wanted)
    return {"opening": _exact(wanted.opening), "board": _exact(wanted.board), "count": row.count,
            "overlap": _exact(row.overlap), "pitch": _exact(row.pitch)}  # fmt: skip


def _exact(value: Fraction) -> str:
    return f"{value.numerator}/{value.denominator}"


def _exact_or_none(value: Fraction | None) -> str | None:
    return None if value is None else _exact(value)


def _settings(settings: Settings) -> dict[str, Any]:
    return {
        "unit": settings.unit.name,
        "resolution": settings.resolution.name,
        "picket": _exact_or_none(settings.picket),
        "limit": None if settings.limit is None else _limit(settings.limit),
        "left": _end(settings.left),
        "right": _end(settings.right),
        "edge": settings.edge.name,
        "origin": settings.origin.name,
        "share_lean": settings.share_lean,
        "likeness": settings.likeness.name,
    }


def _limit(limit: GapLimit) -> dict[str, Any]:
    return {"value": _exact(limit.value), "strict": limit.strict, "name": limit.name, "source": limit.source}


def _end(end: End) -> dict[str, Any]:
    return {"kind": end.kind.name, "fixed": _exact(end.fixed)}


def _bay(job: Job, index: int) -> dict[str, Any]:
    bay = job.bays[index]
    standing = job.standing_of(bay.number)
    written = {
        "name": bay.name,
        "measured": _measured(bay),
        "confirmed": is_confirmed(job, index),
        "called": [] if standing is None else [{"rail": rail, "mark": mark} for rail, mark in standing.called],
    }
    made = set_out_or_reason(job, index)
    return {**written, **({"problem": str(made)} if isinstance(made, ImpossibleError) else _set_out(made))}


def _measured(bay: Bay) -> dict[str, Any]:
    return {
        "number": bay.number,
        "openings": [[rail, _exact(opening)] for rail, opening in bay.openings],
        "picket": _exact(bay.picket),
        "limit": _limit(bay.limit),
        "count": bay.count,
        "gate": None if bay.gate is None else _gate(bay.gate),
        "slope": None if bay.slope is None else bay.slope.name,
        "rise": _exact(bay.rise),
        "going": _exact(bay.going),
        "along": _exact_or_none(bay.along),
        "under": _exact_or_none(bay.under),
        "leans": None if bay.leans is None else bay.leans.name,
    }


def _gate(gate: Gate) -> dict[str, Any]:
    return {
        "hinge": _exact(gate.hinge),
        "latch": _exact(gate.latch),
        "leaves": gate.leaves,
        "meeting": _exact(gate.meeting),
        "hinges": None if gate.hinges is None else gate.hinges.name,
    }


def _set_out(made: SetOut) -> dict[str, Any]:
    left, right = made.ends
    return {
        "edge": made.edge.name,
        "origin": made.origin.name,
        "measured_from": origin_name(made),
        "leaf": None if made.gate is None else _exact(made.gate.opening.leaf),
        "resolution": made.resolution.name,
        "unit": made.unit.name,
        "left": _end(left),
        "right": _end(right),
        "pickets": made.pickets,
        "allowed": made.allowed,
        "plumb": made.plumb,
        "slips": [_slip(slip) for slip in made.slips],
        "rails": [_rail(made, rail) for rail in made.rails],
        "rails_plumbed_to": [rail.name for rail in made.unmarked],
    }


def _slip(slip: Slip) -> dict[str, Any]:
    return {"picket": slip.picket, "places": [[rail, _exact(place)] for rail, place in slip.places]}


def _rail(made: SetOut, rail: Rail) -> dict[str, Any]:
    return {
        "rail": rail.name,
        "gap": _exact(rail.gap),
        "left_space": _exact(rail.left_space),
        "right_space": _exact(rail.right_space),
        "marks": [_mark(made, mark) for mark in rail.marks],
    }


def _mark(made: SetOut, mark: AnyMark) -> dict[str, Any]:
    exact = {"exact": _exact(mark.true)} if isinstance(mark, Mark) else {"exact_squared": _exact(mark.true_squared)}
    return {"mark": mark.index, "set_out": mark_text(made, mark), "value": _exact(mark.value), **exact}


def _position(position: Position) -> dict[str, Any]:
    return {"bay": position.bay, "rail": position.rail, "mark": position.mark}
