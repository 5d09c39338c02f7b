"""What is shown of a job at one moment, on the page and on the screen alike.

Crosses the border: a job in, a `View` of short texts and a small picture out.  Nothing is shown where no mark is being called, whatever the
job.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from assistant.job import Job
from assistant.plan import Marking, marking, next_to_mark, to_mark
from assistant.setout.lengths import Length, Unit
from assistant.setout.marks import Edge, Origin
from assistant.written import length_text, mark_text, rail_name, unit_name

WHOLE = 1000
"""Parts that the picture of a rail has from post to post."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A rail as seen from the front, in parts of WHOLE from its left end: where its pickets stand, and where the mark is."""

    pickets: tuple[tuple[int, int], ...] = ()
    """Left and right edge of each, from the left; empty where there is nothing to draw."""
    now: int = 0
    """Which of them the mark is for, counted from 0."""
    mark: int = 0
    """Where the mark is."""
    from_left: bool = True
    """Whether the tape is hooked on at the left: those on that side are done."""


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
    left: str = ""
    """“7 left”, of this rail."""
    gap: str = ""
    """“gap 97.5 mm”, as it was confirmed."""
    picture: Picture = Picture()


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
        next=f"next {mark_text(made, marks[at])}" if at < len(marks) else f"last mark of this rail{_then(job, now)}",
        status=status,
        done=at,
        total=len(marks),
        left=f"{len(marks) - at} left" if at < len(marks) else "",
        gap=f"gap {_short(made.unit, now.rail.gap)}",
        picture=_picture(now),
    )


def _short(unit: Unit, gap: Length) -> str:
    """A gap to be read at a glance: metric to a tenth of a millimetre; behind “≈” where that is not all of it."""
    tenths = Fraction(round(gap * 10), 10)
    about = "" if tenths == gap or unit in (Unit.INCH, Unit.FOOT_INCH) else "≈ "
    return about + length_text(unit, tenths if about else gap)


def _then(job: Job, now: Marking) -> str:
    """Where it goes on behind the last mark of a rail."""
    rails = [at.rail for at in to_mark(job, now.index) if at.rail != now.rail.name]
    rail = now.set_out.rail(rails[0]) if rails else None
    if rail is not None:
        return f", then {rail_name(rail)}"
    index = next_to_mark(job)
    return "" if index is None or index == now.index else f", then {job.bays[index].name}"


def _picture(now: Marking) -> Picture:
    """The rail that is being marked, and where on it."""
    rail, made = now.rail, now.set_out
    lefts, width, count = rail.left_edges(), rail.row.picket, len(rail.marks)
    if len(lefts) != count:
        return Picture()
    from_left = made.origin is Origin.LEFT
    at = now.mark - 1 if from_left else count - now.mark
    edge = lefts[at] + {Edge.LEFT: Fraction(0), Edge.CENTRE: width / 2, Edge.RIGHT: width}[made.edge]

    def part(place: Length) -> int:
        return round(place / rail.opening * WHOLE)

    return Picture(tuple((part(left), part(left + width)) for left in lefts), at, part(edge), from_left)
