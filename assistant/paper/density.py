"""How closely the marks of a bay are printed: as large as can be while the bay stays on one page.

Crosses the border: a bay as it stands on the sheet in, sizes in points and mm out.  A figure of 20 points is 5 mm high, which is read
from a metre (a two-hundredth of the distance: common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass

from assistant.measured import Slope
from assistant.paper.dimensions import width_of
from assistant.paper.sheet_content import BayBlock, RailBlock

POINT = 25.4 / 72
BETWEEN = 4.8
"""Between the parts of a mark and from one column to the next, together, in mm."""


@dataclass(frozen=True, slots=True)
class Density:
    """Sizes of one bay on paper."""

    mark: float
    """Height of a mark's type, in points."""
    row: float
    """From one mark to the next, in mm."""
    drawing: float
    """The most that the drawing takes of the height, in mm."""

    @property
    def box(self) -> float:
        """A box to tick with the space beside it, in mm."""
        return min(5.5, self.row + 0.5)

    @property
    def small(self) -> float:
        """Height of the type of a picket's number, in points."""
        return min(10.0, self.mark)

    def number(self, rail: RailBlock) -> float:
        """Room for the number of a picket, in mm."""
        return max((width_of(number, self.small * POINT) for number, _ in rail.marks), default=0.0) + 2

    def drawing_of(self, block: BayBlock) -> float:
        """The most that the drawing of a bay takes of the height, in mm: one that climbs needs more."""
        return self.drawing * (1.35 if block.made is not None and block.made.bay.slope is Slope.RAKED else 1.0)

    def columns(self, rail: RailBlock, width: float) -> int:
        """How many marks stand side by side on a page of this width, in mm."""
        longest = max((width_of(mark, self.mark * POINT) for _, mark in rail.marks), default=0.0)
        return max(1, int(width // (self.number(rail) + longest + self.box * len(rail.boxes) + BETWEEN)))

    def rows(self, rail: RailBlock, width: float) -> int:
        """How many marks stand under each other."""
        return -(-len(rail.marks) // self.columns(rail, width))


DENSITIES = (
    Density(28, 13, 85),
    Density(24, 11, 80),
    Density(20, 9.5, 75),
    Density(18, 8.5, 65),
    Density(16, 7.5, 58),
    Density(16, 7.2, 46),
    Density(16, 7, 36),
    Density(14, 6.2, 42),
    Density(12, 5.6, 45),
    Density(10, 4.6, 38),
    Density(9, 4.2, 34),
    Density(8, 3.8, 30),
)
"""From the largest on; the drawing gives way before the marks become too small for a metre."""


def height_about(block: BayBlock, density: Density, width: float) -> float:
    """About how high a bay stands on a page of this width, in mm: for a browser, which sets type of its own."""
    height = 30.0 + 7.0 * ((len(block.facts) + 1) // 2 + len(block.changes) + len(block.headline) // 60) + 13.0 * len(block.warnings)
    if block.made is not None:
        height += density.drawing_of(block) + 7.0
    return height + sum(20.0 + (density.row + 0.5) * density.rows(rail, width) for rail in block.rails)


def density_about(block: BayBlock, width: float, room: float) -> Density:
    """The largest density by which a bay is about as high as a room allows; the closest where none is."""
    return next((one for one in DENSITIES if height_about(block, one, width) <= room), DENSITIES[-1])
