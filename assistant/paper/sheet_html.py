"""The marking sheet as one page that needs nothing else: for a phone, a tablet or a printer.

Crosses the border: a job, its title and a date in, HTML text out.  The page has no script and asks for nothing.
"""

from __future__ import annotations

import re
from html import escape

from assistant.job import Job
from assistant.paper.bay_drawing import bay_drawing
from assistant.paper.circumstances import UNKNOWN, Circumstances
from assistant.paper.cut_list import Table
from assistant.paper.density import Density, density_about
from assistant.paper.dimensions import Anchor, width_of
from assistant.paper.elevation import Part
from assistant.paper.fitted import Drawing
from assistant.paper.html_style import STYLE
from assistant.paper.sheet_content import NOT_TO_SCALE, RUN_ACROSS, BayBlock, ListBlock, RailBlock, Sheet, sheet
from assistant.set_out import SetOut

PRINTED_WIDTH, PRINTED_HEIGHT = 186.0, 240.0
"""What a bay may take of either paper, in mm, with room left for a typeface that is wider than thought."""

PHONE = (328.0, 420.0, 12.0)
"""Width, height and text of a drawing on a phone, in CSS px."""

_INSIDE_LENGTH = re.compile(r"(?<=[0-9≈]) (?=[0-9]+/|[0-9]|(?:mm|cm|m|in|ft)\b)|(?<=ft) (?=[0-9])")

_MOMENT = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}(?:\s[0-9]{2}:[0-9]{2})?")


def sheet_html(job: Job, title: str, date: str, known: Circumstances = UNKNOWN) -> str:
    """The marking sheet of a job."""
    made = sheet(job, title, date, known)
    body = [
        f"<header><h1>{escape(made.title)}</h1>",
        f"<p>Marking sheet, {escape(made.date)}: <b>{escape(made.totals)}</b></p>",
        f"{_named(made.particulars, 'plain particulars')}</header><main>",
        *_run(made),
        f'<section class="cautions" aria-label="Cautions">{_named(made.cautions, "plain")}</section>',
        *(_bay(block) for block in made.bays),
        '<div class="own-page">',
        *([_table(made.cuts)] if made.cuts.rows else []),
        *(_list(block) for block in (*made.notes, *made.in_full)),
        "</div></main>",
    ]
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n"
        f"<title>{escape(made.title)}: marking sheet</title>\n<style>{STYLE}</style>\n</head>\n<body>\n"
        + "\n".join(body)
        + "\n</body>\n</html>\n"
    )


def _run(made: Sheet) -> list[str]:
    """The run on one line to be moved across on a screen, each bay the way down to its block; on paper in as many lines as it takes."""
    if made.whole is None:
        return []
    on_screen = _svg(made.whole, "The run from the front", "", _ways_down(made))
    widest = max(line.width for line in made.run)
    shares = [line.width / max(widest, RUN_ACROSS * line.size) for line in made.run]
    on_paper = "".join(
        f'<div style="width:{_number(100 * share)}%">{_svg(line, "The run from the front", "")}</div>'
        for line, share in zip(made.run, shares, strict=True)
    )
    return [
        f'<nav aria-label="Bays" class="run" tabindex="0" style="--across:{_number(made.whole.width / made.whole.size)}">{on_screen}</nav>',
        f'<figure class="lines">{on_paper}<figcaption>The run. {NOT_TO_SCALE}</figcaption></figure>',
    ]


def _ways_down(made: Sheet) -> str:
    """Ways down to each bay, as large as a gloved finger."""
    assert made.whole is not None
    _, bottom, _, top = made.whole.box
    return "".join(
        f'<a href="#{_anchor(block)}" aria-label="{escape(block.name)}"><rect class="touched" x="{_number(left)}" y="{_number(-top)}" '
        f'width="{_number(right - left)}" height="{_number(top - bottom)}"/></a>'
        for block, (left, right) in zip(made.bays, made.places, strict=True)
    )


def _anchor(block: BayBlock) -> str:
    return block.name.lower().replace(" ", "-")


def _named(rows: tuple[tuple[str, str], ...], kind: str = "") -> str:
    facts = "".join(f"<div><dt>{_text(name)}</dt><dd>{_text(value)}</dd></div>" for name, value in rows)
    return f'<dl class="{kind}">{facts}</dl>' if kind else f"<dl>{facts}</dl>"


def _list(block: ListBlock) -> str:
    lines = "".join(f"<li>{escape(line)}</li>" for line in block.lines)
    return f'<section class="note"><h2>{escape(block.heading)}</h2><ul>{lines}</ul></section>'


def _table(table: Table) -> str:
    head = "".join(f'<th scope="col">{escape(column)}</th>' for column in table.columns)
    rows = "".join(
        '<tr><td><span class="done"></span></td>' + "".join(f"<td>{_text(text)}</td>" for text in row) + "</tr>" for row in table.rows
    )
    heading = escape(table.heading)
    return (
        f'<section class="note"><h2>{heading}</h2><div class="table" tabindex="0" role="region" aria-label="{heading}"><table><thead><tr>'
        f'<th scope="col" class="tick">Done</th>{head}</tr></thead><tbody>{rows}</tbody></table></div></section>'
    )


def _bay(block: BayBlock) -> str:
    density = density_about(block, PRINTED_WIDTH, PRINTED_HEIGHT)
    size = f"--mark:{_number(density.mark)}pt;--row:{_number(density.row)}mm;--drawing:{_number(density.drawing_of(block))}mm"
    parts = [
        f'<section class="bay" id="{_anchor(block)}" style="{size}"><h2>{escape(block.name)}</h2>',
        f'<p class="headline">{_text(block.headline)}</p>',
        *(f'<p class="warning">{_text(warning)}</p>' for warning in block.warnings),
        *(f'<p class="change">Changed: {_text(change)}</p>' for change in block.changes),
        _named(block.facts),
        *([_figure(block.name, block.made, density.drawing_of(block))] if block.made else []),
        *(_rail(rail, density) for rail in block.rails),
        "</section>",
    ]
    return "\n".join(parts)


def _rail(block: RailBlock, density: Density) -> str:
    boxes = '<span class="done"></span>' * len(block.boxes)
    cells = "".join(
        f'<li><span class="picket-number">{number}</span><span class="mark">{escape(mark)}</span>{boxes}</li>'
        for number, mark in block.marks
    )
    how = f'<p class="how">{_text(block.how)}</p>'
    columns = density.columns(block, PRINTED_WIDTH)
    kind = "marks long" if block.long else "marks"
    # In the size of the page's type: number, mark in bold type of two, boxes.
    column = 3.4 + 2.3 * max((width_of(mark, 1.0) for _, mark in block.marks), default=0.0) + 1.9 * len(block.boxes)
    style = f"--columns:{columns};--column:{_number(column)}rem"
    return f'<h3>{_text(block.heading)}</h3>\n{how}\n<ol class="{kind}" style="{style}">{cells}</ol>'


def _figure(name: str, made: SetOut, height: float) -> str:
    """The drawing twice: with large text for a phone, and for a wide screen and paper."""
    label = f"{name} from the front"
    narrow = bay_drawing(made, *PHONE)
    wide = bay_drawing(made, PRINTED_WIDTH, height, 3.1)
    drawn = _svg(narrow, label, "narrow") + _svg(wide, label, "wide")
    return f"<figure>{drawn}<figcaption>{NOT_TO_SCALE}</figcaption></figure>"


def _svg(drawing: Drawing, label: str, kind: str, over: str = "") -> str:
    """A drawing at one unit a millimetre; SVG counts down, so that its zero is the ground."""
    left, _, _, top = drawing.box
    shapes = "".join(
        f'<{"polyline" if shape.part is Part.GROUND else "polygon"} class="{shape.part.value}" '
        f'points="{" ".join(f"{_number(float(x))},{_number(-float(y))}" for x, y in shape.points)}"/>'
        for shape in drawing.shapes
    )
    path = " ".join(
        f"M{_number(line.start[0])} {_number(-line.start[1])}L{_number(line.end[0])} {_number(-line.end[1])}" for line in drawing.lines
    )
    texts = "".join(
        f'<text x="{_number(label.at[0])}" y="{_number(-label.at[1])}"'
        + (f' text-anchor="{label.anchor.value}"' if label.anchor is not Anchor.START else "")
        + (f' transform="rotate({_number(-label.turned)} {_number(label.at[0])} {_number(-label.at[1])})"' if label.turned else "")
        + (' class="heavy"' if label.heavy else "")
        + f">{escape(label.text)}</text>"
        for label in drawing.labels
    )
    view = " ".join(map(_number, (left, -top, drawing.width, drawing.height)))
    return (
        f'<svg class="{kind}" viewBox="{view}" font-size="{_number(drawing.size)}" role="{"group" if over else "img"}" '
        f'aria-label="{escape(label)}">{shapes}<path class="lined" d="{path}"/>{texts}{over}</svg>'
    )


def _text(text: str) -> str:
    """Text of the page in which no line ends inside a length or a moment."""
    return _MOMENT.sub(r'<span class="moment">\g<0></span>', _INSIDE_LENGTH.sub("\u00a0", escape(text)))


def _number(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")
