"""The marking sheet as a PDF, for printing without a browser.

Crosses the border: a job, its title, a date and a paper size in; the bytes of a PDF out.  A bay is measured before it is printed, and
stands on one page.
"""

from __future__ import annotations

from math import cos, radians, sin

from fpdf.enums import XPos, YPos

from assistant import colours
from assistant.job import Job
from assistant.paper.bay_drawing import bay_drawing
from assistant.paper.circumstances import UNKNOWN, Circumstances
from assistant.paper.cut_list import Table
from assistant.paper.density import DENSITIES, POINT, Density
from assistant.paper.dimensions import Anchor, Label
from assistant.paper.elevation import Part
from assistant.paper.fitted import Drawing
from assistant.paper.pages import MARGIN, Pages, Paper, plain
from assistant.paper.sheet_content import NOT_TO_SCALE, BayBlock, ListBlock, RailBlock, Sheet, sheet

TEXT = 3.1
"""Height of text in a drawing, in mm, where there is room for it."""

_FILL = {Part.POST: colours.POST, Part.RAIL: colours.RAIL, Part.PICKET: colours.PICKET}
_SHARE = {Anchor.START: 0.0, Anchor.MIDDLE: 0.5, Anchor.END: 1.0}


def sheet_pdf(job: Job, title: str, date: str, paper: Paper = Paper.A4, known: Circumstances = UNKNOWN) -> bytes:
    """The marking sheet of a job."""
    made = sheet(job, title, date, known)
    pages = Pages((paper.width, paper.height), f"{title}, {date}")
    pages.add_page()
    _head(pages, made)
    for block in made.bays:
        _whole_bay(pages, paper, block)
    pages.add_page()
    if made.cuts.rows:
        _table(pages, made.cuts)
    for note in made.notes:
        _list(pages, note, 10.5)
    for caution in made.in_full:
        _list(pages, caution, 9)
    return bytes(pages.output())


def _head(pages: Pages, made: Sheet) -> None:
    _line(pages, made.title, 20, bold=True)
    _line(pages, f"Marking sheet, {made.date}", 11)
    _line(pages, made.totals, 13, bold=True)
    pages.ln(1)
    for name, text in made.particulars:
        _named(pages, name, text, 34)
    for one in made.run:
        scale = min(TEXT / one.size, pages.epw / one.width)
        _keep(pages, one.height * scale + 2)
        _drawing(pages, one, scale)
    if made.run:
        _line(pages, f"The run. {NOT_TO_SCALE}", 9)
    _cautions(pages, made)


def _cautions(pages: Pages, made: Sheet) -> None:
    _keep(pages, 6.0 * len(made.cautions) + 4)
    pages.ln(2)
    pages.set_line_width(0.5)
    pages.line(MARGIN, pages.get_y(), pages.w - MARGIN, pages.get_y())
    pages.ln(1)
    for name, text in made.cautions:
        _named(pages, name, text, 34, bold=False)
    pages.ln(1)
    pages.line(MARGIN, pages.get_y(), pages.w - MARGIN, pages.get_y())


def _line(pages: Pages, text: str, size: float, *, bold: bool = False, fill: str | None = None, ink: str = colours.INK) -> None:
    """One paragraph over the width of the page."""
    pages.set_font("Helvetica", "B" if bold else "", size)
    pages.set_text_color(ink)
    if fill:
        pages.set_fill_color(fill)
    pages.multi_cell(0, size * 0.48, plain(text), fill=fill is not None, align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)


def _named(pages: Pages, name: str, text: str, width: float, *, bold: bool = True) -> None:
    """A name and what belongs to it beside it."""
    pages.set_text_color(colours.INK)
    pages.set_font("Helvetica", "" if bold else "B", 10.5)
    pages.cell(width, 5.2, plain(name))
    pages.set_font("Helvetica", "B" if bold else "", 10.5)
    pages.multi_cell(0, 5.2, plain(text), align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)


def _list(pages: Pages, block: ListBlock, size: float) -> None:
    _keep(pages, 0.55 * size * (len(block.lines) + 2))
    pages.ln(2)
    _line(pages, block.heading, size + 2, bold=True)
    for text in block.lines:
        _line(pages, f"- {text}", size)


def _table(pages: Pages, table: Table) -> None:
    """Columns as wide as their longest text asks for, the last as wide as is left; a box before each row."""
    _keep(pages, 30)
    pages.ln(3)
    _line(pages, table.heading, 13, bold=True)
    pages.set_font("Helvetica", "B", 10.5)
    by_column = list(zip(table.columns, *table.rows, strict=True))[:-1]
    widths = [max(pages.get_string_width(plain(text)) for text in column) + 4 for column in by_column]
    pages.ln(1)
    for number, row in enumerate((table.columns, *table.rows)):
        _keep(pages, 8)
        top = pages.get_y()
        if number:
            pages.set_line_width(0.3)
            pages.rect(MARGIN, top + 1, 4, 4)
        pages.set_x(MARGIN + 7)
        for text, width in zip(row, widths, strict=False):
            pages.set_font("Helvetica", "B" if not number else "", 10.5)
            pages.cell(width, 6, plain(text))
        pages.multi_cell(0, 6, plain(row[-1]), align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)
        pages.set_line_width(0.15)
        pages.line(MARGIN, pages.get_y(), pages.w - MARGIN, pages.get_y())


# A bay ----------------------------------------------------------------------------------------------------------------


def _whole_bay(pages: Pages, paper: Paper, block: BayBlock) -> None:
    """A bay on one page, this one or the next, its marks as large as that allows."""
    room = pages.h - pages.t_margin - pages.b_margin
    density = next((one for one in DENSITIES if _height(paper, block, one) <= room), DENSITIES[-1])
    if _height(paper, block, density) > pages.h - pages.b_margin - pages.get_y():
        pages.add_page()
    _bay(pages, block, density)


def _height(paper: Paper, block: BayBlock, density: Density) -> float:
    """How high a bay stands, measured on a page that is never full."""
    endless = Pages((paper.width, 100_000.0), "")
    endless.add_page()
    top = endless.get_y()
    _bay(endless, block, density)
    return endless.get_y() - top


def _bay(pages: Pages, block: BayBlock, density: Density) -> None:
    pages.ln(3)
    pages.set_line_width(0.8)
    pages.line(MARGIN, pages.get_y(), pages.w - MARGIN, pages.get_y())
    pages.ln(2)
    _line(pages, block.name, 17, bold=True)
    _line(pages, block.headline, 13, bold=True)
    for warning in block.warnings:
        pages.ln(1)
        _line(pages, f"! {warning}", 11, bold=True)
    for change in block.changes:
        _line(pages, f"Changed: {change}", 10.5)
    pages.ln(1)
    _facts(pages, block.facts)
    if block.made is not None:
        height = density.drawing_of(block)
        drawn = bay_drawing(block.made, pages.epw, height, TEXT)
        _drawing(pages, drawn, min(pages.epw / drawn.width, height / drawn.height))
        _line(pages, NOT_TO_SCALE, 8)
    for rail in block.rails:
        _rail(pages, rail, density)


def _facts(pages: Pages, facts: tuple[tuple[str, str], ...]) -> None:
    """Two side by side where both are short."""
    half = pages.epw / 2
    waiting = False
    for name, value in facts:
        pages.set_font("Helvetica", "B", 10)
        short = pages.get_string_width(plain(value)) < half - 48
        if waiting and not short:
            pages.ln(5)
        start = MARGIN + half if waiting and short else MARGIN
        pages.set_text_color(colours.INK)
        pages.set_font("Helvetica", "", 10)
        pages.set_x(start)
        pages.cell(44, 5, plain(name))
        pages.set_font("Helvetica", "B", 10)
        if short:
            pages.cell(half - 46, 5, plain(value))
            waiting = not (waiting and short)
            if not waiting:
                pages.ln(5)
        else:
            pages.multi_cell(0, 5, plain(value), align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)
            waiting = False
    if waiting:
        pages.ln(5)


def _drawing(pages: Pages, drawing: Drawing, scale: float) -> None:
    """A drawing in the middle of the page; `scale` is mm of paper for a mm of the fence."""
    left, _, _, top = drawing.box
    start = MARGIN + (pages.epw - scale * drawing.width) / 2
    head = pages.get_y() + 1

    def at(point: tuple[float, float]) -> tuple[float, float]:
        return start + scale * (float(point[0]) - left), head + scale * (top - float(point[1]))

    pages.set_draw_color(colours.INK)
    for shape in drawing.shapes:
        points = [at((float(x), float(y))) for x, y in shape.points]
        if shape.part is Part.GROUND:
            pages.set_line_width(0.5)
            pages.polyline(points)
        else:
            pages.set_line_width(0.15)
            pages.set_fill_color(_FILL[shape.part])
            pages.polygon(points, style="DF")
    pages.set_line_width(0.13)
    for line in drawing.lines:
        pages.line(*at(line.start), *at(line.end))
    pages.set_text_color(colours.INK)
    for label in drawing.labels:
        _label(pages, label, at(label.at), drawing.size * scale)
    pages.set_y(head + scale * drawing.height + 1)


def _label(pages: Pages, label: Label, at: tuple[float, float], height: float) -> None:
    """A label on white, so that a line behind it does not strike it through."""
    pages.set_font("Helvetica", "B" if label.heavy else "", height / POINT)
    text = plain(label.text)
    width = pages.get_string_width(text)
    x, y = at
    c, s = cos(radians(label.turned)), sin(radians(label.turned))
    back = _SHARE[label.anchor] * width
    x, y = x - back * c, y + back * s
    with pages.rotation(label.turned, x, y):
        if not label.heavy:
            pages.set_fill_color(colours.PAPER)
            pages.rect(x - 0.2, y - 0.78 * height, width + 0.4, 0.82 * height, style="F")
        pages.text(x, y, text)


def _rail(pages: Pages, block: RailBlock, density: Density) -> None:
    """Marks in columns, read downward; on a bay that no page is long enough for they go on in columns on the next."""
    pages.ln(2)
    _line(pages, block.heading, 12, bold=True)
    _line(pages, block.how, 10)
    rest = list(block.marks)
    columns, number_room = density.columns(block, pages.epw), density.number(block)
    while rest:
        room = max(1, int((pages.h - pages.b_margin - pages.get_y() - 1) / density.row))
        rows = min(room, -(-len(rest) // columns))
        here, rest = rest[: rows * columns], rest[rows * columns :]
        top = pages.get_y() + 1
        width = pages.epw / columns
        for place, mark in enumerate(here):
            column, row = divmod(place, rows)
            _mark(pages, (MARGIN + column * width, top + row * density.row, width - 3), mark, number_room, len(block.boxes), density)
        pages.set_y(top + rows * density.row)
        if rest:
            pages.add_page()


def _mark(pages: Pages, place: tuple[float, float, float], texts: tuple[str, str], room: float, boxes: int, density: Density) -> None:
    """A mark with that much room for the number of its picket, and its boxes."""
    x, y, width = place
    number, mark = texts
    row = density.row
    if int(number) % 2 == 0:
        pages.set_fill_color(colours.FAINT)
        pages.rect(x, y, width, row, style="F")
    pages.set_line_width(0.15)
    pages.line(x, y + row, x + width, y + row)
    side = density.box - 1.0
    pages.set_line_width(0.4)
    for box in range(boxes):
        pages.rect(x + width - (boxes - box) * density.box + 0.5, y + (row - side) / 2, side, side)
    pages.set_text_color(colours.INK)
    pages.set_font("Helvetica", "", density.small)
    pages.set_xy(x, y)
    pages.cell(room, row, number)
    pages.set_font("Helvetica", "B", density.mark)
    pages.cell(width - room - boxes * density.box - 1, row, plain(mark), align="R")


def _keep(pages: Pages, height: float) -> None:
    """Begin a new page where what follows would be torn apart."""
    if pages.will_page_break(height) and pages.get_y() > pages.t_margin + 1:
        pages.add_page()
