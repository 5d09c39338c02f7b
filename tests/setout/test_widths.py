"""Uneven pickets: each method's effect on the last space is what laying them out gives."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import layouts, lengths

from assistant.setout.ends import GAP
from assistant.setout.lengths import inches, mm
from assistant.setout.limits import GapLimit
from assistant.setout.spacing import Bay, layout_for_count, solve
from assistant.setout.trouble import ImpossibleError
from assistant.setout.widths import Method, study_widths

LIMIT = GapLimit(mm(100), strict=False)


def last_space(layout, method, width):
    """Place every picket, all of this width, by one method; return the space left before the right post."""
    at, reckoned = Fraction(0), layout.bay.picket
    for k in range(layout.count):
        left_edge = layout.left_space + k * layout.pitch
        if method is Method.EDGE:
            at = left_edge + width
        elif method is Method.CENTRE:
            at = left_edge + reckoned / 2 + width / 2
        else:
            at += (layout.gap if k else layout.left_space) + width
    return layout.bay.opening - at


@given(layouts(most_pickets=20), st.lists(lengths(-3, 3), min_size=1, max_size=5))
def test_effects_are_what_laying_out_gives(layout, differences):
    widths = [layout.bay.picket + difference for difference in differences]
    try:
        study = study_widths(layout, widths)
    except ImpossibleError:
        return
    assert [effect.method for effect in study.effects] == list(Method)
    for effect in study.effects:
        for width, found in ((study.mean, effect.expected), (max(widths), effect.least), (min(widths), effect.most)):
            assert last_space(layout, effect.method, width) - layout.right_space == found


@given(layouts(most_pickets=20), st.lists(lengths(-3, 3), min_size=1, max_size=5))
def test_solving_on_the_mean_fills_the_opening(layout, differences):
    widths = [layout.bay.picket + difference for difference in differences]
    try:
        study = study_widths(layout, widths)
    except ImpossibleError:
        return
    assert study.mean * len(widths) == sum(widths)
    assert study.resolved.bay.picket == study.kept.bay.picket == study.mean
    assert study.resolved.allowed
    assert study.resolved.check()
    assert study.kept.check()
    assert study.kept.count == layout.count


def test_a_sixteenth_copied_four_times_is_a_quarter():
    # tommymac.us: an error of 1/16 in copied from piece to piece is 1/4 in after four.
    layout = layout_for_count(Bay(inches(24), inches("1.5"), GapLimit(inches(4), strict=False)), 4)
    edge, centre, spacer = study_widths(layout, [inches("1.5625")]).effects
    assert spacer.expected == -inches("0.25")
    assert (edge.expected, centre.expected) == (-inches("0.0625"), -inches("0.03125"))


@pytest.mark.parametrize(("widths", "method"), [([69, 70], Method.EDGE), ([69, 71], Method.CENTRE)])
def test_centres_once_widths_differ_by_more_than_the_tolerance(widths, method):
    layout = solve(Bay(mm(2160), mm(70), LIMIT))
    study = study_widths(layout, [mm(width) for width in widths], tolerance=mm(1))
    assert study.recommended is method
    assert study.variation == widths[1] - widths[0]


def test_ends_keep_their_condition():
    layout = solve(Bay(mm(2160), mm(70), LIMIT, GAP, GAP))
    assert study_widths(layout, [mm(70)]).resolved == layout


def test_no_width_and_no_picket_are_refused():
    layout = solve(Bay(mm(2160), mm(70), LIMIT))
    with pytest.raises(ImpossibleError, match="Measure a few"):
        study_widths(layout, [])
    with pytest.raises(ImpossibleError, match="picket width cannot be 0 mm"):
        study_widths(layout, [mm(70), mm(0)])
