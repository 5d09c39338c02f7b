"""Uneven pickets: what each way of marking does to the last gap of the bay that is talked about."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from sample_jobs import confirmed
from subject_turns import bay, filled_in, job, kept, said, said_to

from assistant.dialogue.subjects.uneven_pickets import WIDTHS
from assistant.language.vocabulary import Act
from assistant.measured import Gate
from assistant.setout.lengths import Resolution, inches
from assistant.setout.trouble import ImpossibleError


def test_the_phrase_needs_a_bay() -> None:
    turn = said_to(job(bay(1, 2400)), Act.WIDTHS)
    assert said(turn) == "Picket widths. Measure a picket. How wide is it?"
    with pytest.raises(ImpossibleError, match="no bay yet"):
        said_to(job(), Act.WIDTHS)


def test_widths_that_differ_want_centre_marks() -> None:
    # By hand: 13 pickets, gaps of 87.857; 94 in place of 90 takes 2 off the gaps beside it; a spacer of 88 takes 13 times 4 and
    # 12 times 0.143 off the last: 53.7.  Of 90 no gap grows.
    turn = filled_in(job(bay(1, 2400)), WIDTHS, width_1=90, width_2=92, width_3=94)
    assert kept(turn)["Picket widths"] == (
        "Three pickets measured, mean ninety two millimetres.",
        "They go from ninety millimetres to ninety four millimetres.",
        "Use centre marks; the last gap of bay one is then out by up to two millimetres.",
        "A spacer block could be out there by about fifty three point seven millimetres.",
        "The widest gap that marks can leave is about eighty seven point nine millimetres.",
        "Of the mean width, twelve pickets leave a gap of about ninety nine point seven millimetres.",
    )
    assert turn.job.draft is None


def test_widths_that_are_alike_go_by_edge_marks() -> None:
    assert "Edge marks will do" in said(filled_in(job(bay(1, 2400)), WIDTHS, width_1=90, width_2=91))


def test_four_copies_of_a_sixteenth_are_a_quarter_of_an_inch() -> None:
    # tommymac.us: an error of 1/16 in copied from piece to piece is 1/4 in after four.
    wide = inches("3.5") + inches("0.0625")
    made = job(bay(1, 4 * inches("3.5") + 5 * inches(3), picket=inches("3.5")), resolution=Resolution.INCH_16)
    turn = filled_in(made, WIDTHS, width_1=wide)
    assert "A spacer block could be out there by about six point four millimetres." in said(turn)  # 6.35


def test_two_narrow_pickets_side_by_side_are_held_against_the_limit() -> None:
    # By hand: five of 70 with gaps of 96.6; two of 66 side by side leave 100.6.  Set out for 66, five leave 99.93.
    made = job(bay(1, 5 * 70 + 6 * Fraction("96.6"), picket=Fraction(70)))
    told = said(filled_in(made, WIDTHS, width_1=70, width_2=66))
    assert "The widest gap that marks can leave is one hundred point six millimetres." in told
    assert "That is over the largest gap, up to one hundred millimetres." in told
    assert "To stay under it, set pickets to sixty six millimetres: five pickets." in told
    assert "over the largest gap" not in said(filled_in(made, WIDTHS, width_1=70, width_2=67))


def test_the_bay_that_is_talked_about_is_studied_as_it_is_set_out() -> None:
    made = job(bay(1, 1000), bay(2, 2400), bay(3, 1000, gate=Gate(Fraction(6), Fraction(12))))
    bay_two = "the last gap of bay two is then out by up to two millimetres"
    assert bay_two in said(filled_in(replace(made, current=1), WIDTHS, width_1=90, width_2=94))
    assert "the last gap of bay one" in said(filled_in(replace(made, current=2), WIDTHS, width_1=90, width_2=94))
    fifteen = confirmed(job(bay(1, 2400, count=15)), 1)
    told = said(filled_in(fifteen, WIDTHS, width_1=90, width_2=94))
    # Gaps of 65.625 and a spacer of 66: 15 times 4 and 14 times 0.375.
    assert "A spacer block could be out there by about sixty five point two millimetres." in told
    # 2400 less 15 of 92, in 16 gaps: by hand.
    assert "Of the mean width, fifteen pickets leave a gap of about sixty three point eight millimetres" in told
