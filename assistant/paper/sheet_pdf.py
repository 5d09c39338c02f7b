"""The marking sheet as a PDF, for printing without a browser.

Crosses the border: a job, its title, a date and a paper size in; the bytes of a PDF out.
"""

from __future__ import annotations

from fractions import Fraction

from fpdf.enums import XPos, YPos

from assistant import colours
from assistant.job import Job
from assistant.paper.elevation import Part, Picture
from assistant.paper.pages import MARGIN, Pages, Paper, plain
from assistant.paper.sheet_content import NOT_TO_SCALE, BayBlock, ListBlock, RailBlock, Sheet, sheet

CELL = 9.0
"""Height of a mark's line, in mm."""

DRAWING = 55.0
"""The most a drawing takes of the height of a page, in mm."""

_FILL = {Part.POST: colours.POST, Part.RAIL: colours.RAIL, Part.PICKET: colours.PICKET}


def sheet_pdf(job: Job, title: str, date: str, paper: Paper = Paper.A4) -> bytes:
    """The marking sheet of a job."""
    made = sheet(job, title, date)
    pages = Pages((paper.width, paper.height), f"{title}, {date}")
    pages.add_page()
    _head(pages, made)
    for caution in made.cautions:
        _list(pages, caution, colours.CAUTION)
    for block in made.bays:
        _bay(pages, block)
    for note in made.notes:
        _list(pages, note, None)
    return bytes(pages.output())


def _head(pages: Pages, made: Sheet) -> None:
    _line(pages, made.title, 20, bold=True)
    _line(pages, f"Marking sheet, {made.date}", 11)
    _line(pages, made.totals, 13, bold=True)
    pages.ln(2)


def _line(
    pages: Pages, text: str, size: float, *, bold: bool = False, fill: str | None = None, ink: str = colours.INK
) -> None:
    """One paragraph over the width of the page."""
    pages.set_font("Helvetica", "B" if bold else "", size)
    pages.set_text_color(ink)
    if fill:
        pages.set_fill_color(fill)
    pages.multi_cell(
        0, size * 0.48, plain(text), fill=fill is not None, align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT
    )


def _list(pages: Pages, block: ListBlock, fill: str | None) -> None:
    _keep(pages, 6.0 * (len(block.lines) + 2))
    pages.ln(2)
    _line(pages, block.heading, 12, bold=True, fill=fill)
    for text in block.lines:
        _line(pages, f"- {text}", 10.5, fill=fill)


def _bay(pages: Pages, block: BayBlock) -> None:
    height = DRAWING if block.picture else 0.0
    _keep(pages, 40 + 6 * len(block.facts) / 2 + height)
    pages.ln(5)
    pages.set_line_width(0.8)
    pages.line(MARGIN, pages.get_y(), pages.w - MARGIN, pages.get_y())
    pages.ln(2)
    _line(pages, block.name, 17, bold=True)
    _line(pages, block.headline, 13, bold=True)
    for warning in block.warnings:
        pages.ln(1)
        _line(pages, warning, 11, bold=True, fill=colours.WARNING, ink=colours.WARNING_INK)
    pages.ln(1)
    _facts(pages, block.facts)
    if block.picture:
        _drawing(pages, block.picture)
        _line(pages, NOT_TO_SCALE, 9)
    for rail in block.rails:
        _rail(pages, rail)


def _facts(pages: Pages, facts: tuple[tuple[str, str], ...]) -> None:
    for name, value in facts:
        pages.set_font("Helvetica", "", 10.5)
        pages.set_text_color(colours.INK)
        pages.cell(50, 5.5, plain(name))
        pages.set_font("Helvetica", "B", 10.5)
        pages.multi_cell(0, 5.5, plain(value), align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)


def _drawing(pages: Pages, drawing: Picture) -> None:
    left, bottom, right, top = map(float, drawing.box)
    scale = min(pages.epw / (right - left), (DRAWING - 5) / (top - bottom))
    start = MARGIN + (pages.epw - scale * (right - left)) / 2
    head = pages.get_y() + 5

    def at(point: tuple[Fraction, Fraction]) -> tuple[float, float]:
        return start + scale * (float(point[0]) - left), head + scale * (top - float(point[1]))

    pages.set_draw_color(colours.INK)
    for shape in drawing.shapes:
        points = [at(point) for point in shape.points]
        if shape.part is Part.GROUND:
            pages.set_line_width(0.5)
            pages.line(*points[0], *points[1])
        else:
            pages.set_line_width(0.15)
            pages.set_fill_color(_FILL[shape.part])
            pages.polygon(points, style="DF")
    pages.set_font("Helvetica", "B", 8)
    pages.set_text_color(colours.INK)
    for number in drawing.numbers:
        x, y = at(number.at)
        pages.text(x - pages.get_string_width(number.text) / 2, y - 1, number.text)
    pages.set_y(head + scale * (top - bottom) + 2)


def _rail(pages: Pages, block: RailBlock) -> None:
    """Marks in columns, read downward; a rail that does not fit on the page goes on in columns on the next."""
    _keep(pages, 14 + 3 * CELL)
    pages.ln(3)
    _line(pages, block.heading, 12, bold=True)
    _line(pages, block.how, 10.5)
    rest = list(block.marks)
    columns = 3 if block.long else 4
    while rest:
        room = max(1, int((pages.h - pages.b_margin - pages.get_y() - 1) / CELL))
        rows = min(room, -(-len(rest) // columns))
        here, rest = rest[: rows * columns], rest[rows * columns :]
        top = pages.get_y() + 1
        for place, (number, mark) in enumerate(here):
            column, row = divmod(place, rows)
            width = pages.epw / columns
            _mark(pages, MARGIN + column * width, top + row * CELL, width - 4, (number, mark))
        pages.set_y(top + rows * CELL)
        if rest:
            pages.add_page()


def _mark(pages: Pages, x: float, y: float, width: float, texts: tuple[str, str]) -> None:
    number, mark = texts
    if int(number) % 2 == 0:
        pages.set_fill_color(colours.FAINT)
        pages.rect(x, y, width, CELL, style="F")
    pages.set_line_width(0.15)
    pages.line(x, y + CELL, x + width, y + CELL)
    pages.set_line_width(0.4)
    pages.rect(x + width - 5.5, y + 2.25, 4.5, 4.5)
    pages.set_text_color(colours.INK)
    pages.set_font("Helvetica", "", 9)
    pages.set_xy(x, y)
    pages.cell(9, CELL, number)
    pages.set_font("Helvetica", "B", 14)
    pages.cell(width - 16, CELL, plain(mark), align="R")


def _keep(pages: Pages, height: float) -> None:
    """Begin a new page where what follows would be torn apart."""
    if pages.will_page_break(height) and pages.get_y() > pages.t_margin + 1:
        pages.add_page()
