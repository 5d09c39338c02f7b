"""Story-pole strips on paper at full size: in pieces on sheets, to be joined, or whole on a roll.

Crosses the border: strips, a title and a date in; the bytes of a PDF out.  Every sheet carries lines of known length to
be measured before use, for printers like to shrink a page to fit.
"""

from __future__ import annotations

from collections.abc import Sequence

from assistant import colours
from assistant.paper.pages import MARGIN, Pages, Paper, plain
from assistant.paper.strips import Piece, Strip, pieces

BAND = 26.0
"""Height of a strip, in mm: a mark is a line right across it."""

JOIN = 32.0
"""Height of the dashed line where two pieces meet."""

OVERLAP = 12.0
"""What a piece shows beyond its join, to be glued under the next."""

ROW = 37.5
"""From one piece down to the next on a sheet."""

HEAD = 30.0
"""Of a sheet: title, instruction, scale check."""

POINT = 25.4 / 72
"""The unit of a PDF, in mm.  Joins lie on whole points, so that rounding in the file never adds up along a strip."""

LEFT = 34 * POINT
"""Where every piece begins."""

ROLL_STEP = 13_600 * POINT
"""The longest piece on a roll: a page of a PDF may not be longer than 14,400 points (ISO 32000-1, Annex C)."""

CHECKS = ((100.0, "100 mm"), (101.6, "4 in"))
INSTRUCTION = (
    "Before use, measure these two lines. If they are not 100 mm and 4 in long, print again at 100 % (actual size), "
    "without fit to page."
)
JOINING = "Cut along a dashed line, lay it on the dashed line of the piece before, and tape; the numbers at a join match."


def pole_pdf(made: Sequence[Strip], title: str, date: str, paper: Paper | None = Paper.A4) -> bytes:
    """The strips at full size, on sheets laid sideways, or with None each on one long page for a roll."""
    foot = f"{title}, {date}, story pole"
    pages = Pages((paper.height, paper.width) if paper else (297.0, 210.0), foot)
    pages.set_auto_page_break(False)
    step = _step(paper) if paper else ROLL_STEP
    rows = int((paper.width - 2 * MARGIN - HEAD) / ROW) if paper else 1
    cut = [piece for strip in made for piece in pieces(strip, step)]
    for place, piece in enumerate(cut):
        row = place % rows
        if row == 0:
            size = (paper.height, paper.width) if paper else _roll_size(piece)
            pages.add_page(format=size)
            _head(pages, title, date)
        _piece(pages, piece, MARGIN + HEAD + row * ROW + JOIN - BAND)
    if not cut:
        pages.add_page()
        _head(pages, title, date)
    return bytes(pages.output())


def _step(paper: Paper) -> float:
    """The length of a piece, with room left for the overlap."""
    return int((paper.height - LEFT - MARGIN - OVERLAP) / POINT) * POINT


def _roll_size(piece: Piece) -> tuple[float, float]:
    least = 200.0
    return max(least, piece.end - piece.start + OVERLAP + 2 * MARGIN), 2 * MARGIN + HEAD + ROW + 6


def _head(pages: Pages, title: str, date: str) -> None:
    pages.set_text_color(colours.INK)
    pages.set_draw_color(colours.INK)
    pages.set_font("Helvetica", "B", 12)
    pages.text(MARGIN, MARGIN + 4, plain(f"{title}, {date}: story pole at full size"))
    pages.set_font("Helvetica", "", 9)
    pages.text(MARGIN, MARGIN + 9, JOINING)
    pages.text(MARGIN, MARGIN + 13.5, INSTRUCTION)
    for line, (length, name) in enumerate(CHECKS):
        y = MARGIN + 20 + 6 * line
        pages.set_line_width(0.25)
        pages.line(MARGIN, y, MARGIN + length, y)
        for x in (MARGIN, MARGIN + length):
            pages.line(x, y - 2, x, y + 2)
        pages.text(MARGIN + 106, y + 1.2, name)


def _piece(pages: Pages, piece: Piece, top: float) -> None:
    strip = piece.strip
    last = piece.number == piece.of
    shown = strip.length if last else piece.end + OVERLAP

    def at(distance: float) -> float:
        return LEFT + distance - piece.start

    pages.set_font("Helvetica", "", 8)
    pages.text(MARGIN, top - 4.6, plain(f"{strip.title}, piece {piece.number} of {piece.of}: {strip.how}"))
    pages.set_fill_color(colours.FAINT)
    for start, end in strip.pickets:
        left, right = max(start, piece.start), min(end, shown)
        if left < right:
            pages.rect(at(left), top, right - left, BAND, style="F")
    pages.set_line_width(0.15)
    for y in (top, top + BAND):
        pages.line(at(piece.start), y, at(shown), y)
    for mark in strip.marks:
        if piece.start <= mark.at <= shown:
            _mark(pages, at(mark.at), top, f"{mark.number}", mark.text, at(shown))
    _end(pages, at(piece.start), top, strip.ends[0] if piece.number == 1 else "", piece.number - 1)
    _end(pages, at(piece.end), top, strip.ends[1] if last else "", piece.number)


def _mark(pages: Pages, x: float, top: float, number: str, text: str, edge: float) -> None:
    pages.set_line_width(0.25)
    pages.line(x, top, x, top + BAND)
    pages.set_font("Helvetica", "B", 11)
    # Beside its line; left of it where the piece ends.
    room = pages.get_string_width(plain(text)) + 2
    start = x + 1 if x + room < edge else x - room
    pages.text(start, top + 10, plain(text))
    pages.set_font("Helvetica", "", 9)
    pages.text(start, top + 16, number)


def _end(pages: Pages, x: float, top: float, name: str, join: int) -> None:
    """The face of a post as a heavy line, or a join as a dashed one with its number."""
    pages.set_font("Helvetica", "B", 8)
    if name:
        pages.set_line_width(0.6)
        pages.line(x, top - 3, x, top - 3 + JOIN)
        pages.text(max(MARGIN, min(x + 1, pages.w - MARGIN - pages.get_string_width(name))), top + BAND + 4, name)
        return
    pages.set_line_width(0.25)
    pages.set_dash_pattern(dash=2, gap=1.5)
    pages.line(x, top - 3, x, top - 3 + JOIN)
    pages.set_dash_pattern()
    pages.text(x + 1, top + BAND + 4, f"join {join}")
