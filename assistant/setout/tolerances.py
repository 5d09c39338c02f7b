"""Every house tolerance, named once. Lengths in mm. Common practice without a source, unless a line names one."""

from __future__ import annotations

from fractions import Fraction

LEAST_GAP_SHARE = Fraction(1, 2)
"""A matched run keeps every gap to at least this share of the largest gap allowed."""

GAPS_LOOK_ALIKE = Fraction(2)
"""Gaps this close look the same, so no picket is spent on bringing them closer."""

OPENINGS_ALIKE = Fraction(5)
"""Openings this close to the usual one are not worth a word."""

OUT_OF_PLUMB = Fraction(3)
"""Openings of one bay that differ by more than this from rail to rail are pointed out."""
