"""What is drawn on a page of strips, with whatever draws lines and text: on paper or for a plotter.

Crosses the border: a page of placed pieces in, calls of a `Drawer` out, in mm from the upper left corner.
"""

from __future__ import annotations

from typing import Protocol

from assistant.paper.dimensions import width_of
from assistant.paper.pages import MARGIN
from assistant.paper.strip_pages import BAND, StripPage
from assistant.paper.strip_pages import Placed as Lying
from assistant.paper.strips import BESIDE, OVERLAP, POINT, StripMark

MARK = 11.5
"""How far a mark goes from the upper edge of its strip, which is laid along the rail; its name stands below."""

SMALL = 7 * POINT
RULE = 101.6
"""The rule: 100 mm over the line, 4 in under it."""

INSTRUCTION = (
    "Print at 100 % (actual size), without fit to page. Measure the rule: 100 mm above, 4 in below, or print again. "
    "Lay the upper edge of a strip along the rail."
)
JOINING = "Join: cut the next piece at its left end, lay it on the dashed line over the part marked TAPE, and tape."


class Drawer(Protocol):
    """What lines and texts are drawn with; widths and sizes in mm."""

    def line(self, start: tuple[float, float], end: tuple[float, float], width: float, *, dashed: bool = False) -> None:
        """A straight line."""

    def text(self, at: tuple[float, float], text: str, size: float, *, bold: bool = False) -> None:
        """A text that begins here, on its base line."""

    def shade(self, left: float, top: float, width: float, height: float) -> None:
        """A faint surface."""


def draw_page(drawer: Drawer, page: StripPage, title: str, number: str) -> None:
    """A whole page: its head and every piece on it; `number` is “page 2 of 5”."""
    _head(drawer, page, title, number)
    for one in page.placed:
        _piece(drawer, one, number.partition(" of ")[0])


def _head(drawer: Drawer, page: StripPage, title: str, number: str) -> None:
    drawer.text((MARGIN, MARGIN + 3.5), f"{title}: story pole at full size, {number}", 10 * POINT, bold=True)
    for line, text in enumerate((INSTRUCTION, JOINING)):
        room = page.width - 2 * MARGIN
        drawer.text((MARGIN, MARGIN + 7.5 + 3.5 * line), text, min(8 * POINT, room / width_of(text, 1.0) * 1.15))
    y = MARGIN + 15.0
    drawer.line((MARGIN, y), (MARGIN + RULE, y), 0.25)
    for tenth in range(11):
        x = MARGIN + 10 * tenth
        drawer.line((x, y), (x, y - (2 if tenth % 10 == 0 else 1)), 0.25)
    for inch in range(5):
        x = MARGIN + 25.4 * inch
        drawer.line((x, y), (x, y + (2 if inch % 4 == 0 else 1)), 0.25)
    drawer.text((MARGIN + RULE + 2, y - 0.3), "100 mm", SMALL)
    drawer.text((MARGIN + RULE + 2, y + 2.4), "4 in", SMALL)


def _piece(drawer: Drawer, lying: Lying, page: str) -> None:
    piece, left, top = lying.piece, lying.left, lying.top
    strip = piece.strip

    def at(distance: float) -> float:
        return left + distance - piece.start

    for start, end in strip.pickets:
        low, high = max(start, piece.start), min(end, piece.end)
        if low < high:
            drawer.shade(at(low), top, high - low, MARK)
    for y in (top, top + BAND):
        drawer.line((left, y), (left + piece.length, y), 0.15)
    for mark in piece.marks():
        _mark(drawer, mark, strip.covered(mark)[0] < mark.at, (at(mark.at), top), strip.type_size)
    _end(drawer, at(piece.start), top, post=piece.number == 1)
    _end(drawer, at(piece.end), top, post=piece.is_last)
    if not piece.is_last:
        _tape(drawer, at(piece.end), top)
    _name(drawer, lying, page)


def _mark(drawer: Drawer, mark: StripMark, before: bool, at: tuple[float, float], size: float) -> None:
    x, top = at
    drawer.line((x, top), (x, top + MARK), 0.25)
    for text, down, bold in ((mark.text, 4.6, True), (str(mark.number), 9.6, False)):
        own = size if bold else size * 0.75
        start = x - BESIDE - width_of(text, own) if before else x + BESIDE
        drawer.text((start, top + down), text, own, bold=bold)


def _name(drawer: Drawer, lying: Lying, page: str) -> None:
    """Which bay, rail, piece and page, and what its numbers are; as small as it has to be."""
    piece = lying.piece
    left, right = piece.strip.ends
    begins = f"< {left}. " if piece.number == 1 else ""
    ends = f" > {right}" if piece.is_last else ""
    name = f"{begins}{piece.strip.title}, piece {piece.number} of {piece.of}, {page}{ends}"
    long = f"{begins}{piece.strip.title}, piece {piece.number} of {piece.of}, {page}: {piece.strip.how}{ends}"
    room = piece.end - piece.start - 2 * BESIDE
    text = long if width_of(long, SMALL) <= room else name
    drawer.text((lying.left + BESIDE, lying.top + 14.6), text, min(SMALL, room / width_of(text, 1.0)))


def _end(drawer: Drawer, x: float, top: float, *, post: bool) -> None:
    """The face of a post as a heavy line, or a join as a dashed one."""
    drawer.line((x, top), (x, top + BAND), 0.6 if post else 0.2, dashed=not post)


def _tape(drawer: Drawer, x: float, top: float) -> None:
    drawer.line((x + OVERLAP, top), (x + OVERLAP, top + BAND), 0.15)
    drawer.text((x + 1.5, top + 8.5), "TAPE", SMALL)
