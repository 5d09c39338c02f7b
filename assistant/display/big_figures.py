"""A mark in figures of seven lines for a terminal, a fraction as its upper number over a bar over its lower one.

Crosses the border: a mark as `written.mark_text` writes it and a width in letters in, lines out.
"""

from __future__ import annotations

import re

LINES = 7

_DOTS = {
    "0": ".###. #...# #..## #.#.# ##..# #...# .###.",
    "1": "..#.. .##.. ..#.. ..#.. ..#.. ..#.. .###.",
    "2": ".###. #...# ....# ...#. ..#.. .#... #####",
    "3": ".###. #...# ....# ..##. ....# #...# .###.",
    "4": "...#. ..##. .#.#. #..#. ##### ...#. ...#.",
    "5": "##### #.... ####. ....# ....# #...# .###.",
    "6": ".###. #.... #.... ####. #...# #...# .###.",
    "7": "##### ....# ...#. ..#.. ..#.. .#... .#...",
    "8": ".###. #...# #...# .###. #...# #...# .###.",
    "9": ".###. #...# #...# .#### ....# ....# .###.",
    ".": ". . . . . . #",
}
_SMALL = {
    "0": "### #.# #.# #.# ###",
    "1": ".#. ##. .#. .#. ###",
    "2": "### ..# ### #.. ###",
    "3": "### ..# ### ..# ###",
    "4": "#.# #.# ### ..# ..#",
    "5": "### #.. ### ..# ###",
    "6": "### #.. ### #.# ###",
    "7": "### ..# ..# .#. .#.",
    "8": "### #.# ### #.# ###",
    "9": "### #.# ### ..# ###",
}
_PIECE = re.compile(r"(?P<over>[0-9]+)/(?P<under>[0-9]+)|(?P<number>[0-9.]+)|(?P<word>\S+)")
_HALVES = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}


def big(mark: str, width: int) -> list[str]:
    """The mark on exactly LINES lines, as wide as fits in `width`; in plain letters where none would, for half a mark is a wrong one."""
    for cells in (2, 1):
        lines = _side_by_side([_piece(found, cells) for found in _PIECE.finditer(mark)])
        if max(map(len, lines)) <= width:
            return lines
    return [""] * (LINES // 2) + [mark] + [""] * (LINES - LINES // 2 - 1)


def _piece(found: re.Match[str], cells: int) -> list[str]:
    if found["over"]:
        return _fraction(found["over"], found["under"])
    if found["number"]:
        figures = [[_wide(row, cells) for row in _DOTS[figure].split()] for figure in found["number"]]
        return _side_by_side(figures)
    return [" " * len(found["word"])] * (LINES - 1) + [found["word"]]


def _wide(row: str, cells: int) -> str:
    return "".join(("█" if dot == "#" else " ") * cells for dot in row)


def _fraction(over: str, under: str) -> list[str]:
    upper, lower = (_side_by_side([_halved(_SMALL[figure].split()) for figure in number]) for number in (over, under))
    width = max(len(upper[0]), len(lower[0]))
    return [*(line.center(width) for line in upper), "━" * width, *(line.center(width) for line in lower)]


def _halved(rows: list[str]) -> list[str]:
    """Two rows of dots in each line."""
    even = rows if len(rows) % 2 == 0 else [*rows, "." * len(rows[0])]
    return ["".join(_HALVES[a == "#", b == "#"] for a, b in zip(*pair, strict=True)) for pair in zip(even[::2], even[1::2], strict=True)]


def _side_by_side(blocks: list[list[str]]) -> list[str]:
    return [" ".join(parts) for parts in zip(*blocks, strict=True)] if blocks else [""] * LINES
