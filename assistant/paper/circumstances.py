"""What a sheet says that the job itself does not know: where it is, who measured, when gaps were confirmed and what was changed.

Crosses the border: texts, told by whoever has the record or stands at the fence; all moments are in one time zone.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Circumstances:
    """Around a job; what is empty is left to be filled in by hand."""

    place: str = ""
    measured_by: str = ""
    zone: str = ""
    """The time zone of every moment on the sheet, “UTC+02:00”."""
    confirmed: tuple[tuple[int, str], ...] = ()
    """(number of a bay, when its gap was confirmed)."""
    changed: tuple[tuple[int, str], ...] = ()
    """(number of a bay, what was changed about it and when), in order."""

    def confirmed_at(self, bay: int) -> str:
        """When the gap of a bay was confirmed; empty where that is not known."""
        return dict(self.confirmed).get(bay, "")

    def changes_of(self, bay: int) -> tuple[str, ...]:
        """What was changed about a bay."""
        return tuple(text for number, text in self.changed if number == bay)


UNKNOWN = Circumstances()
