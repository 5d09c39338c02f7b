"""What is cut, from the set-outs of a job: the page for the saw.

Crosses the border: a job in, rows of texts out.
"""

from __future__ import annotations

from dataclasses import dataclass

from assistant.job import Job
from assistant.measured import Slope
from assistant.paper.laid_out import laid_out
from assistant.plan import steepness
from assistant.set_out import SetOut
from assistant.written import length_text, measured_text


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under a heading, each with a box to tick."""

    heading: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def cut_list(job: Job) -> Table:
    """Pieces of one kind and length together: what, how many, how long, where for."""
    pieces: dict[tuple[str, str], list[str]] = {}
    counts: dict[tuple[str, str], int] = {}
    for made in laid_out(job):
        for what, length, count, where in _pieces(made):
            pieces.setdefault((what, length), []).append(where)
            counts[what, length] = counts.get((what, length), 0) + count
    rows = tuple((what, str(counts[what, length]), length, ", ".join(where)) for (what, length), where in pieces.items())
    return Table("Cut list", ("Piece", "Count", "Length", "For"), rows)


def _pieces(made: SetOut) -> list[tuple[str, str, int, str]]:
    bay, name = made.bay, made.bay.name
    pickets = (f"Picket {measured_text(made.unit, bay.picket)} wide", "height not measured", made.pickets, f"{name}: {made.pickets}")
    if made.gate is not None:
        hung = made.gate.opening
        return [pickets, ("Leaf of a gate", f"{length_text(made.unit, hung.leaf)} wide", hung.leaves, name)]
    rails = []
    for rail, opening in bay.openings:
        if bay.slope is Slope.RAKED:
            slope = steepness(bay)
            length = f"{length_text(made.unit, slope.stretched(opening))}, ends cut plumb at {slope.angle:.1f}°"
        else:
            length = measured_text(made.unit, opening)
        rails.append(("Rail between posts", length, 1, f"{name} {rail}"))
    return [pickets, *rails]
