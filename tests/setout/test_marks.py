"""Every mark is the exact place of its picket, rounded once."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import bays, resolutions

from assistant.setout.ends import GAP, PICKET
from assistant.setout.lengths import Resolution, mm, round_to, rounded
from assistant.setout.limits import GapLimit
from assistant.setout.marks import Edge, Origin, marks
from assistant.setout.spacing import Bay, layout_for_count

edges, origins = st.sampled_from(Edge), st.sampled_from(Origin)


def walked(layout, edge):
    """The distance from the left post to each picket's edge, laid out space by space."""
    share = {Edge.LEFT: Fraction(0), Edge.CENTRE: layout.bay.picket / 2, Edge.RIGHT: layout.bay.picket}[edge]
    places, at = [], Fraction(0)
    for space in layout.spaces()[:-1]:
        at += space
        places.append(at + share)
        at += layout.bay.picket
    return places


def layout_of(bay):
    return layout_for_count(bay, (bay.least + bay.most) // 2)


@given(bays(), edges, resolutions)
def test_marks_from_the_left_are_where_walking_gets_to(bay, edge, resolution):
    made = marks(layout_of(bay), edge, Origin.LEFT, resolution)
    assert [mark.true for mark in made] == walked(layout_of(bay), edge)


@given(bays(), edges, resolutions)
def test_marks_from_the_right_are_the_rest_of_the_opening(bay, edge, resolution):
    made = marks(layout_of(bay), edge, Origin.RIGHT, resolution)
    assert [mark.true for mark in made] == [bay.opening - place for place in reversed(walked(layout_of(bay), edge))]


@given(bays(), edges, origins, resolutions)
def test_each_mark_is_rounded_once_and_by_at_most_half_a_step(bay, edge, origin, resolution):
    made = marks(layout_of(bay), edge, origin, resolution)
    assert [mark.index for mark in made] == list(range(1, layout_of(bay).count + 1))
    for mark in made:
        assert mark.value == rounded(mark.true, resolution)
        assert mark.steps == round_to(mark.true, resolution)
        assert abs(mark.value - mark.true) * 2 <= resolution.step


@pytest.mark.parametrize(
    ("edge", "origin", "expected"),
    [
        (Edge.LEFT, Origin.LEFT, [100, 250]),
        (Edge.CENTRE, Origin.LEFT, [125, 275]),
        (Edge.RIGHT, Origin.LEFT, [150, 300]),
        (Edge.LEFT, Origin.RIGHT, [150, 300]),
        (Edge.CENTRE, Origin.RIGHT, [125, 275]),
        (Edge.RIGHT, Origin.RIGHT, [100, 250]),
    ],
)
def test_edges_are_as_seen_facing_the_fence(edge, origin, expected):
    layout = layout_for_count(Bay(mm(400), mm(50), GapLimit(mm(100), strict=False)), 2)
    assert [mark.value for mark in marks(layout, edge, origin, Resolution.MM_1)] == expected


def test_ends_that_differ_are_seen_from_their_own_post():
    layout = layout_for_count(Bay(mm(400), mm(50), GapLimit(mm(100), strict=False), PICKET, GAP), 2)
    assert [mark.value for mark in marks(layout, Edge.LEFT, Origin.LEFT, Resolution.MM_1)] == [0, 200]
    assert [mark.value for mark in marks(layout, Edge.RIGHT, Origin.RIGHT, Resolution.MM_1)] == [150, 350]


@pytest.mark.parametrize(("opening", "steps"), [(5, 2), (7, 4), (9, 4), (11, 6)])
def test_midway_marks_take_the_even_graduation(opening, steps):
    # One picket of 1 mm in the middle: its centre is at half the opening, midway between millimetres.
    layout = layout_for_count(Bay(mm(opening), mm(1), GapLimit(mm(100), strict=False)), 1)
    (mark,) = marks(layout, Edge.CENTRE, Origin.LEFT, Resolution.MM_1)
    assert mark.true == Fraction(opening, 2)
    assert mark.steps == steps
