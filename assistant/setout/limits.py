"""A largest gap: its value, and whether a gap may equal it."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.setout.lengths import Length


@dataclass(frozen=True, slots=True)
class GapLimit:
    """The largest gap wanted, in millimetres; nothing is applied unless the user asks for it."""

    value: Length
    strict: bool
    """True where the gap must stay under the value; False where it may equal it."""
    name: str = ""
    source: str = ""

    def allows(self, gap: Length) -> bool:
        """Whether a gap of this size obeys the limit."""
        return gap < self.value if self.strict else gap <= self.value
