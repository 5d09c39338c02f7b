"""Bays out of plumb: the limit holds at every rail, and every rail is filled exactly."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import tapered_bays

from assistant.setout.ends import GAP, HALF_GAP, PICKET, set_gap
from assistant.setout.lengths import MM_PER_INCH, inches, mm
from assistant.setout.limits import GapLimit
from assistant.setout.spacing import fewest
from assistant.setout.taper import Lean, RailOpening, TaperedBay, interpolate, plumb, share, share_count
from assistant.setout.trouble import ImpossibleError, Problem

LIMIT = GapLimit(mm(100), strict=False)


def tapered(*openings, picket=70, limit=LIMIT, left=GAP, right=GAP):
    rails = tuple(RailOpening(mm(150 + 500 * k), mm(opening)) for k, opening in enumerate(openings))
    return TaperedBay(rails, mm(picket), limit, left, right)


def test_openings_between_two_rails_lie_on_the_straight_post():
    rails = interpolate(RailOpening(mm(200), mm(2400)), RailOpening(mm(1400), mm(2412)), [mm(200), mm(800), mm(1400)])
    assert [rail.opening for rail in rails] == [2400, 2406, 2412]
    with pytest.raises(ImpossibleError, match="not above"):
        interpolate(RailOpening(mm(200), mm(2400)), RailOpening(mm(200), mm(2412)), [])


@pytest.mark.parametrize(
    ("bottom", "top", "gaps"),
    # Openings from awomanshome 2013 (83 at the bottom, 82-1/2 at 36 in; 84 and 83-1/2); answers are arithmetic.
    [("83", "82.5", ("3.78125", "3.75")), ("84", "83.5", ("3.84375", "3.8125"))],
)
def test_published_out_of_plumb_openings(bottom, top, gaps):
    rails = (RailOpening(mm(0), inches(bottom)), RailOpening(inches(36), inches(top)))
    bay = TaperedBay(rails, inches("1.5"), GapLimit(inches(4), strict=False), GAP, GAP)
    shared = share(bay)
    assert shared.count == 15
    assert [layout.gap / MM_PER_INCH for layout in shared.layouts] == [Fraction(gap) for gap in gaps]
    assert bay.difference == inches("0.5")
    assert bay.out_of_plumb()


@pytest.mark.parametrize(("top", "flagged"), [(2403, False), (2397, False), (2404, True), (2396, True)])
def test_a_difference_has_to_exceed_the_tolerance_to_be_flagged(top, flagged):
    assert tapered(2400, top).out_of_plumb(mm(3)) is flagged


@given(tapered_bays(), st.sampled_from(Lean))
def test_shared_obeys_at_every_rail_with_the_fewest_that_can(bay, lean):
    try:
        shared = share(bay, lean)
    except ImpossibleError:
        return
    assert shared.allowed
    assert all(layout.check() and layout.count == shared.count for layout in shared.layouts)
    assert shared.count == max(fewest(bay.bay(rail)) for rail in bay.rails)


@given(tapered_bays(), st.sampled_from(Lean))
def test_leans_are_where_the_rails_put_each_picket(bay, lean):
    count = bay.bay(bay.narrowest).least
    shared = share_count(bay, count, lean)
    bottom, top = shared.layouts[0], shared.layouts[-1]
    difference = top.bay.opening - bottom.bay.opening
    left_post = {Lean.LEFT: -difference, Lean.RIGHT: Fraction(0), Lean.BOTH: -difference / 2}[lean]
    for index, moved in enumerate(shared.leans):
        bottom_place = bottom.left_space + index * bottom.pitch
        assert moved == left_post + top.left_space + index * top.pitch - bottom_place


def test_the_picket_by_the_leaning_post_leans_most():
    shared = share(tapered(2400, 2430), Lean.RIGHT)
    assert 0 < shared.leans[0] < shared.leans[-1] < 30
    mirrored = share(tapered(2400, 2430), Lean.LEFT)
    assert mirrored.leans == tuple(-moved for moved in reversed(shared.leans))


@given(tapered_bays(), st.sampled_from([*Lean, None]))
def test_plumb_obeys_everywhere_and_fills_every_rail(bay, lean):
    try:
        found = plumb(bay, lean)
    except ImpossibleError:
        return
    assert found.allowed
    assert found.check()
    assert all(min(rail.left_space, rail.right_space) >= 0 for rail in found.rails)
    assert [rail.rail for rail in found.rails] == list(bay.rails)


@given(tapered_bays(), st.sampled_from(Lean))
def test_one_plumb_picket_fewer_would_break_the_limit_on_the_same_rail(bay, lean):
    try:
        found = plumb(bay, lean)
    except ImpossibleError:
        return
    fewer = found.reference.neighbours.fewer
    if fewer is None:
        return
    growth = bay.widest.opening - found.reference_rail.opening
    taken = {Lean.LEFT: Fraction(1), Lean.RIGHT: Fraction(0), Lean.BOTH: Fraction(1, 2)}[lean]
    spaces = [fewer.gap, fewer.left_space + taken * growth, fewer.right_space + (1 - taken) * growth]
    assert not bay.limit.allows(max(spaces))


def test_only_the_space_by_the_leaning_post_changes():
    found = plumb(tapered(2400, 2388, 2380), Lean.RIGHT)
    gap = found.reference.gap
    assert found.reference_rail.opening == 2400
    assert [(rail.left_space, rail.right_space) for rail in found.rails] == [(gap, gap - d) for d in (0, 12, 20)]
    found = plumb(tapered(2400, 2380), Lean.BOTH)
    assert (found.rails[1].left_space, found.rails[1].right_space) == (gap - 10, gap - 10)


def test_a_picket_against_the_leaning_post_is_set_out_where_the_bay_is_narrowest():
    found = plumb(tapered(2400, 2380, right=PICKET), Lean.RIGHT)
    assert found.reference_rail.opening == 2380
    assert [rail.right_space for rail in found.rails] == [20, 0]
    assert plumb(tapered(2400, 2380, right=PICKET), Lean.LEFT).reference_rail.opening == 2400


def test_an_unknown_lean_has_to_hold_whichever_post_it_is():
    bay = tapered(2400, 2380, right=PICKET)
    assert plumb(bay, None).reference_rail.opening == 2380
    # Set out on the narrow rail the gap is 90 of a limit of 100; the other post could add 20 to it.
    assert plumb(bay, None).count > plumb(bay, Lean.RIGHT).count


def test_too_much_lean_for_plumb_pickets_is_refused():
    with pytest.raises(ImpossibleError, match="differ by 120 mm"):
        plumb(tapered(2400, 2280, right=PICKET), Lean.RIGHT)


@given(tapered_bays(), st.sampled_from([*Lean, None]))
def test_the_count_of_a_plumb_bay_asked_for_gives_the_same_bay(bay, lean):
    try:
        found = plumb(bay, lean)
    except ImpossibleError:
        return
    assert plumb(bay, lean, found.count) == found


def plumb_spaces(bay, rail, lean, count):
    """Every end space of so many pickets plumbed from a rail, whichever post may lean; the gap comes with them."""
    opening = rail.opening
    ends = bay.left.coefficient + bay.right.coefficient
    gap = (opening - bay.left.fixed - bay.right.fixed - count * bay.picket) / (count - 1 + ends)
    shares = {Lean.LEFT: [1], Lean.RIGHT: [0], Lean.BOTH: [Fraction(1, 2)], None: [0, 1]}[lean]
    return gap, [
        space
        for share_of_left in shares
        for other in bay.rails
        for space in (
            bay.left.space(gap) + share_of_left * (other.opening - opening),
            bay.right.space(gap) + (1 - share_of_left) * (other.opening - opening),
        )
    ]


@given(tapered_bays(), st.sampled_from([*Lean, None]), st.data())
def test_any_count_that_fits_is_laid_out_plumb_and_says_whether_the_limit_allows_it(bay, lean, data):
    most = bay.bay(bay.narrowest).most
    count = data.draw(st.integers(bay.bay(bay.narrowest).least, bay.bay(bay.widest).most))
    if count > most and min(plumb_spaces(bay, bay.widest, lean, count)[1]) < 0:
        with pytest.raises(ImpossibleError, match="leave no gap"):
            plumb(bay, lean, count)
        return
    found = plumb(bay, lean, count)
    assert found.count == count
    assert found.check()
    rails = (bay.widest, bay.narrowest) if count <= most else (bay.widest,)
    tried = {rail: plumb_spaces(bay, rail, lean, count) for rail in rails}
    stands = [rail for rail, (_, spaces) in tried.items() if min(spaces) >= 0]
    allowed = [rail for rail in stands if bay.limit.allows(max(*tried[rail][1], tried[rail][0]))]
    # The widest is tried first, and only the limit can turn the choice.
    assert found.reference_rail == (allowed or stands)[0]
    assert found.allowed is bool(allowed)
    assert found.reference.gap == tried[found.reference_rail][0]
    assert found.largest_end == max(tried[found.reference_rail][1])


def test_one_picket_fewer_than_the_limit_wants_stays_plumb():
    # 14 pickets of 70 in 2400: 1420 / 15 a gap; 13: 1490 / 14, over 100. The right post leans 20 in at the top.
    bay = tapered(2400, 2380)
    assert plumb(bay, Lean.RIGHT).count == 14
    found = plumb(bay, Lean.RIGHT, 13)
    gap = Fraction(1490, 14)
    assert (found.reference.gap, found.allowed) == (gap, False)
    assert [(rail.left_space, rail.right_space) for rail in found.rails] == [(gap, gap), (gap, gap - 20)]


def test_a_count_is_plumbed_from_the_narrow_rail_where_only_that_keeps_the_limit():
    # Half gaps at the ends: from 1710 ten pickets leave gaps of 101; from 1700 gaps of 100, and 60 by the right post.
    bay = tapered(1710, 1700, left=HALF_GAP, right=HALF_GAP)
    found = plumb(bay, Lean.RIGHT, 10)
    assert (found.reference_rail.opening, found.reference.gap, found.allowed) == (1700, 100, True)
    assert [(rail.left_space, rail.right_space) for rail in found.rails] == [(50, 60), (50, 50)]


def test_a_set_gap_may_shrink_to_keep_a_count_that_would_fill_the_narrow_rail():
    # 13 pickets of 70 and 50 at each post leave 2 for 12 gaps in 1012; in 1000, 38 are left at the leaning post. The limit
    # of 40 does not allow the 50, and from 1000 with its 50 kept there is no gap at all.
    forty = GapLimit(mm(40), strict=False)
    bay = tapered(1012, 1000, limit=forty, left=set_gap(mm(50)), right=set_gap(mm(50)))
    found = plumb(bay, Lean.RIGHT, 13)
    assert (found.reference.gap, found.rails[1].right_space, found.allowed) == (Fraction(1, 6), 38, False)


def test_a_count_that_holds_only_if_both_posts_lean_is_not_allowed_while_the_lean_is_unknown():
    # From 1700 the gap is 100 and the half gaps are 50; a lean of 60 is 80 shared by both and 110 at one.
    bay = tapered(1760, 1700, left=HALF_GAP, right=HALF_GAP)
    assert plumb(bay, Lean.BOTH, 10).allowed
    assert not plumb(bay, None, 10).allowed


@pytest.mark.parametrize(("count", "problem"), [(0, Problem.TOO_FEW_PICKETS), (34, Problem.TOO_MANY_PICKETS)])
def test_a_count_that_cannot_exist_is_refused(count, problem):
    # 34 pickets of 70 are 2380: the wide rail holds them, the narrow one has no gap left.
    with pytest.raises(ImpossibleError) as raised:
        plumb(tapered(2400, 2380), Lean.RIGHT, count)
    assert raised.value.problem is problem


def test_strict_and_inclusive_part_at_every_rail():
    # 5 pickets of 80 with gaps of exactly 100 on the wide rail.
    inclusive = tapered(1000, 990, picket=80)
    strict = tapered(1000, 990, picket=80, limit=GapLimit(mm(100), strict=True))
    assert (share(inclusive).count, share(strict).count) == (5, 6)
    assert (plumb(inclusive, Lean.RIGHT).count, plumb(strict, Lean.RIGHT).count) == (5, 6)
    # A picket against the leaning post leaves exactly 100 at the wide rail: allowed only where inclusive.
    assert plumb(tapered(1100, 1000, right=PICKET), Lean.RIGHT).allowed
    with pytest.raises(ImpossibleError):
        plumb(tapered(1100, 1000, right=PICKET, limit=GapLimit(mm(100), strict=True)), Lean.RIGHT)


def test_rails_come_two_or_more_from_the_lowest_up():
    with pytest.raises(ImpossibleError, match="at least two"):
        tapered(2400)
    with pytest.raises(ImpossibleError, match="lowest to the highest"):
        TaperedBay((RailOpening(mm(500), mm(2400)), RailOpening(mm(500), mm(2400))), mm(70), LIMIT, GAP, GAP)
