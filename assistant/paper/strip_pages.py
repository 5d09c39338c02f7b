"""Pieces of strips packed on paper: several rails side by side, turned the way that takes the fewest sheets.

Crosses the border: strips and a paper in, pages of placed pieces out.  Places are mm from the upper left corner of a page.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from assistant.paper.pages import MARGIN, Paper
from assistant.paper.strips import POINT, Piece, Strip, pieces

BAND = 16.0
"""Height of a strip; those beside it share its edge, so that one cut parts them."""

HEAD = 19.0
"""Of a page: title, what to do, rule."""

LEFT = ceil(MARGIN / POINT) * POINT
"""Where a row begins: on a whole point."""

BETWEEN = 10 * POINT
"""Between pieces in one row."""

ROLL_HEIGHT = 297.0
"""How wide a roll is: what goes on one page of it."""

ROLL_LONGEST = 14_400 * POINT
"""The longest page of a PDF is 14,400 points (ISO 32000-1, Annex C)."""

LEAST_WIDTH = 200.0
"""Of a page, for its head."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A piece on its page."""

    piece: Piece
    left: float
    top: float


@dataclass(frozen=True, slots=True)
class StripPage:
    """One page, its size and what lies on it."""

    width: float
    height: float
    placed: tuple[Placed, ...]


def on_sheets(strips: Sequence[Strip], paper: Paper) -> tuple[StripPage, ...]:
    """On sheets, upright or laid sideways, whichever takes fewer; of two alike the one with fewer joins."""
    ways = [_paged(strips, (width, height)) for width, height in ((paper.height, paper.width), (paper.width, paper.height))]
    return min(ways, key=lambda pages: (len(pages), sum(len(page.placed) for page in pages)))


def on_roll(strips: Sequence[Strip]) -> tuple[StripPage, ...]:
    """On one long page as wide as a roll; on more only where more rails lie beside each other than it is wide.

    A strip longer than a page may be is cut.
    """
    longest = max((strip.length for strip in strips), default=0.0)
    width = min(ROLL_LONGEST, max(LEAST_WIDTH, longest + LEFT + MARGIN))
    pages = _paged(strips, (width, ROLL_HEIGHT))
    return tuple(StripPage(page.width, _height(page), page.placed) for page in pages)


def on_one(strips: Sequence[Strip]) -> StripPage:
    """On one page of whatever size, with nothing cut: for a plotter."""
    width = max(LEAST_WIDTH, max((strip.length for strip in strips), default=0.0) + LEFT + MARGIN)
    (page,) = _paged(strips, (width, 2 * MARGIN + HEAD + BAND * max(1, len(strips))))
    return StripPage(page.width, _height(page), page.placed)


def _height(page: StripPage) -> float:
    """As high as what lies on it."""
    return max((one.top for one in page.placed), default=MARGIN + HEAD) + BAND + MARGIN


def _paged(strips: Sequence[Strip], size: tuple[float, float]) -> tuple[StripPage, ...]:
    width, height = size
    room = width - LEFT - MARGIN
    rows = _rows([piece for strip in strips for piece in pieces(strip, room)], room)
    on_page = max(1, int((height - 2 * MARGIN - HEAD + 1e-6) // BAND))
    made = []
    for first in range(0, max(1, len(rows)), on_page):
        placed: list[Placed] = []
        for number, row in enumerate(rows[first : first + on_page]):
            left = LEFT
            for piece in row:
                placed.append(Placed(piece, left, MARGIN + HEAD + number * BAND))
                left = ceil((left + piece.length) / POINT) * POINT + BETWEEN
        made.append(StripPage(width, height, tuple(placed)))
    return tuple(made)


def _rows(cut: Sequence[Piece], room: float) -> list[list[Piece]]:
    """Pieces in as few rows as can be: the longest first, each where it fits first (Johnson's first-fit decreasing, from memory)."""
    rows: list[list[Piece]] = []
    left: list[float] = []
    order = {id(piece): place for place, piece in enumerate(cut)}
    for piece in sorted(cut, key=lambda one: -one.length):
        at = next((row for row, rest in enumerate(left) if piece.length <= rest + 1e-6), None)
        if at is None:
            rows.append([])
            left.append(room)
            at = len(rows) - 1
        rows[at].append(piece)
        left[at] -= piece.length + BETWEEN + POINT
    for row in rows:
        row.sort(key=lambda piece: order[id(piece)])
    return sorted(rows, key=lambda row: order[id(row[0])])
