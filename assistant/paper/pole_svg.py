"""Story-pole strips at full size as an SVG for a plotter: lines of one ink, nothing filled, nothing cut.

Crosses the border: strips, a title and a date in; SVG text out, whose unit is the millimetre.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from assistant.paper.strip_drawing import draw_page
from assistant.paper.strip_pages import on_one
from assistant.paper.strips import Strip


class _Plotted:
    """Draws into a list of SVG elements."""

    def __init__(self) -> None:
        self.parts: list[str] = []

    def line(self, start: tuple[float, float], end: tuple[float, float], width: float, *, dashed: bool = False) -> None:
        dash = ' stroke-dasharray="2 1.5"' if dashed else ""
        points = f'x1="{start[0]:.4f}" y1="{start[1]:.4f}" x2="{end[0]:.4f}" y2="{end[1]:.4f}"'
        self.parts.append(f'<line {points} stroke-width="{width:g}"{dash}/>')

    def text(self, at: tuple[float, float], text: str, size: float, *, bold: bool = False) -> None:
        weight = ' font-weight="bold"' if bold else ""
        self.parts.append(f'<text x="{at[0]:.4f}" y="{at[1]:.4f}" font-size="{size:.3f}"{weight}>{escape(text)}</text>')

    def shade(self, left: float, top: float, width: float, height: float) -> None:
        """Nothing: a pen fills no surface."""


def pole_svg(made: Sequence[Strip], title: str, date: str) -> str:
    """Every strip whole on one page of the size that it takes."""
    page, plotted = on_one(made), _Plotted()
    draw_page(plotted, page, f"{title}, {date}", "page 1 of 1")
    size = f'width="{page.width:.4f}mm" height="{page.height:.4f}mm" viewBox="0 0 {page.width:.4f} {page.height:.4f}"'
    style = "<style>line{stroke:#000;fill:none}text{fill:#000;stroke:none;font-family:Helvetica,Arial,sans-serif}</style>"
    heading = escape(f"{title}, {date}: story pole at full size")
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}>\n<title>{heading}</title>{style}\n' + "\n".join(plotted.parts) + "\n</svg>\n"
