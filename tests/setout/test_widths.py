"""Uneven pickets: each method's effect on the last space is what laying them out gives."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import layouts, lengths

from assistant.setout.ends import GAP
from assistant.setout.lengths import Resolution, inches, mm, rounded
from assistant.setout.limits import GapLimit
from assistant.setout.spacing import Bay, layout_for_count, solve
from assistant.setout.trouble import ImpossibleError
from assistant.setout.widths import Method, study_widths

LIMIT = GapLimit(mm(100), strict=False)
FINE = Resolution.MM_1


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
            at += (rounded(layout.gap, FINE) if k else layout.left_space) + width
    return layout.bay.opening - at


@given(layouts(most_pickets=20), st.lists(lengths(-3, 3), min_size=1, max_size=5))
def test_effects_are_what_laying_out_gives(layout, differences):
    widths = [layout.bay.picket + difference for difference in differences]
    try:
        study = study_widths(layout, widths, FINE)
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
        study = study_widths(layout, widths, FINE)
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
    layout = layout_for_count(Bay(inches(21), inches("1.5"), GapLimit(inches(4), strict=False)), 4)  # gaps of 3
    edge, centre, spacer = study_widths(layout, [inches("1.5625")], Resolution.INCH_16).effects
    assert spacer.expected == -inches("0.25")
    assert (edge.expected, centre.expected) == (-inches("0.0625"), -inches("0.03125"))


@pytest.mark.parametrize(("widths", "method"), [([69, 70], Method.EDGE), ([69, 71], Method.CENTRE)])
def test_centres_once_widths_differ_by_more_than_the_tolerance(widths, method):
    layout = solve(Bay(mm(2160), mm(70), LIMIT))
    study = study_widths(layout, [mm(width) for width in widths], FINE, tolerance=mm(1))
    assert study.recommended is method
    assert study.variation == widths[1] - widths[0]


def worst_space(layout, method, narrow):
    """The widest space with one pair of neighbours, or one beside a post, as narrow as the narrowest: placed by marks."""
    found = []
    for chosen in range(layout.count):
        edges = []
        for k in range(layout.count):
            width = narrow if k in (chosen, chosen + 1) else layout.bay.picket
            left = layout.left_space + k * layout.pitch
            start = left if method is Method.EDGE else left + (layout.bay.picket - width) / 2
            edges.append((start, start + width))
        ends = [Fraction(0), *(end for _, end in edges)]
        starts = [*(start for start, _ in edges), layout.bay.opening]
        found += [start - end for start, end in zip(starts, ends, strict=True)]
    return max(found)


@given(layouts(most_pickets=8), st.lists(lengths(-3, 0), min_size=1, max_size=4), st.sampled_from((Method.EDGE, Method.CENTRE)))
def test_no_space_that_marks_leave_is_wider_than_told(layout, differences, method):
    widths = [layout.bay.picket + difference for difference in differences]
    try:
        study = study_widths(layout, widths, FINE)
    except ImpossibleError:
        return
    assert worst_space(layout, method, min(widths)) <= study.largest
    assert study.allowed == layout.bay.limit.allows(study.largest)
    assert study.safe.bay.picket == min(widths)
    assert study.safe.allowed


def test_two_narrow_pickets_side_by_side_break_a_limit_that_the_plan_obeys():
    # By hand: pickets of 70 with gaps of 96.6; two of 66 side by side by centre marks leave 96.6 + 4 = 100.6, over 100.
    layout = layout_for_count(Bay(5 * mm(70) + 6 * mm("96.6"), mm(70), LIMIT), 5)
    study = study_widths(layout, [mm(70), mm(66), mm(66)], FINE)
    assert layout.allowed
    assert (study.largest, study.allowed) == (mm("100.6"), False)
    assert worst_space(layout, Method.CENTRE, mm(66)) == mm("100.6")
    # Set out for 66, five leave (929.6 - 330) / 6 = 99.93: by hand.
    assert (study.safe.count, study.safe.gap) == (5, Fraction(5996, 60))


def test_a_spacers_own_rounding_adds_up_with_the_widths():
    # By hand: gaps of 96.6 cut to 97 put four pickets behind the first 0.4 further each; no width is out.
    layout = layout_for_count(Bay(5 * mm(70) + 6 * mm("96.6"), mm(70), LIMIT), 5)
    spacer = study_widths(layout, [mm(70)], FINE).effect(Method.SPACER)
    assert spacer.expected == -4 * mm("0.4")
    assert spacer.worst == mm("1.6")


def test_ends_keep_their_condition():
    layout = solve(Bay(mm(2160), mm(70), LIMIT, GAP, GAP))
    assert study_widths(layout, [mm(70)], FINE).resolved == layout


def test_no_width_and_no_picket_are_refused():
    layout = solve(Bay(mm(2160), mm(70), LIMIT))
    with pytest.raises(ImpossibleError, match="Measure a few"):
        study_widths(layout, [], FINE)
    with pytest.raises(ImpossibleError, match="picket width cannot be 0 mm"):
        study_widths(layout, [mm(70), mm(0)], FINE)
