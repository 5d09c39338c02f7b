"""Checks on site: the tolerance and the limit are judged apart, and a spacer's drift is told beforehand."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import gap_limits, layouts, lengths, resolutions

from assistant.setout.checks import Action, check_gap, check_marks, spacer_for
from assistant.setout.ends import PICKET
from assistant.setout.lengths import Resolution, inches, mm, rounded
from assistant.setout.limits import GapLimit
from assistant.setout.marks import Edge, Origin, marks
from assistant.setout.spacing import Bay, layout_for_count
from assistant.setout.trouble import ImpossibleError

UP_TO = GapLimit(mm(100), strict=False)
UNDER = GapLimit(mm(100), strict=True)
# Gaps of 99.
FIVE = layout_for_count(Bay(mm(944), mm(70), UP_TO), 5)


@pytest.mark.parametrize(
    ("limit", "measured", "tolerance", "action"),
    [
        (UP_TO, "99", 2, Action.CARRY_ON),
        (UP_TO, "97", 2, Action.CARRY_ON),
        (UP_TO, "96.9", 2, Action.BACK_TO_THE_MARKS),
        (UP_TO, "19", 2, Action.BACK_TO_THE_MARKS),
        (UP_TO, "100", 1, Action.CARRY_ON),
        (UP_TO, "100", "0.5", Action.BACK_TO_THE_MARKS),
        (UP_TO, "100.1", 2, Action.MOVE_THE_PICKET),
        (UNDER, "100", 2, Action.MOVE_THE_PICKET),
        (UNDER, "99.9", 2, Action.CARRY_ON),
    ],
)
def test_what_to_do_about_a_gap_set_out_at_ninety_nine(limit, measured, tolerance, action):
    assert check_gap(mm(99), limit, mm(measured), mm(tolerance)).action is action


@given(lengths(1, 150), gap_limits, lengths(0, 200), lengths(0, 10))
def test_a_gap_check_reports_what_it_was_given(gap, limit, measured, tolerance):
    check = check_gap(gap, limit, measured, tolerance)
    assert check.measured == measured == gap + check.difference
    assert check.inside_limit == limit.allows(measured)
    assert check.inside_tolerance == (gap - tolerance <= measured <= gap + tolerance)


@given(layouts(), st.integers(1, 12), st.sampled_from(Edge), st.sampled_from(Origin), resolutions)
def test_check_marks_are_marks_of_the_layout_and_end_at_the_last(layout, every, edge, origin, resolution):
    running = marks(layout, edge, origin, resolution)
    made = check_marks(layout, every, edge, origin, resolution)
    assert [check.mark for check in made] == [running[k - 1] for k in range(every, layout.count, every)] + [running[-1]]
    spacer = rounded(layout.gap, resolution)
    for check in made:
        by_spacer = running[0].true
        for _ in range(check.mark.index - 1):
            by_spacer += layout.bay.picket + spacer
        assert check.drift == by_spacer - check.mark.true


def test_published_drift_of_a_rounded_spacer():
    # hammerzone.com fence section 8: 30/11 in rounded to 2.75 and stepped ends 1/4 in too long after 11 gaps.
    bay = Bay(inches(96), inches("5.5"), GapLimit(inches(4), strict=False), PICKET, PICKET)
    layout = layout_for_count(bay, 12)
    assert rounded(layout.gap, Resolution.INCH_16) == inches("2.75")
    *_, last = check_marks(layout, 4, Edge.LEFT, Origin.LEFT, Resolution.INCH_16)
    assert last.drift == inches("0.25")
    assert [check.mark.index for check in check_marks(layout, 5, Edge.LEFT, Origin.LEFT, Resolution.INCH_16)] == [
        5,
        10,
        12,
    ]


def test_a_printed_spacer_stepped_fifteen_times_is_four_millimetres_short():
    # myoldworkshop: 107-5/8 in = 2734 mm over 15 is 182.26, "measure out 182"; 15 x 182 = 2730, 4 short (arithmetic).
    spacer = spacer_for(Fraction(2734, 15), 16, mm(200), GapLimit(mm(200), strict=False), Resolution.MM_1)
    assert (spacer.size, spacer.out) == (182, -4)
    assert not spacer.works


@given(lengths(20, 150), st.integers(1, 40), lengths(0, 150), gap_limits, resolutions)
def test_a_spacer_sets_the_last_picket_where_stepping_it_off_does(gap, count, last_space, limit, resolution):
    spacer = spacer_for(gap, count, last_space, limit, resolution)
    at, true = Fraction(0), Fraction(0)
    for _ in range(count - 1):
        at, true = at + 90 + spacer.size, true + 90 + gap
    assert spacer.out == at - true
    assert (spacer.size / resolution.step).denominator == 1
    if spacer.works:
        assert abs(spacer.out) <= 2
        assert limit.allows(spacer.size)
        assert last_space - spacer.out >= 0


@pytest.mark.parametrize(
    ("gap", "count", "last", "limit", "size", "works"),
    [
        ("98.9", 5, "98.9", UP_TO, 99, True),  # 0.4 past
        ("98.4", 5, "98.4", UP_TO, 98, True),  # 1.6 short
        ("98.4", 7, "98.4", UP_TO, 98, False),  # 2.4 short
        ("99.8", 5, "99.8", UNDER, 99, False),  # 100 would break the limit, and 99 is 3.2 short
        ("99.8", 5, "99.8", UP_TO, 100, True),  # 0.8 past
        ("99.4", 5, "99.4", UP_TO, 99, False),  # 1.6 short leaves 101 behind the last picket
        ("98.6", 5, "1", UP_TO, 99, False),  # 1.6 past, where there is room for one
    ],
)
def test_a_spacer_works_within_the_tolerance_and_the_limit(gap, count, last, limit, size, works):
    spacer = spacer_for(mm(gap), count, mm(last), limit, Resolution.MM_1)
    assert (spacer.size, spacer.works) == (size, works)


def test_impossible_checks_are_refused():
    with pytest.raises(ImpossibleError, match="measured gap cannot be -1 mm"):
        check_gap(mm(99), UP_TO, mm(-1))
    with pytest.raises(ImpossibleError, match="tolerance cannot be -1 mm"):
        check_gap(mm(99), UP_TO, mm(99), mm(-1))
    with pytest.raises(ImpossibleError, match="every 0 pickets"):
        check_marks(FIVE, 0, Edge.LEFT, Origin.LEFT, Resolution.MM_1)


def test_a_gap_that_is_right_has_no_difference():
    assert check_gap(mm(99), UP_TO, mm(99)).difference == Fraction(0)
