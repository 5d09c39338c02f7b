"""Re-spacing: what stands stays, the rest is even again, and all of it fills the opening."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import layouts, lengths

from assistant.setout.ends import GAP, PICKET, EndKind, set_gap
from assistant.setout.lengths import Resolution, inches, mm
from assistant.setout.limits import GapLimit
from assistant.setout.marks import Edge, Origin, marks
from assistant.setout.respace import Row, Visibility, visibility
from assistant.setout.spacing import Bay, layout_for_count
from assistant.setout.trouble import ImpossibleError

LIMIT = GapLimit(mm(100), strict=False)
# Gaps of 90, near edges at 90, 250, 410, 570, 730.
FIVE = Row(mm(70), (mm(90),) * 6)


def row_of(layout):
    return Row(layout.bay.picket, layout.spaces())


def spread(row, index, off, end=GAP):
    """The row spaced again from picket `index`, which is so far past its place."""
    return row.spread(index, row.near_edges()[index - 1] + off, end, LIMIT)


@st.composite
def slips(draw):
    layout = draw(layouts(most_pickets=20))
    return layout, draw(st.integers(1, layout.count)), draw(lengths(-30, 30))


@given(layouts(most_pickets=30))
def test_a_row_stands_where_the_marks_are_from_either_post(layout):
    row = row_of(layout)
    assert (row.count, row.opening) == (layout.count, layout.bay.opening)
    for seen, edge, origin in ((row, Edge.LEFT, Origin.LEFT), (row.turned(), Edge.RIGHT, Origin.RIGHT)):
        assert list(seen.near_edges()) == [mark.true for mark in marks(layout, edge, origin, Resolution.MM_1)]
    assert row.turned().turned() == row


@given(slips())
def test_what_stands_stays_and_everything_still_fills_the_opening(slip):
    layout, index, off = slip
    row = row_of(layout)
    try:
        found = spread(row, index, off, layout.bay.right)
    except ImpossibleError:
        return
    assert found.opening == row.opening
    assert found.near_edges()[: index - 1] == row.near_edges()[: index - 1]
    assert found.near_edges()[index - 1] == row.near_edges()[index - 1] + off
    assert min(found.spaces) >= 0


@given(slips())
def test_the_pickets_that_follow_have_equal_gaps_and_the_end_they_had(slip):
    layout, index, off = slip
    try:
        found = spread(row_of(layout), index, off, layout.bay.right)
    except ImpossibleError:
        return
    *gaps, last = found.spaces[index:]
    assert len(set(gaps)) <= 1
    if gaps:
        assert last == layout.bay.right.space(gaps[0])
    else:
        assert last == layout.right_space - off


@given(layouts(most_pickets=20), st.data())
def test_a_picket_on_its_mark_changes_nothing(layout, data):
    row, index = row_of(layout), data.draw(st.integers(1, layout.count))
    assert spread(row, index, Fraction(0), layout.bay.right) == row
    assert row.moved(index, row.near_edges()[index - 1]) == row


@given(slips())
def test_a_picket_that_moves_alone_leaves_every_other_where_it_was(slip):
    layout, index, off = slip
    row = row_of(layout)
    try:
        found = row.moved(index, row.near_edges()[index - 1] + off)
    except ImpossibleError:
        assert row.spaces[index - 1] + off < 0 or row.spaces[index] - off < 0
        return
    away = [now - was for now, was in zip(found.near_edges(), row.near_edges(), strict=True)]
    assert away == [off if number == index else 0 for number in range(1, row.count + 1)]
    assert found.opening == row.opening


def test_a_picket_too_far_right():
    # From 326 to the post at 890 there are 564, less three pickets 354, for 4 gaps.
    found = spread(FIVE, 2, mm(6))
    assert found.spaces == (90, 96, *[Fraction(177, 2)] * 4)
    assert found.change(2, EndKind.GAP, EndKind.GAP) == Fraction(15, 2)


def test_after_the_last_picket_only_the_post_is_left():
    assert spread(FIVE, 5, mm(-10)).spaces == (90, 90, 90, 90, 80, 100)
    assert spread(FIVE, 5, mm(-10)).change(5, EndKind.GAP, EndKind.GAP) == 20


@pytest.mark.parametrize(
    ("off", "seen"),
    # With four gaps to share the change is off * 5/4.
    [
        ("1.6", Visibility.UNSEEN),
        ("1.61", Visibility.SLIGHT),
        ("4", Visibility.SLIGHT),
        ("4.01", Visibility.PLAIN),
        ("-1.6", Visibility.UNSEEN),
        ("-4.01", Visibility.PLAIN),
    ],
)
def test_how_plainly_it_shows(off, seen):
    assert visibility(spread(FIVE, 2, mm(off)).change(2, EndKind.GAP, EndKind.GAP)) is seen


def test_changes_are_judged_between_whole_gaps_only():
    # The space by the post is set to 20, so the first picket's own move is not a change of gap.
    first = Row(mm(70), (mm(20), *[mm(90)] * 5))
    assert spread(first, 1, mm(5)).change(1, EndKind.SET_GAP, EndKind.GAP) == 0
    # The second picket's space then meets no whole gap on its left: 94 beside 89.
    assert spread(first, 2, mm(4)).change(2, EndKind.SET_GAP, EndKind.GAP) == 5
    # Against both posts, the last moved alone: 86 beside 90; the 4 by the post is no gap.
    against = Row(mm(70), (mm(0), *[mm(90)] * 4, mm(0)))
    assert spread(against, 5, mm(-4), PICKET).change(5, EndKind.PICKET, EndKind.PICKET) == 4


def test_a_change_far_from_the_picket_is_not_its_own():
    # The second was 20 off before; the fifth is moved by 1.
    row = FIVE.moved(2, mm(270))
    assert spread(row, 5, mm(1)).change(5, EndKind.GAP, EndKind.GAP) == 2


def test_a_single_gap_has_nothing_to_differ_from():
    two = Row(mm(70), (mm(0), mm(90), mm(0)))
    assert spread(two, 2, mm(-4), PICKET).change(2, EndKind.PICKET, EndKind.PICKET) == 0


def test_a_printed_plank_with_its_first_item_off():
    # School maths Q&A: 33 in, 4 items of 5, 2 at the ends, gap 3; moved 1.5 the other gaps are 2.5 (arithmetic).
    end = set_gap(inches(2))
    bay = Bay(inches(33), inches(5), GapLimit(inches(4), strict=False), end, end)
    found = spread(row_of(layout_for_count(bay, 4)), 1, inches("1.5"), end)
    assert found.spaces == (inches("3.5"), *[inches("2.5")] * 3, inches(2))


@pytest.mark.parametrize(
    ("index", "off", "says"),
    [
        (2, -91, "cannot be 91 mm back: there is only 90 mm before it"),
        (1, -91, "only 90 mm before it"),
        (5, 91, "cannot be 91 mm forward. The spaces after it hold only 90 mm"),
        (4, 180, "spaces after it hold only 180 mm"),
    ],
)
def test_impossible_slips_are_refused(index, off, says):
    with pytest.raises(ImpossibleError, match=says):
        spread(FIVE, index, mm(off))


@pytest.mark.parametrize("index", [0, 6])
def test_a_picket_that_is_not_there_is_refused(index):
    for ask in (FIVE.require, lambda number: FIVE.moved(number, mm(90)), lambda number: FIVE.spread(number, mm(90), GAP, LIMIT)):
        with pytest.raises(ImpossibleError, match=f"There is no picket {index}. They go from 1 to 5"):
            ask(index)


def test_the_most_a_picket_can_be_off():
    assert spread(FIVE, 2, mm(-90)).spaces[1] == 0
    assert spread(FIVE, 5, mm(90)).spaces[-1] == 0
    assert spread(FIVE, 4, mm(179)).spaces[4:] == (Fraction(1, 2), Fraction(1, 2))
