"""One bay from written measures: no conversation, no record.  Pure; text in, a set-out and its report out."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.errors import LengthError
from assistant.job import Job, Settings
from assistant.measured import Bay
from assistant.plan import preview
from assistant.set_out import SetOut
from assistant.setout.ends import GAP, HALF_GAP, PICKET, End, set_gap
from assistant.setout.lengths import Length, Resolution, Unit, parse_written, write
from assistant.setout.limits import GapLimit
from assistant.setout.marks import Edge, Origin
from assistant.setout.tolerances import OUT_OF_PLUMB

_UNITS = {"mm": Unit.MM, "cm": Unit.CM, "m": Unit.M, "in": Unit.INCH, "ft": Unit.FOOT_INCH}
_TO = {"1": Resolution.MM_1, "0.5": Resolution.MM_HALF, "1/16": Resolution.INCH_16, "1/32": Resolution.INCH_32}
_ENDS = {"gap": GAP, "picket": PICKET, "half": HALF_GAP}


MOST = 10_000
"""Pickets in a bay that are worked out; more is a slip of the keyboard."""


@dataclass(frozen=True, slots=True)
class Request:
    """What was asked on the command line, as written there."""

    openings: tuple[str, ...]
    picket: str
    gap: str
    strict: bool
    unit: str
    to: str | None
    left: str
    right: str
    edge: str
    origin: str
    share_lean: bool = False
    """Every gap shares a leaning post, in place of pickets that stay plumb."""


def solved(request: Request) -> SetOut:
    """The bay set out.  Raises LengthError for what cannot be read, ImpossibleError for what cannot exist."""
    unit = _UNITS[request.unit]
    if len(request.openings) > 2:
        raise LengthError("Give one opening, or two: bottom and top. Put quotes round a length with spaces in it.")
    metric = unit in (Unit.MM, Unit.CM, Unit.M)
    to = _TO[request.to] if request.to else Resolution.MM_1 if metric else Resolution.INCH_16
    settings = Settings(
        unit=unit,
        resolution=to,
        left=_end(request.left, unit),
        right=_end(request.right, unit),
        edge=Edge[request.edge.upper()],
        origin=Origin[request.origin.upper()],
        share_lean=request.share_lean,
    )
    openings = tuple(zip(("bottom", "top"), (parse_written(text, unit) for text in request.openings), strict=False))
    limit = GapLimit(parse_written(request.gap, unit), request.strict)
    picket = parse_written(request.picket, unit)
    if any(0 < MOST * (picket + limit.value) < length for _, length in openings):
        raise LengthError(f"That opening takes over {MOST} pickets. Check it, and the unit.")
    bay = Bay(1, openings, picket, limit)
    return preview(Job(settings=settings, bays=(bay,)), 0)


def _end(text: str, unit: Unit) -> End:
    return _ENDS.get(text) or set_gap(parse_written(text, unit))


def report(made: SetOut) -> dict[str, object]:
    """The set-out as plain values: exact lengths as "p/q" millimetres, and the marks as they are set out."""
    near = made.largest.layout.neighbours
    return {
        "warnings": _warnings(made),
        "pickets": made.count,
        "gaps": made.largest.layout.gap_count,
        "allowed": made.allowed,
        "rails": [
            {
                "rail": rail.name,
                "gap_mm": str(rail.gap),
                "marks": [write(value, made.unit) for value in rail.values()],
                "marks_mm": [str(value) for value in rail.values()],
            }
            for rail in made.rails
        ],
        "one_fewer_gap_mm": str(near.fewer.gap) if near.fewer else None,
        "one_more_gap_mm": str(near.more.gap) if near.more else None,
    }


def _warnings(made: SetOut) -> list[str]:
    """What the conversation would warn of."""
    said = []
    if not made.allowed:
        largest = max(rail.largest for rail in (*made.rails, *made.unmarked))
        said.append(f"over the largest gap: the widest space is {write(largest, made.unit)}")
    openings = [opening for _, opening in made.bay.openings]
    if max(openings) - min(openings) > OUT_OF_PLUMB:
        said.append(f"the openings differ by {write(max(openings) - min(openings), made.unit)}: a post is out of plumb")
    if made.unmarked:
        said.append(f"mark the {made.rails[0].name} rail and plumb every picket from it")
    return said


def text(made: SetOut) -> str:
    """The set-out as lines to read."""
    layout = made.largest.layout

    def shown(length: Length) -> str:
        return write(length, made.unit)

    lines = [f"{made.count} pickets, {layout.gap_count} gaps"]
    lines += _warnings(made)
    for rail in made.rails:
        lines.append(f"{rail.name} rail: gap {shown(rail.gap)}")
        lines.append(f"  marks at {made.edge.value}s from the {made.origin.value}:")
        lines += [f"  {mark.index:3}  {shown(mark.value)}" for mark in rail.marks]
    near = layout.neighbours
    if near.fewer:
        lines.append(f"one fewer: gap {shown(near.fewer.gap)}{'' if near.fewer.allowed else ' (over the limit)'}")
    if near.more:
        lines.append(f"one more: gap {shown(near.more.gap)}")
    lines.append("Arithmetic only. Your local authority decides the limit.")
    return "\n".join(lines)
