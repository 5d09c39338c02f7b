"""How values are written on paper and screen: marks in the unit of their set-out, gaps with their limit.

Crosses the border: exact lengths and a unit in, short texts out; nothing is computed here but the rounding of display.
"""

from __future__ import annotations

from assistant.set_out import AnyMark, Rail, SetOut
from assistant.setout.ends import End, EndKind
from assistant.setout.lengths import Length, Unit, write
from assistant.setout.limits import GapLimit

_ABOUT = "≈"


def mark_text(set_out: SetOut, mark: AnyMark) -> str:
    """A mark as a bare number; feet and inches keep their units."""
    text = write(mark.value, set_out.unit)
    return text if set_out.unit is Unit.FOOT_INCH else text.removesuffix(f" {set_out.unit.value}")


def unit_name(unit: Unit) -> str:
    """What bare numbers are in."""
    return {Unit.INCH: "inches", Unit.FOOT_INCH: "feet and inches"}.get(unit, unit.value)


def length_text(unit: Unit, length: Length) -> str:
    """A length that was worked out, with its unit; exact or behind “≈”."""
    return write(length, unit)


def measured_text(unit: Unit, length: Length) -> str:
    """A length that was given, exact: in millimetres where only they say it so."""
    text, metric = write(length, unit), write(length, Unit.MM)
    return metric if text.startswith(_ABOUT) and not metric.startswith(_ABOUT) else text


def limit_text(unit: Unit, limit: GapLimit) -> str:
    """A largest gap, whether it may be reached, and whose it is."""
    rule = "must be under" if limit.strict else "at most"
    name = f" ({limit.name})" if limit.name else ""
    return f"{rule} {measured_text(unit, limit.value)}{name}"


def end_text(unit: Unit, end: End) -> str:
    """What stands between the last picket and a post."""
    if end.kind is EndKind.SET_GAP:
        return f"a set gap of {measured_text(unit, end.fixed)}"
    return {EndKind.GAP: "a gap", EndKind.HALF_GAP: "half a gap", EndKind.PICKET: "a picket against it"}[end.kind]


def rail_name(rail: Rail) -> str:
    """“bottom rail”, “each leaf”."""
    return rail.name if "leaf" in rail.name else f"{rail.name} rail"


def origin_name(set_out: SetOut) -> str:
    """What the tape is hooked on: “left post”, “left edge of the leaf”."""
    return set_out.origin.value if set_out.gate is None else f"{set_out.origin.value.split()[0]} edge of the leaf"


def counted(count: int, one: str) -> str:
    """“1 picket”, “24 pickets”."""
    return f"{count} {one if count == 1 else one + 's'}"
