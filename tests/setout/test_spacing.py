"""One bay: the fewest pickets that obey the limit, against a search that tries every count."""

from fractions import Fraction

import pytest
from hypothesis import given
from strategies import bays

from assistant.setout.ends import GAP, HALF_GAP, PICKET, set_gap
from assistant.setout.lengths import Unit, inches, mm, write
from assistant.setout.limits import GapLimit
from assistant.setout.spacing import Bay, layout_for_count, solve
from assistant.setout.trouble import ImpossibleError, Problem

LIMIT = GapLimit(mm(100), strict=False)
STRICT = GapLimit(mm(100), strict=True)


def spaces_by_hand(bay, count):
    """Every space, from the definition of the ends alone; None where the count does not fit."""
    shares = {GAP: Fraction(1), HALF_GAP: Fraction(1, 2)}
    parts = [shares.get(bay.left, Fraction(0)), *[Fraction(1)] * (count - 1), shares.get(bay.right, Fraction(0))]
    room = bay.opening - count * bay.picket - bay.left.fixed - bay.right.fixed
    if room <= 0 or 1 not in parts:
        return None
    gap = room / sum(parts)
    spaces = [part * gap for part in parts]
    spaces[0] += bay.left.fixed
    spaces[-1] += bay.right.fixed
    return spaces


def fewest_by_search(bay):
    for count in range(1, 500):
        spaces = spaces_by_hand(bay, count)
        if spaces and bay.limit.allows(max(spaces)):
            return count
    return None


@given(bays())
def test_solve_agrees_with_trying_every_count(bay):
    expected = fewest_by_search(bay)
    if expected is None:
        with pytest.raises(ImpossibleError):
            solve(bay)
    else:
        layout = solve(bay)
        assert layout.count == expected
        assert list(layout.spaces()) == spaces_by_hand(bay, expected)


@given(bays())
def test_every_layout_fills_the_opening_exactly(bay):
    for count in {bay.least, (bay.least + bay.most) // 2, bay.most}:
        layout = layout_for_count(bay, count)
        assert layout.check()
        assert layout.gap > 0
        assert sum(layout.spaces()) + count * bay.picket == bay.opening


@given(bays())
def test_one_more_than_the_most_does_not_fit(bay):
    assert spaces_by_hand(bay, bay.most + 1) is None
    with pytest.raises(ImpossibleError) as raised:
        layout_for_count(bay, bay.most + 1)
    assert raised.value.problem is Problem.TOO_MANY_PICKETS


@given(bays())
def test_neighbours_are_one_fewer_and_one_more(bay):
    layout = layout_for_count(bay, (bay.least + bay.most) // 2)
    fewer, more = layout.neighbours.fewer, layout.neighbours.more
    assert (fewer is None) == (layout.count == bay.least)
    assert (more is None) == (layout.count == bay.most)
    if fewer:
        assert fewer.count == layout.count - 1
        assert fewer.gap > layout.gap
    if more:
        assert more.count == layout.count + 1
        assert more.gap < layout.gap


@given(bays())
def test_the_fewer_neighbour_of_the_answer_is_never_allowed(bay):
    try:
        layout = solve(bay)
    except ImpossibleError:
        return
    assert layout.allowed
    if layout.neighbours.fewer:
        assert not layout.neighbours.fewer.allowed


def test_strict_and_inclusive_part_at_an_exact_fit():
    # 5 pickets of 80 and 6 gaps of 100 fill 1000 exactly.
    assert solve(Bay(mm(1000), mm(80), LIMIT)).count == 5
    assert solve(Bay(mm(1000), mm(80), LIMIT)).gap == 100
    assert solve(Bay(mm(1000), mm(80), STRICT)).count == 6


@pytest.mark.parametrize(
    ("left", "right", "spaces"),
    [
        (GAP, GAP, (100, 100, 100)),
        (PICKET, GAP, (0, 150, 150)),
        (GAP, PICKET, (150, 150, 0)),
        (PICKET, PICKET, (0, 300, 0)),
        (HALF_GAP, HALF_GAP, (75, 150, 75)),
        (HALF_GAP, GAP, (60, 120, 120)),
        (set_gap(mm(30)), GAP, (30, 135, 135)),
        (set_gap(mm(30)), set_gap(mm(40)), (30, 230, 40)),
        (set_gap(mm(30)), HALF_GAP, (30, 180, 90)),
    ],
)
def test_each_end_takes_its_own_share(left, right, spaces):
    layout = layout_for_count(Bay(mm(400), mm(50), LIMIT, left, right), 2)
    assert layout.spaces() == tuple(mm(space) for space in spaces)
    assert (layout.left_space, layout.right_space) == (spaces[0], spaces[-1])


@pytest.mark.parametrize(
    ("left", "right", "gaps"),
    [(GAP, GAP, 4), (PICKET, GAP, 3), (PICKET, PICKET, 2), (HALF_GAP, HALF_GAP, 2), (set_gap(mm(9)), GAP, 3)],
)
def test_only_whole_gaps_are_counted(left, right, gaps):
    assert layout_for_count(Bay(mm(1000), mm(50), LIMIT, left, right), 3).gap_count == gaps


def test_half_gaps_need_a_whole_one_between_them():
    bay = Bay(mm(230), mm(50), LIMIT, HALF_GAP, HALF_GAP)
    assert bay.least == 2
    assert solve(bay).spaces() == (Fraction(65, 2), 65, Fraction(65, 2))


def test_at_least_one_picket_even_where_the_opening_is_within_the_limit():
    assert solve(Bay(mm(90), mm(20), LIMIT)).count == 1


@pytest.mark.parametrize(
    ("opening", "picket", "limit", "problem", "says"),
    [
        (0, 70, 100, Problem.NOT_POSITIVE, "opening cannot be 0 mm"),
        (-5, 70, 100, Problem.NOT_POSITIVE, "opening cannot be -5 mm"),
        (2000, 0, 100, Problem.NOT_POSITIVE, "picket width cannot be 0 mm"),
        (2000, 70, 0, Problem.NOT_POSITIVE, "largest gap cannot be 0 mm"),
        (60, 70, 100, Problem.PICKET_TOO_WIDE, "must be more than 70 mm"),
        (70, 70, 100, Problem.PICKET_TOO_WIDE, "must be more than 70 mm"),
    ],
)
def test_an_impossible_bay_says_why(opening, picket, limit, problem, says):
    with pytest.raises(ImpossibleError, match=says) as raised:
        Bay(mm(opening), mm(picket), GapLimit(mm(limit), strict=False))
    assert raised.value.problem is problem


def test_two_pickets_against_both_posts_have_to_fit():
    with pytest.raises(ImpossibleError, match=r"140 mm is too narrow for pickets of 70 mm.*more than 140 mm"):
        Bay(mm(140), mm(70), LIMIT, PICKET, PICKET)
    assert solve(Bay(mm(141), mm(70), LIMIT, PICKET, PICKET)).gap == 1


def test_a_negative_end_gap_is_refused():
    with pytest.raises(ImpossibleError, match="end gap cannot be -3 mm") as raised:
        Bay(mm(2000), mm(70), LIMIT, set_gap(mm(-3)))
    assert raised.value.problem is Problem.NEGATIVE


def test_no_count_meets_the_limit_and_the_nearest_is_named():
    with pytest.raises(ImpossibleError, match=r"2 of 60 mm: they do not fit in 100 mm.*nearest is 1, .*20 mm") as raised:
        solve(Bay(mm(100), mm(60), GapLimit(mm(10), strict=False)))
    assert raised.value.problem is Problem.NO_COUNT_MEETS_LIMIT


@pytest.mark.parametrize(("end", "strict", "fine"), [(100, False, True), (100, True, False), (101, False, False)])
def test_a_set_end_gap_has_to_obey_the_limit_too(end, strict, fine):
    bay = Bay(mm(2000), mm(70), GapLimit(mm(100), strict), GAP, set_gap(mm(end)))
    if fine:
        assert solve(bay).allowed
    else:
        with pytest.raises(ImpossibleError) as raised:
            solve(bay)
        assert raised.value.problem is Problem.END_GAP_OVER_LIMIT
        assert not layout_for_count(bay, 15).allowed


def test_too_few_pickets_for_the_ends():
    with pytest.raises(ImpossibleError, match=r"1 is too few .* fewest is 2"):
        layout_for_count(Bay(mm(2000), mm(70), LIMIT, PICKET, PICKET), 1)


def test_the_sentence_can_be_said_in_inches():
    with pytest.raises(ImpossibleError) as raised:
        Bay(inches(2), inches("3.5"), LIMIT)
    assert "3 1/2 in" in raised.value.said(lambda length: write(length, Unit.INCH))
