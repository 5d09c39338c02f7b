"""A largest gap, whether a gap may equal it, and the published limits a user may ask for by name.

Crosses the border: `GapLimit` values. Nothing is applied unless the user asks for it, and whoever says a published
limit also says `AUTHORITY`. Only values read in the source's own words, or in a quotation of it, are here.
Where a code prints a rounded metric value beside an inch value, the inch value is the limit: 4 in is 101.6 mm.
"""

from __future__ import annotations

from dataclasses import dataclass

from assistant.setout.lengths import Length, inches, mm

AUTHORITY = "Arithmetic only. Your local building or pool authority decides the limit and does the checking."


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


PUBLISHED = (
    GapLimit(
        inches(4),
        strict=True,
        name="United States guard",
        source="IRC 2018 R312.1.3: no opening that a 4 inch sphere passes; where the drop is over 30 in",
    ),
    GapLimit(
        inches("4.375"),
        strict=True,
        name="United States stair guard",
        source="IRC 2018 R312.1.3, exception: 4-3/8 inch sphere on the open side of stairs",
    ),
    GapLimit(
        inches("1.75"),
        strict=False,
        name="United States pool, rails close together",
        source="ISPSC 2018 305.2.5: tops of rails under 45 in apart, gaps shall not exceed 1-3/4 in",
    ),
    GapLimit(
        inches(4),
        strict=False,
        name="United States pool, rails far apart",
        source="ISPSC 2018 305.2.6: tops of rails 45 in or more apart, gaps shall not exceed 4 in",
    ),
    GapLimit(
        mm(100),
        strict=True,
        name="England guard",
        source="Approved Document K 2013, 1.39 and 3.3: a 100 mm sphere cannot pass, where children may be",
    ),
    GapLimit(
        mm(125),
        strict=True,
        name="Australia barrier to a fall",
        source="NCC Housing Provisions, as given in three trade summaries: a 125 mm sphere must not pass",
    ),
    GapLimit(
        mm(100),
        strict=False,
        name="Australia pool",
        source="AS 1926.1, council checklists of the 1993 and 2012 editions: vertical gaps not over 100 mm",
    ),
    GapLimit(
        mm(100),
        strict=False,
        name="Ontario guard",
        source="Ontario Building Code, guards: a sphere of diameter more than 100 mm must not pass",
    ),
    GapLimit(
        mm(100),
        strict=False,
        name="British Columbia guard",
        source="BCBC 3.4.6.5(5) in Appeal Board decision 1729: a sphere of more than 100 mm must not pass",
    ),
)


def published(name: str) -> GapLimit | None:
    """The published limit of this name, in any letter case; None if there is none."""
    return next((limit for limit in PUBLISHED if limit.name.lower() == name.strip().lower()), None)
