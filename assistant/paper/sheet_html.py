"""The marking sheet as one page that needs nothing else: for a phone, a tablet or a printer.

Crosses the border: a job, its title and a date in, HTML text out.  The page has no script and asks for nothing.
"""

from __future__ import annotations

import re
from fractions import Fraction
from html import escape

from assistant import colours
from assistant.job import Job
from assistant.paper.elevation import Part, Picture
from assistant.paper.sheet_content import NOT_TO_SCALE, BayBlock, ListBlock, RailBlock, sheet

_INSIDE_LENGTH = re.compile(r"(?<=[0-9≈]) (?=[0-9]+/|[0-9]|(?:mm|cm|m|in|ft)\b)|(?<=ft) (?=[0-9])")

STYLE = f"""
:root {{ color-scheme: light; }}
* {{ box-sizing: border-box; }}
body {{ margin: 0 auto; padding: 1rem; max-width: 60rem; color: {colours.INK}; background: {colours.PAPER};
  font: 1.125rem/1.4 system-ui, "Segoe UI", Roboto, "DejaVu Sans", sans-serif; overflow-wrap: anywhere; }}
h1 {{ font-size: 1.9rem; margin: 0 0 .25rem; line-height: 1.15; }}
h2 {{ font-size: 1.7rem; margin: 2rem 0 .25rem; border-top: 4px solid {colours.INK}; padding-top: .5rem; }}
h3 {{ font-size: 1.25rem; margin: 1.25rem 0 0; }}
p {{ margin: .25rem 0; }}
.headline {{ font-size: 1.35rem; font-weight: 700; }}
.cautions {{ display: grid; gap: .5rem; margin: 1rem 0; }}
.caution {{ color: {colours.CAUTION_INK}; background: {colours.CAUTION}; padding: .6rem .9rem; border-radius: .4rem; }}
.caution h3 {{ margin: 0; }}
.warning {{ color: {colours.WARNING_INK}; background: {colours.WARNING}; padding: .6rem .9rem; border-radius: .4rem;
  font-weight: 700; margin: .5rem 0; }}
ul {{ margin: .25rem 0; padding-left: 1.2em; }}
dl {{ display: grid; grid-template-columns: repeat(auto-fill, minmax(min(100%, 17rem), 1fr)); gap: .15rem 1.5rem;
  margin: .5rem 0; }}
dl div {{ display: flex; justify-content: space-between; gap: 1rem; border-bottom: 1px solid {colours.INK}; }}
dt {{ overflow-wrap: normal; }}
nav {{ display: flex; flex-wrap: wrap; gap: .5rem; margin: .75rem 0; }}
nav a {{ color: {colours.INK}; background: {colours.FAINT}; padding: .8rem 1rem; border-radius: .4rem; font-weight: 700; }}
dd {{ margin: 0; font-weight: 700; text-align: right; }}
svg {{ display: block; width: 100%; height: auto; max-height: 24rem; margin: .75rem 0 0; }}
.ground {{ fill: none; stroke: {colours.INK}; stroke-width: 2; vector-effect: non-scaling-stroke; }}
.post {{ fill: {colours.POST}; }}
.rail {{ fill: {colours.RAIL}; stroke: {colours.INK}; stroke-width: .5; vector-effect: non-scaling-stroke; }}
.picket {{ fill: {colours.PICKET}; stroke: {colours.INK}; stroke-width: 1; vector-effect: non-scaling-stroke; }}
svg text {{ fill: {colours.INK}; text-anchor: middle; font-weight: 700; }}
figure {{ margin: 0; }}
figcaption {{ font-size: 1rem; }}
ol.marks {{ list-style: none; margin: .5rem 0 0; padding: 0; columns: 9.5rem; column-gap: .75rem; }}
ol.marks li {{ display: flex; align-items: center; gap: .5rem; min-height: 3rem; padding: 0 .5rem;
  border-bottom: 1px solid {colours.INK}; break-inside: avoid; }}
ol.marks li:nth-child(even) {{ background: {colours.FAINT}; }}
ol.marks .picket-number {{ min-width: 2em; font-size: 1rem; }}
ol.marks .mark {{ flex: 1; font-size: 1.6rem; font-weight: 700; text-align: right;
  font-variant-numeric: tabular-nums lining-nums; white-space: nowrap; }}
ol.marks.long {{ columns: 18rem; }}
ol.marks.long .mark {{ font-size: clamp(1.05rem, 5.4vw, 1.6rem); }}
ol.marks .done {{ width: 1.4rem; height: 1.4rem; border: 2px solid {colours.INK}; flex: none; }}
@page {{ margin: 12mm; }}
@media print {{
  body {{ padding: 0; max-width: none; font-size: 11pt; }}
  nav {{ display: none; }}
  .caution, .warning, li {{ print-color-adjust: exact; -webkit-print-color-adjust: exact; }}
  h2, h3, .headline, .how {{ break-after: avoid; }}
  figure, dl, .caution, .note {{ break-inside: avoid; }}
  svg {{ max-height: 55mm; }}
  ol.marks {{ columns: 4; }}
  ol.marks.long {{ columns: 3; }}
  ol.marks .mark, ol.marks.long .mark {{ font-size: 15pt; }}
  ol.marks li {{ min-height: 9mm; }}
}}
"""


def sheet_html(job: Job, title: str, date: str) -> str:
    """The marking sheet of a job."""
    made = sheet(job, title, date)
    body = [
        f"<h1>{escape(made.title)}</h1>",
        f'<p>Marking sheet, {escape(made.date)}</p><p class="headline">{escape(made.totals)}</p>',
        _contents(made.bays),
        '<section class="cautions" aria-label="Cautions">',
        *(_list(block, "caution") for block in made.cautions),
        "</section>",
        *(_bay(block) for block in made.bays),
        *(_list(block, "note") for block in made.notes),
    ]
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n"
        f"<title>{escape(made.title)}: marking sheet</title>\n<style>{STYLE}</style>\n</head>\n<body>\n"
        + "\n".join(body)
        + "\n</body>\n</html>\n"
    )


def _contents(blocks: tuple[BayBlock, ...]) -> str:
    """Ways down to each bay, as large as a gloved finger."""
    links = "".join(f'<a href="#{_anchor(block)}">{escape(block.name)}</a>' for block in blocks)
    return f'<nav aria-label="Bays">{links}</nav>' if blocks else ""


def _anchor(block: BayBlock) -> str:
    return block.name.lower().replace(" ", "-")


def _list(block: ListBlock, kind: str) -> str:
    tag = "h3" if kind == "caution" else "h2"
    lines = "".join(f"<li>{escape(line)}</li>" for line in block.lines)
    return f'<section class="{kind}"><{tag}>{escape(block.heading)}</{tag}><ul>{lines}</ul></section>'


def _bay(block: BayBlock) -> str:
    facts = "".join(f"<div><dt>{_text(name)}</dt><dd>{_text(value)}</dd></div>" for name, value in block.facts)
    parts = [
        f'<section id="{_anchor(block)}"><h2>{escape(block.name)}</h2>',
        f'<p class="headline">{_text(block.headline)}</p>',
        *(f'<p class="warning">{_text(warning)}</p>' for warning in block.warnings),
        f"<dl>{facts}</dl>",
        *([_figure(block.name, block.picture)] if block.picture else []),
        *(_rail(rail) for rail in block.rails),
        "</section>",
    ]
    return "\n".join(parts)


def _rail(block: RailBlock) -> str:
    cells = "".join(
        f'<li><span class="picket-number">{number}</span><span class="mark">{escape(mark)}</span>'
        '<span class="done"></span></li>'
        for number, mark in block.marks
    )
    how = f'<p class="how">{_text(block.how)}</p>'
    return f'<h3>{_text(block.heading)}</h3>\n{how}\n<ol class="marks{" long" if block.long else ""}">{cells}</ol>'


def _figure(name: str, drawing: Picture) -> str:
    """The drawing at one unit a millimetre, seen from the front; SVG counts down from the top."""
    left, bottom, right, top = drawing.box
    size = (right - left) / 34
    head = top + 2 * size
    shapes = "".join(
        f'<{"polyline" if shape.part is Part.GROUND else "polygon"} class="{shape.part.value}" '
        f'points="{" ".join(f"{_number(x)},{_number(head - y)}" for x, y in shape.points)}"/>'
        for shape in drawing.shapes
    )
    numbers = "".join(
        f'<text x="{_number(number.at[0])}" y="{_number(head - number.at[1] - size / 2)}">{number.text}</text>'
        for number in drawing.numbers
    )
    view = " ".join(map(_number, (left, Fraction(0), right - left, head - bottom + size / 4)))
    return (
        f'<figure><svg viewBox="{view}" font-size="{_number(size)}" role="img" '
        f'aria-label="{escape(name)} from the front">{shapes}{numbers}</svg>'
        f"<figcaption>{NOT_TO_SCALE}</figcaption></figure>"
    )


def _text(text: str) -> str:
    """Text of the page in which no line ends inside a length."""
    return _INSIDE_LENGTH.sub("\u00a0", escape(text))


def _number(value: Fraction) -> str:
    return f"{float(value):.3f}".rstrip("0").rstrip(".")
