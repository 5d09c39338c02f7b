"""A largest gap, whether a gap may equal it, and the published limits a user may ask for by name.

Crosses the border: `GapLimit` and `Published` values. Nothing is applied unless the user asks for it, and whoever says a published limit
also says `AUTHORITY`. Values are in the source's own words, or in a quotation of it; where only a summary was to be had, the entry says
whose. Each says which edition and clause, and when it was looked up. A guard stands where people could fall, a pool barrier round water:
they are entries of their own. Where a code prints a rounded metric value beside an inch value, the inch value is the limit: 4 in is 101.6
mm.
"""

from __future__ import annotations

from dataclasses import dataclass

from assistant.setout.lengths import Length, inches, mm

AUTHORITY = "Arithmetic only. Your local building or pool authority decides the limit and does the checking."

NOT_SEEN = "number not seen"
"""In place of a clause, where only its text was read."""


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


@dataclass(frozen=True, slots=True)
class Published:
    """A limit that a code, a standard or a guide prints."""

    region: str
    what: str
    """What it is for: a guard, a pool."""
    value: Length
    strict: bool
    code: str
    """What prints it, as it is called aloud."""
    edition: str
    clause: str
    rule: str
    """What it says, in our words."""
    looked: str
    """The day its text, or a quotation of it, was looked up."""

    @property
    def name(self) -> str:
        """“England guard”."""
        return f"{self.region} {self.what}"

    @property
    def where(self) -> str:
        """Edition and clause, written."""
        return f"{self.code}, {self.edition}, clause {self.clause}"

    @property
    def limit(self) -> GapLimit:
        """The limit, with where it comes from for the sheet."""
        return GapLimit(self.value, self.strict, self.name, f"{self.where}: {self.rule}; looked up {self.looked}")


_SPHERE_100 = "a 100 mm sphere must not pass"
_LATEST = "2026-11-27"

PUBLISHED = (
    Published(
        "United States", "guard", inches(4), True, "International Residential Code", "2018", "R312.1.3",
        "a 4 in sphere must not pass, where the drop is over 30 in", _LATEST,
    ),
    Published(
        "United States", "stair guard", inches("4.375"), True, "International Residential Code", "2018", "R312.1.3, exception 2",
        "a 4-3/8 in sphere must not pass, on the open side of stairs", _LATEST,
    ),
    Published(
        "United States", "pool, rails close together", inches("1.75"), False, "International Swimming Pool and Spa Code", "2018", "305.2.5",
        "with tops of rails under 45 in apart, gaps of 1-3/4 in at most", _LATEST,
    ),
    # 305.2.6 by itself lets a gap be 4 in; 305.2.2 lets no 4 in sphere pass any opening. Both hold, so the gap has to be less. Read
    # side by side in a town's pool code that repeats them, 3109.3.1.1 and 3109.3.1.4 (ecode360.com/42935925).
    Published(
        "United States", "pool, rails far apart", inches(4), True, "International Swimming Pool and Spa Code", "2018",
        "305.2.6 and 305.2.2",
        "with tops of rails 45 in apart or more, gaps of 4 in at most, and a 4 in sphere must not pass", _LATEST,
    ),
    Published(
        "England", "guard", mm(100), True, "Approved Document K", "2013", "3.3 and 1.39",
        f"{_SPHERE_100}, where children under five may be", _LATEST,
    ),
    Published(
        "Ireland", "guard", mm(100), True, "Technical Guidance Document K", "2014", "1.1.19",
        f"{_SPHERE_100}, where children under five are likely", _LATEST,
    ),
    Published(
        "Australia", "barrier to a fall", mm(125), True, "National Construction Code, Housing Provisions", "2022", "11.3.4",
        "a 125 mm sphere must not pass; the value as trade summaries give it", _LATEST,
    ),
    Published(
        "Australia", "pool", mm(100), False, "Australian Standard 1926.1", "1993 and 2012", "2.10 of 1993",
        "gaps between uprights of 100 mm at most, as council checklists give it", _LATEST,
    ),
    Published(
        "New Zealand", "guard", mm(100), True, "Acceptable Solution F4/AS1", "third edition", "1.2",
        f"{_SPHERE_100}, where children under six are likely, as in every house", _LATEST,
    ),
    Published(
        "New Zealand", "pool", mm(100), True, "Acceptable Solution F9/AS1", "2017", NOT_SEEN,
        f"{_SPHERE_100} the barrier, as a builders' magazine gives it", _LATEST,
    ),
    Published(
        "South Africa", "pool", mm(100), True, "South African National Standard 10400-D", "as quoted in 2019", NOT_SEEN,
        "a 100 mm ball must not pass the wall, the fence or its gate", _LATEST,
    ),
    Published(
        "Ontario", "guard", mm(100), False, "Ontario Building Code", "2012", "3.3.1.18.(2)",
        "a sphere of more than 100 mm must not pass", _LATEST,
    ),
    Published(
        "British Columbia", "guard", mm(100), False, "British Columbia Building Code", "2012", "3.4.6.5.(5)",
        "a sphere of more than 100 mm must not pass, as Appeal Board decision 1729 quotes it", "2026-11-25",
    ),
)  # fmt: skip


def published(name: str) -> Published | None:
    """The published limit of this name, in any letter case; None if there is none."""
    return next((one for one in PUBLISHED if one.name.lower() == name.strip().lower()), None)
