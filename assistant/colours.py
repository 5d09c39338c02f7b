"""Colours of the sheet and the glance page, chosen to be read in sunlight; a test computes their contrast."""

from __future__ import annotations

INK, PAPER = "#111111", "#ffffff"
CAUTION_INK, CAUTION = "#111111", "#ffd400"
WARNING_INK, WARNING = "#ffffff", "#8a0012"
FAINT = "#efece4"
"""Behind every other mark."""
POST, RAIL, PICKET = "#3a3a3a", "#b0946a", "#f3e2bf"

TEXT_PAIRS = ((INK, PAPER), (CAUTION_INK, CAUTION), (WARNING_INK, WARNING), (INK, FAINT))
"""Every colour of text with what lies behind it."""

EDGES = ((INK, PAPER), (POST, PAPER), (INK, PICKET))
"""Outlines and shapes that have to be told from what lies beside them."""

NIGHT_INK, NIGHT = "#f4f1ea", "#101010"
NIGHT_FAINT = "#262522"
NIGHT_POST, NIGHT_RAIL, NIGHT_PICKET = "#a8a8a8", "#5d4a2e", "#3a2f1c"
"""The same by night, where the device asks for it."""

NIGHT_PAIRS = ((NIGHT_INK, NIGHT), (NIGHT_INK, NIGHT_FAINT), (WARNING_INK, WARNING))
NIGHT_EDGES = ((NIGHT_INK, NIGHT), (NIGHT_POST, NIGHT), (NIGHT_INK, NIGHT_PICKET), (NIGHT_INK, NIGHT_RAIL))
