"""How values are written on paper: marks in their own unit, gaps with their limit.

Crosses the border: exact lengths and settings in, short texts out; nothing is computed here but the rounding of display.
"""

from __future__ import annotations

from assistant.job import Settings
from assistant.plan import AnyMark, RailPlan
from assistant.setout.ends import End, EndKind
from assistant.setout.lengths import Length, Unit, write
from assistant.setout.limits import GapLimit

_IMPERIAL = (Unit.INCH, Unit.FOOT_INCH)


def mark_unit(settings: Settings) -> Unit:
    """The unit marks are written in: the user's, unless its tape has no such graduations."""
    own = settings.resolution.unit
    return settings.unit if (settings.unit in _IMPERIAL) == (own in _IMPERIAL) else own


def mark_text(settings: Settings, mark: AnyMark) -> str:
    """A mark as a bare number; feet and inches keep their units."""
    unit = mark_unit(settings)
    text = write(mark.value, unit)
    return text if unit is Unit.FOOT_INCH else text.removesuffix(f" {unit.value}")


def unit_name(settings: Settings) -> str:
    """What the bare numbers are in."""
    return {Unit.INCH: "inches", Unit.FOOT_INCH: "feet and inches"}.get(mark_unit(settings), mark_unit(settings).value)


def length_text(settings: Settings, length: Length) -> str:
    """A length with its unit, exact or behind “≈”."""
    return write(length, settings.unit)


def limit_text(settings: Settings, limit: GapLimit) -> str:
    """A largest gap, whether it may be reached, and whose it is."""
    rule = "must be under" if limit.strict else "at most"
    name = f" ({limit.name})" if limit.name else ""
    return f"{rule} {length_text(settings, limit.value)}{name}"


def end_text(settings: Settings, end: End) -> str:
    """What stands between the last picket and a post."""
    if end.kind is EndKind.SET_GAP:
        return f"a set gap of {length_text(settings, end.fixed)}"
    return {EndKind.GAP: "a gap", EndKind.HALF_GAP: "half a gap", EndKind.PICKET: "a picket against it"}[end.kind]


def rail_name(rail: RailPlan) -> str:
    """“bottom rail”, “each leaf”."""
    return rail.rail if "leaf" in rail.rail else f"{rail.rail} rail"


def counted(count: int, one: str) -> str:
    """“1 picket”, “24 pickets”."""
    return f"{count} {one if count == 1 else one + 's'}"
