"""Pages of a PDF: sizes, the one typeface every reader has, and a numbered foot on each page.

Crosses the border: text in any script in; what the typeface cannot show is written in its nearest plain form, or as “?”.
"""

from __future__ import annotations

from enum import Enum

from fpdf import FPDF

_PLAIN = str.maketrans(
    {
        "“": '"',
        "”": '"',
        "‘": "'",
        "’": "'",
        "–": "-",
        "—": "-",
        "−": "-",
        "…": "...",
        "≈": "about",
        "≤": "at most",
        "≥": "at least",
        "\n": " ",
        "\r": " ",
        "\t": " ",
    }
)

MARGIN = 12.0
"""Of every page, in mm; more than home printers leave unprinted."""


class Paper(Enum):
    """Sheets a printer takes; the value is (name, width, height) in mm."""

    A4 = ("A4", 210.0, 297.0)
    LETTER = ("Letter", 215.9, 279.4)

    @property
    def width(self) -> float:
        """Across, upright, in mm."""
        return self.value[1]

    @property
    def height(self) -> float:
        """Down, upright, in mm."""
        return self.value[2]


def plain(text: str) -> str:
    """The text in characters that the typeface has."""
    return text.translate(_PLAIN).encode("latin-1", "replace").decode("latin-1")


class Pages(FPDF):
    """A PDF in mm whose pages carry `foot` and their number, unless they say both themselves."""

    def __init__(self, size: tuple[float, float], foot: str, *, footed: bool = True) -> None:
        super().__init__(unit="mm", format=size)
        self.foot = plain(foot)
        self.footed = footed
        self.set_title(plain(foot))
        self.set_margin(MARGIN)
        self.set_auto_page_break(True, MARGIN + 6)
        self.set_font("Helvetica", size=11)

    def footer(self) -> None:
        """The foot of a page; called by the library."""
        if not self.footed:
            return
        self.set_y(-MARGIN - 4)
        self.set_text_color("#111111")
        self.set_font("Helvetica", size=9)
        self.cell(0, 4, f"{self.foot}   page {self.page_no()} of {{nb}}", align="R")
