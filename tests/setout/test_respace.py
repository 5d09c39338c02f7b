"""Re-spacing: what stands stays, the rest is even again, and all of it fills the opening."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import layouts, lengths, resolutions

from assistant.setout.ends import GAP, PICKET, set_gap
from assistant.setout.lengths import Resolution, inches, mm
from assistant.setout.limits import GapLimit
from assistant.setout.marks import Edge, Origin, marks
from assistant.setout.respace import Visibility, respace
from assistant.setout.spacing import Bay, layout_for_count
from assistant.setout.trouble import ImpossibleError

LIMIT = GapLimit(mm(100), strict=False)
# Gaps of 90, left edges at 90, 250, 410, 570, 730.
FIVE = layout_for_count(Bay(mm(890), mm(70), LIMIT), 5)


@st.composite
def slips(draw):
    layout = draw(layouts(most_pickets=20))
    return layout, draw(st.integers(1, layout.count)), draw(lengths(-30, 30))


@given(slips())
def test_everything_still_fills_the_opening(slip):
    try:
        found = respace(*slip)
    except ImpossibleError:
        return
    assert found.check()
    assert found.rest is None or found.rest.check()
    assert (found.rest is None) == (found.index == slip[0].count)


@given(slips(), st.sampled_from(Edge), resolutions)
def test_new_marks_follow_the_picket_that_is_off(slip, edge, resolution):
    layout, index, off = slip
    try:
        found = respace(layout, index, off)
    except ImpossibleError:
        return
    share = {Edge.LEFT: Fraction(0), Edge.CENTRE: Fraction(1, 2), Edge.RIGHT: Fraction(1)}[edge] * layout.bay.picket
    at = layout.left_space + (index - 1) * layout.pitch + off
    new = found.marks(edge, resolution)
    assert [mark.index for mark in new] == list(range(index + 1, layout.count + 1))
    for mark in new:
        assert found.gap is not None
        at += layout.bay.picket + found.gap
        assert mark.true == at + share
        assert abs(mark.value - mark.true) * 2 <= resolution.step


@given(layouts(most_pickets=20), st.data(), resolutions)
def test_a_picket_on_its_mark_changes_nothing(layout, data, resolution):
    index = data.draw(st.integers(1, layout.count))
    found = respace(layout, index, Fraction(0))
    assert found.right_space == layout.right_space
    assert found.marks(Edge.LEFT, resolution) == marks(layout, Edge.LEFT, Origin.LEFT, resolution)[index:]
    assert found.allowed == layout.allowed
    if found.gap is not None:
        assert found.gap == layout.gap


def test_a_picket_too_far_right():
    found = respace(FIVE, 2, mm(6))
    assert (found.last_space, found.gap, found.change) == (96, Fraction(177, 2), Fraction(15, 2))
    assert [mark.value for mark in found.marks(Edge.LEFT, Resolution.MM_1)] == [414, 573, 732]
    assert found.allowed


@pytest.mark.parametrize(
    ("off", "strict", "allowed"), [(10, False, True), (10, True, False), (11, False, False), (-6, False, True)]
)
def test_the_space_before_it_has_to_obey(off, strict, allowed):
    layout = layout_for_count(Bay(mm(890), mm(70), GapLimit(mm(100), strict)), 5)
    assert respace(layout, 3, mm(off)).allowed is allowed


@pytest.mark.parametrize(("off", "allowed"), [(-20, True), (-21, False)])
def test_the_gaps_after_it_have_to_obey(off, allowed):
    # Two gaps follow picket four; 20 more room brings each to exactly 100.
    assert respace(FIVE, 4, mm(off)).allowed is allowed


@pytest.mark.parametrize(("off", "allowed"), [(-10, True), (-11, False)])
def test_after_the_last_picket_only_the_post_is_left(off, allowed):
    found = respace(FIVE, 5, mm(off))
    assert found.rest is None
    assert found.gap is None
    assert found.marks(Edge.LEFT, Resolution.MM_1) == ()
    assert found.right_space == 90 - off
    assert found.change == -2 * off
    assert found.allowed is allowed


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
    assert respace(FIVE, 2, mm(off)).visibility is seen


def test_changes_are_judged_between_whole_gaps_only():
    # The space by the post is set to 20, so the first picket's own move is not a change of gap.
    layout = layout_for_count(Bay(mm(820), mm(70), LIMIT, set_gap(mm(20)), GAP), 5)
    assert respace(layout, 1, mm(5)).change == 0
    # The second picket's space then meets no whole gap on its left.
    assert respace(layout, 2, mm(4)).change == 5
    against = layout_for_count(Bay(mm(710), mm(70), LIMIT, PICKET, PICKET), 5)
    assert respace(against, 5, mm(-4)).change == 4


def test_a_single_gap_has_nothing_to_differ_from():
    two = layout_for_count(Bay(mm(230), mm(70), LIMIT, PICKET, PICKET), 2)
    assert respace(two, 2, mm(-4)).change == 0


def test_a_space_that_already_stands_has_to_obey_too():
    wide_end = layout_for_count(Bay(mm(920), mm(70), LIMIT, set_gap(mm(120)), GAP), 5)
    assert wide_end.gap == 90
    assert not respace(wide_end, 2, mm(0)).allowed


def test_a_printed_plank_with_its_first_item_off():
    # School maths Q&A: 33 in, 4 items of 5, 2 at the ends, gap 3; moved 1.5 the other gaps are 2.5 (arithmetic).
    bay = Bay(inches(33), inches(5), GapLimit(inches(4), strict=False), set_gap(inches(2)), set_gap(inches(2)))
    found = respace(layout_for_count(bay, 4), 1, inches("1.5"))
    assert found.gap == inches("2.5")
    assert found.right_space == inches(2)


@pytest.mark.parametrize(
    ("index", "off", "says"),
    [
        (0, 5, "There is no picket 0. They go from 1 to 5"),
        (6, 5, "There is no picket 6"),
        (2, -91, "cannot be 91 mm back: there is only 90 mm before it"),
        (1, -91, "only 90 mm before it"),
        (5, 91, "cannot be 91 mm forward: the spaces after it hold only 90 mm"),
        (4, 180, "spaces after it hold only 180 mm"),
    ],
)
def test_impossible_slips_are_refused(index, off, says):
    with pytest.raises(ImpossibleError, match=says):
        respace(FIVE, index, mm(off))


def test_the_most_a_picket_can_be_off():
    assert respace(FIVE, 2, mm(-90)).last_space == 0
    assert respace(FIVE, 5, mm(90)).right_space == 0
    assert respace(FIVE, 4, mm(179)).gap == Fraction(1, 2)
