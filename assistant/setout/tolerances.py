"""Every house tolerance, named once. Lengths in mm. Common practice without a source, unless a line names one."""

from __future__ import annotations

from fractions import Fraction

LEAST_GAP_SHARE = Fraction(1, 2)
"""A matched run keeps every gap to at least this share of the largest gap allowed."""

GAPS_LOOK_ALIKE = Fraction(2)
"""Gaps this close look the same, so no picket is spent on bringing them closer."""

PICKETS_FOR_LIKENESS = Fraction(1, 10)
"""Unless told otherwise, a run spends at most this share of its fewest pickets on bringing its gaps closer."""

OPENINGS_ALIKE = Fraction(5)
"""Openings this close to the usual one are not worth a word."""

OUT_OF_PLUMB = Fraction(3)
"""Openings of one bay that differ by more than this from rail to rail are pointed out."""

TAPE_ERROR = Fraction(127, 20)
"""Openings of one bay that differ by no more than this, a quarter of an inch, may be alike and the tape misread: asked, not told."""

WIDTHS_ALIKE = Fraction(1)
"""Pickets whose widths differ by no more than this can go by edge marks."""

GAP_ON_SITE = Fraction(2)
"""A gap measured after nailing may be this far from the one that was set out."""

GAP_CHANGE_UNSEEN = Fraction(2)
"""A change from one gap to the next up to this is not seen."""

GAP_CHANGE_PLAIN = Fraction(5)
"""A change from one gap to the next beyond this is plainly seen."""

FAR_FROM_OTHERS = Fraction(5, 2)
"""An opening this many times the usual one, or this many times smaller, is questioned."""

SAME_AFTER_TEN = Fraction(1, 4)
"""If ten times or a tenth of it is within this share of the usual, a digit probably slipped."""

STEEPEST = 45
"""Degrees; a steeper bay is refused, for then rise, level length and rail length were mixed up."""

LENGTHS_AGREE = Fraction(10)
"""Two measures of one length, the opening of a bay and its level or its sloping length, may differ by this."""

SMALL_BESIDE_PICKET = Fraction(1, 5)
"""A largest gap below this share of a picket is questioned: a digit or a unit was probably lost ("nine", "ten" for ten centimetres)."""
