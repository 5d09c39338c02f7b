"""Story poles: as few as can be, each within tolerance of every bay it serves; moving a pole adds no error."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import layouts, lengths, resolutions

from assistant.setout.ends import GAP, HALF_GAP, PICKET
from assistant.setout.lengths import MM_PER_INCH, Resolution, inches, mm
from assistant.setout.limits import GapLimit
from assistant.setout.marks import Edge, Origin, marks
from assistant.setout.pole import Placements, fewest_poles, re_register, rod
from assistant.setout.spacing import Bay, Layout, layout_for_count
from assistant.setout.trouble import ImpossibleError

LIMIT = GapLimit(mm(100), strict=False)


def set_along(layout: Layout, pole: Fraction, edge: Edge, resolution: Resolution, origin: Origin) -> Placements:
    """A bay marked with a pole that is moved along."""
    running = [mark.steps for mark in marks(layout, edge, origin, resolution)]
    return re_register(running, layout.bay.opening, pole, resolution)


origins = st.sampled_from(Origin)


@st.composite
def like_layouts(draw):
    """Bays of one picket and like ends whose gaps are close enough to share poles now and then."""
    left, right = (draw(st.sampled_from((GAP, PICKET, HALF_GAP))) for _ in range(2))
    made = []
    for _ in range(draw(st.integers(1, 6))):
        count, gap = draw(st.integers(2, 12)), 80 + draw(lengths(0, 20)) / 10
        opening = count * 70 + gap * (count - 1 + left.coefficient + right.coefficient)
        made.append(layout_for_count(Bay(opening, mm(70), LIMIT, left, right), count))
    return made


def near_end(layout, origin):
    return layout.bay.left if origin is Origin.LEFT else layout.bay.right


def near_marks(layout, origin):
    """The edges that come first, from the post the pole counts from."""
    edge = Edge.LEFT if origin is Origin.LEFT else Edge.RIGHT
    return marks(layout, edge, origin, Resolution.MM_1)


def serves(gap, bays, tolerance, origin):
    """Whether equal gaps of this size put every mark of every bay within the tolerance."""
    return all(
        abs(first + k * (70 + gap) - mark.true) <= tolerance
        for layout in bays
        for first in [near_end(layout, origin).space(gap)]
        for k, mark in enumerate(near_marks(layout, origin))
    )


def fewest_by_search(bays, tolerance, origin):
    """Fewest poles over every way of splitting the bays, each part tried at the ends of its bays' ranges."""
    if not bays:
        return 0
    first, others = bays[0], bays[1:]
    best = len(bays)
    for chosen in range(2 ** len(others)):
        part = [first, *(bay for k, bay in enumerate(others) if chosen >> k & 1)]
        rest = [bay for k, bay in enumerate(others) if not chosen >> k & 1]
        # If any pole serves the part, so does the highest one the part allows, which one of its bays decides.
        tops = [bay.gap + tolerance / (bay.count - 1 + near_end(bay, origin).coefficient) for bay in part]
        if serves(min(tops), part, tolerance, origin):
            best = min(best, 1 + fewest_by_search(rest, tolerance, origin))
    return best


@given(like_layouts(), lengths(0, 10), origins)
@settings(max_examples=50)
def test_no_split_of_the_bays_needs_fewer_poles(bays, tolerance, origin):
    assert len(fewest_poles(bays, tolerance, origin)) == fewest_by_search(bays, tolerance, origin)


@given(like_layouts(), lengths(0, 10), origins)
def test_every_mark_of_every_bay_is_within_the_tolerance_of_its_pole(bays, tolerance, origin):
    poles = fewest_poles(bays, tolerance, origin)
    assert sorted(place for pole in poles for place in pole.bays) == list(range(len(bays)))
    for pole in poles:
        served = [bays[place] for place in pole.bays]
        off = [abs(pole.mark(mark.index) - mark.true) for layout in served for mark in near_marks(layout, origin)]
        assert max(off) == pole.worst <= tolerance
        assert pole.count == max(layout.count for layout in served)
        assert pole.origin is origin


@given(st.lists(layouts(), min_size=1, max_size=6), lengths(0, 10), origins)
def test_bays_of_different_pickets_or_ends_at_the_post_never_share(bays, tolerance, origin):
    for pole in fewest_poles(bays, tolerance, origin):
        assert len({(bays[place].bay.picket, near_end(bays[place], origin)) for place in pole.bays}) == 1


def test_seen_from_the_right_the_ends_change_places():
    # 13 pickets of 70 in 2160, one against the left post: 1250 over 13 gaps. From the right the first stands a gap away.
    layout = layout_for_count(Bay(mm(2160), mm(70), LIMIT, PICKET, GAP), 13)
    gap = Fraction(1250, 13)
    (from_left,) = fewest_poles([layout], mm(0), Origin.LEFT)
    (from_right,) = fewest_poles([layout], mm(0), Origin.RIGHT)
    assert (from_left.first, from_right.first) == (0, gap)
    assert from_right.mark(13) == 2160 - 70
    # Beside a bay with a picket against neither post it shares a pole only from the right.
    plain = layout_for_count(Bay(13 * 70 + 14 * gap, mm(70), LIMIT), 13)
    assert len(fewest_poles([layout, plain], mm(0), Origin.LEFT)) == 2
    assert len(fewest_poles([layout, plain], mm(0), Origin.RIGHT)) == 1


def test_the_gap_of_a_pole_is_in_the_middle_of_what_its_bays_allow():
    # 13 pickets, gaps 89 and 90: the last mark is 13 gaps out, so it is 13/2 off either way.
    bays = [layout_for_count(Bay(13 * 70 + 14 * mm(gap), mm(70), LIMIT), 13) for gap in (89, 90)]
    (pole,) = fewest_poles(bays, mm(8), Origin.LEFT)
    assert (pole.gap, pole.worst) == (mm("89.5"), mm("6.5"))
    # A short bay of gap 84 allows 82 to 86 at 8 mm (its fourth and last mark is 4 gaps out), a long one of 86 allows
    # 86 - 8/13 to 86 + 8/13; both allow 86 - 8/13 to 86.
    short, long = (layout_for_count(Bay(n * 70 + (n + 1) * mm(gap), mm(70), LIMIT), n) for n, gap in ((4, 84), (13, 86)))
    (pole,) = fewest_poles([short, long], mm(8), Origin.LEFT)
    assert pole.gap == 86 - Fraction(4, 13)


@given(like_layouts(), lengths(1, 10), origins)
def test_a_pole_leaves_as_much_room_below_its_gap_as_above(bays, tolerance, origin):
    for pole in fewest_poles(bays, tolerance, origin):
        served = [bays[place] for place in pole.bays]
        reach = {bay: tolerance / (bay.count - 1 + near_end(bay, origin).coefficient) for bay in served}
        below = min(pole.gap - (bay.gap - reach[bay]) for bay in served)
        above = min(bay.gap + reach[bay] - pole.gap for bay in served)
        assert below == above


def test_without_tolerance_only_equal_bays_share():
    bays = [layout_for_count(Bay(mm(opening), mm(70), LIMIT), 13) for opening in (2160, 2160, 2161)]
    assert [pole.bays for pole in fewest_poles(bays, mm(0), Origin.LEFT)] == [(0, 1), (2,)]
    # The last mark of the third is 13/14 of a millimetre further; half of that either way is enough.
    assert len(fewest_poles(bays, Fraction(13, 28), Origin.LEFT)) == 1
    assert len(fewest_poles(bays, Fraction(13, 28) - Fraction(1, 1000), Origin.LEFT)) == 2


def test_a_pole_of_one_printed_bay_carries_its_printed_edges():
    # J. Tolpin, byhandandeye.com: 35-15/16 in, four of 5-7/16; near edges 2.8375, 11.1125, 19.3875, 27.6625.
    bay = Bay(inches(Fraction(575, 16)), inches(Fraction(87, 16)), GapLimit(inches(4), strict=False))
    (pole,) = fewest_poles([layout_for_count(bay, 4)], mm(0), Origin.LEFT)
    printed = ["2.8375", "11.1125", "19.3875", "27.6625"]
    assert [pole.mark(index) / MM_PER_INCH for index in range(1, 5)] == [Fraction(text) for text in printed]


@given(layouts(), st.sampled_from(Edge), origins, resolutions, st.integers(1, 5))
def test_moving_the_pole_leaves_every_mark_where_it_was(layout, edge, origin, resolution, moves):
    first = max(layout.left_space, layout.right_space)
    pole = max(layout.bay.opening / moves, layout.pitch + layout.bay.picket + first + resolution.step)
    found = set_along(layout, pole, edge, resolution, origin)
    placed = [(p.start + mark.value, mark.index) for p in found.placements for mark in p.marks]
    assert placed == [(mark.value, mark.index) for mark in marks(layout, edge, origin, resolution)]
    assert found.closing_error == 0
    assert all(mark.value <= pole for placement in found.placements for mark in placement.marks)


@given(layouts(), resolutions, st.integers(2, 5))
def test_the_pole_is_moved_only_when_it_does_not_reach(layout, resolution, moves):
    pole = max(layout.bay.opening / moves, layout.pitch + layout.bay.picket + layout.left_space + resolution.step)
    found = set_along(layout, pole, Edge.LEFT, resolution, Origin.LEFT)
    for before, after in pairwise(found.placements):
        assert after.start_index == before.marks[-1].index
        assert after.start + after.marks[0].value - before.start > pole


def test_placements_of_a_short_pole():
    # Left edges at 100, 280, 460, 640, 820.
    layout = layout_for_count(Bay(mm(1000), mm(80), LIMIT), 5)
    found = set_along(layout, mm(360), Edge.LEFT, Resolution.MM_1, Origin.LEFT)
    assert [(p.start_index, p.start, [mark.value for mark in p.marks]) for p in found.placements] == [
        (0, 0, [100, 280]),
        (2, 280, [180, 360]),
        (4, 640, [180]),
    ]
    assert found.closing == 360


def test_a_pole_is_moved_along_from_the_right_post_too():
    # A picket against the left post: 5 of 80 in 900 leave 500 over 5 gaps. From the right the right edges stand at 100, 280, …, 820.
    layout = layout_for_count(Bay(mm(900), mm(80), LIMIT, PICKET, GAP), 5)
    found = set_along(layout, mm(360), Edge.RIGHT, Resolution.MM_1, Origin.RIGHT)
    assert [(p.start_index, p.start, [mark.value for mark in p.marks]) for p in found.placements] == [
        (0, 0, [100, 280]),
        (2, 280, [180, 360]),
        (4, 640, [180]),
    ]
    assert found.closing == 260


def test_a_pole_that_does_not_reach_is_refused_with_the_length_that_does():
    layout = layout_for_count(Bay(mm(1000), mm(80), LIMIT), 5)
    with pytest.raises(ImpossibleError, match=r"does not reach mark 2\. It must be at least 180 mm"):
        set_along(layout, mm(179), Edge.LEFT, Resolution.MM_1, Origin.LEFT)
    with pytest.raises(ImpossibleError, match="pole cannot be 0 mm"):
        set_along(layout, mm(0), Edge.LEFT, Resolution.MM_1, Origin.LEFT)
    with pytest.raises(ImpossibleError, match="tolerance cannot be -1 mm"):
        fewest_poles([layout], mm(-1), Origin.LEFT)


@given(lengths(0, 600), lengths(1, 2000), st.integers(2, 5))
def test_rails_on_a_rod_are_evenly_apart_from_the_bottom_one_to_the_top_one(bottom, more, rails):
    heights = rod(bottom, bottom + more, rails)
    assert (heights[0], heights[-1], len(heights)) == (bottom, bottom + more, rails)
    assert {after - before for before, after in pairwise(heights)} == {more / (rails - 1)}


def test_a_rod_upside_down_is_refused():
    with pytest.raises(ImpossibleError, match="top rail at 200 mm is not above a bottom at 200 mm"):
        rod(mm(200), mm(200), 2)
    with pytest.raises(ImpossibleError, match="height of the bottom rail cannot be -1 mm"):
        rod(mm(-1), mm(200), 2)
