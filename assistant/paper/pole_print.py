"""Story-pole strips at full size as a PDF: packed on sheets and to be joined, or whole on one long page for a roll.

Crosses the border: strips, a title and a date in; the bytes of a PDF out.  Every page carries a rule to be measured before use, for
printers like to shrink a page to fit.
"""

from __future__ import annotations

from collections.abc import Sequence

from assistant import colours
from assistant.paper.pages import Pages, Paper, plain
from assistant.paper.strip_drawing import draw_page
from assistant.paper.strip_pages import on_roll, on_sheets
from assistant.paper.strips import POINT, Strip


class _Printed:
    """Draws on the pages of a PDF."""

    def __init__(self, pages: Pages) -> None:
        self._pages = pages

    def line(self, start: tuple[float, float], end: tuple[float, float], width: float, *, dashed: bool = False) -> None:
        self._pages.set_line_width(width)
        if dashed:
            self._pages.set_dash_pattern(dash=2, gap=1.5)
        self._pages.line(*start, *end)
        if dashed:
            self._pages.set_dash_pattern()

    def text(self, at: tuple[float, float], text: str, size: float, *, bold: bool = False) -> None:
        self._pages.set_font("Helvetica", "B" if bold else "", size / POINT)
        self._pages.text(*at, plain(text))

    def shade(self, left: float, top: float, width: float, height: float) -> None:
        self._pages.rect(left, top, width, height, style="F")


def pole_pdf(made: Sequence[Strip], title: str, date: str, paper: Paper | None = Paper.A4) -> bytes:
    """The strips at full size, on sheets, or with None on one long page for a roll."""
    laid = on_sheets(made, paper) if paper else on_roll(made)
    heading = f"{title}, {date}"
    pages = Pages((laid[0].width, laid[0].height), f"{heading}, story pole", footed=False)
    pages.set_auto_page_break(False)
    pages.set_margin(0)
    for number, page in enumerate(laid, start=1):
        pages.add_page(format=(page.width, page.height))
        pages.set_text_color(colours.INK)
        pages.set_draw_color(colours.INK)
        pages.set_fill_color(colours.FAINT)
        draw_page(_Printed(pages), page, heading, f"page {number} of {len(laid)}")
    return bytes(pages.output())
