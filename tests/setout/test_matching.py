"""The search finds the least spread there is, then the fewest pickets; its steps agree with their definitions."""

from fractions import Fraction
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import LinearConstraint, milp
from strategies import runs

from assistant.setout.ends import GAP, HALF_GAP, PICKET, set_gap
from assistant.setout.lengths import inches, mm
from assistant.setout.limits import GapLimit
from assistant.setout.matching import _Kind, fewest_counts, matched_counts
from assistant.setout.spacing import Bay, layout_for_count, solve
from assistant.setout.tolerances import LEAST_GAP_SHARE
from assistant.setout.trouble import ImpossibleError

LIMIT = GapLimit(mm(100), strict=False)


def gaps(run, found):
    return [layout_for_count(bay, count).gap for bay, count in zip(run, found.counts, strict=True)]


def spread(run, found):
    return max(gaps(run, found)) - min(gaps(run, found))


def choices(bay, least_gap):
    """Every layout the run may use for the bay."""
    floor = bay.limit.value * LEAST_GAP_SHARE if least_gap is None else least_gap
    allowed = [layout_for_count(bay, count) for count in range(solve(bay).count, bay.most + 1)]
    return [layout for layout in allowed if layout.gap >= floor] or allowed[:1]


def best_by_trying_all(run, least_gap, alike=Fraction(0)):
    """The fewest pickets whose spread is least or at most `alike`, and the least spread of those."""
    found = []
    for layouts in product(*(choices(bay, least_gap) for bay in run)):
        gaps = [layout.gap for layout in layouts]
        found.append((max(gaps) - min(gaps), sum(layout.count for layout in layouts)))
    enough = max(min(spread for spread, _ in found), alike)
    return min((pickets, spread) for spread, pickets in found if spread <= enough)


@given(runs(most_bays=4, most_pickets=6), st.sampled_from((None, 0, 30)), st.sampled_from((0, 3)))
@settings(max_examples=300)
def test_matched_is_the_best_of_all_combinations(run, least_gap, alike):
    least = None if least_gap is None else mm(least_gap)
    matched = matched_counts(run, least, mm(alike))
    assert (sum(matched.counts), spread(run, matched)) == best_by_trying_all(run, least, mm(alike))


def best_by_integer_program(run, least_gap):
    """Least spread, then fewest pickets at that spread, by HiGHS over one choice a bay."""
    options = [choices(bay, least_gap) for bay in run]
    size = sum(map(len, options)) + 2  # the last two are the largest and the smallest gap
    one, high, low, at = [], [], [], 0
    for layouts in options:
        pick, gap = np.zeros(size), np.zeros(size)
        pick[at : at + len(layouts)] = 1
        gap[at : at + len(layouts)] = [float(layout.gap) for layout in layouts]
        at += len(layouts)
        one.append(pick)
        high.append(np.eye(size)[-2] - gap)
        low.append(gap - np.eye(size)[-1])
    rules = [LinearConstraint(one, 1, 1), LinearConstraint(high, 0), LinearConstraint(low, 0)]
    whole = np.append(np.ones(size - 2), [0, 0])
    spread = np.append(np.zeros(size - 2), [1, -1])
    pickets = np.append([float(layout.count) for layouts in options for layout in layouts], [0, 0])
    settings_ = {"mip_rel_gap": 0.0}
    least = milp(spread, integrality=whole, constraints=rules, options=settings_).fun
    kept = [*rules, LinearConstraint(spread, ub=least + 1e-7)]
    return least, milp(pickets, integrality=whole, constraints=kept, options=settings_).fun


@pytest.mark.parametrize(
    ("openings", "least_gap"),
    [
        ([2160 + 37 * k % 311 for k in range(12)], mm(50)),
        ([1830, 2440, 2135, 1220, 2745, 1525, 2290, 1980], mm(0)),
        ([900 + 83 * k % 700 for k in range(15)], mm(40)),
        ([2400, 2362, 2400, 2395, 2410, 2400], mm(60)),
    ],
)
def test_matched_agrees_with_an_integer_program(openings, least_gap):
    run = [Bay(mm(opening), mm(70), LIMIT) for opening in openings]
    matched = matched_counts(run, least_gap, mm(0))
    least, pickets = best_by_integer_program(run, least_gap)
    assert float(spread(run, matched)) == pytest.approx(least, abs=1e-6)
    assert sum(matched.counts) == round(pickets)


@given(runs(most_bays=8, most_pickets=25))
def test_counts_obey_every_limit_and_name_their_extremes(run):
    for found in (fewest_counts(run), matched_counts(run, mm(0), mm(0)), matched_counts(run, None, mm(2))):
        made = gaps(run, found)
        assert all(layout_for_count(bay, count).allowed for bay, count in zip(run, found.counts, strict=True))
        assert (made[found.narrowest], made[found.widest]) == (min(made), max(made))


@given(runs(most_bays=8, most_pickets=25))
def test_the_fewest_are_those_of_each_bay_on_its_own(run):
    assert fewest_counts(run).counts == tuple(solve(bay).count for bay in run)


def test_one_picket_more_takes_the_odd_gap_away():
    # With the fewest pickets one gap is 100 and the others about 76 and 80; one more picket mends it.
    run = [Bay(mm(opening), mm(80), LIMIT) for opening in (1000, 1010, 880)]
    assert gaps(run, fewest_counts(run)) == [100, Fraction(530, 7), 80]
    matched = matched_counts(run, mm(70), mm(0))
    assert matched.counts == (6, 6, 5)
    assert spread(run, matched) == 80 - Fraction(520, 7)


def test_the_least_spread_of_all_is_a_nearly_solid_fence():
    # Openings 83 and 84 in from awomanshome 2013 as two bays; 15 pickets, 1/16 in apart, is arithmetic.
    run = [Bay(inches(opening), inches("1.5"), GapLimit(inches(4), strict=False)) for opening in (83, 84)]
    assert fewest_counts(run).counts == (15, 15)
    assert spread(run, fewest_counts(run)) == inches("0.0625")
    closest = matched_counts(run, mm(0), mm(0))
    assert spread(run, closest) < inches("0.0625")
    assert sum(closest.counts) > 2 * 30


def test_a_least_gap_is_kept_unless_the_limit_forbids():
    run = [Bay(mm(opening), mm(70), LIMIT) for opening in (2160, 1815, 2045)]
    free, kept = (matched_counts(run, mm(least), mm(0)) for least in (0, 50))
    assert min(gaps(run, free)) < 50 <= min(gaps(run, kept))
    # One picket leaves the second bay 105 each side, over its limit; two leave less than wanted.
    narrow = [Bay(mm(2160), mm(70), LIMIT), Bay(mm(280), mm(70), LIMIT)]
    assert gaps(narrow, matched_counts(narrow, mm(50), mm(0)))[1] == Fraction(140, 3)


def test_bays_may_differ_in_picket_ends_and_limit():
    run = [
        Bay(mm(2160), mm(70), LIMIT, HALF_GAP, HALF_GAP),
        Bay(mm(1800), mm(90), GapLimit(mm(90), strict=True), GAP, PICKET),
        Bay(mm(1955), mm(70), LIMIT, set_gap(mm(25)), GAP),
    ]
    matched = matched_counts(run, mm(0), mm(0))
    assert (sum(matched.counts), spread(run, matched)) == best_by_trying_all(run, mm(0))


@pytest.mark.parametrize(("strict", "counts"), [(False, (5, 5, 6)), (True, (5, 6, 6))])
def test_bays_side_by_side_part_where_a_gap_would_equal_the_limit(strict, counts):
    # 5 pickets of 80 leave gaps of exactly 100 in 1000.
    run = [Bay(mm(opening), mm(80), GapLimit(mm(100), strict)) for opening in (990, 1000, 1010)]
    assert fewest_counts(run).counts == counts


# The steps ----------------------------------------------------------------------------------------------------------


rooms = st.lists(st.integers(200, 3000), min_size=1, max_size=12, unique=True).map(sorted)
kinds = st.builds(
    _Kind,
    width=st.integers(20, 90),
    ends=st.integers(0, 2),
    least=st.integers(1, 2),
    limit=st.fractions(30, 120, max_denominator=7),
    strict=st.booleans(),
    floor=st.fractions(0, 30, max_denominator=5),
    rooms=rooms,
)


def fewest_under(kind, room, allowed):
    return next(count for count in range(kind.least, 500) if allowed(kind.gap(room, count)))


@given(kinds, st.fractions(5, 150, max_denominator=9))
def test_stretches_cover_every_room_with_its_fewest_count(kind, bound):
    found = [(start, stop, count) for start, stop, count in kind.runs(bound)]
    assert [place for start, stop, _ in found for place in range(start, stop)] == list(range(len(kind.rooms)))
    for start, stop, count in found:
        for room in kind.rooms[start:stop]:
            assert count == fewest_under(kind, room, lambda gap: gap <= bound and kind.allows(gap))


@given(kinds, st.fractions(5, 150, max_denominator=9))
def test_the_last_below_a_gap_is_the_last_room_whose_gap_is_below(kind, gap):
    for start, stop, count in kind.runs(gap):
        below = [place for place in range(start, stop) if kind.gap(kind.rooms[place], count) < gap]
        assert kind.last_below(gap, count, start, stop) == (below[-1] if below else start - 1)


@given(kinds)
def test_the_most_is_the_most_above_the_floor(kind):
    for room in kind.rooms:
        fewest = fewest_under(kind, room, kind.allows)
        above = [count for count in range(1, 200) if kind.gap(room, count) >= max(kind.floor, Fraction(1, 10**6))]
        assert kind.fewest(room) == fewest
        assert kind.most(room) == max(fewest, *above, 0)
        assert kind.fits(room) == (kind.gap(room, fewest) > 0)


@pytest.mark.parametrize(("opening", "fits"), [(120, False), (121, True)])
def test_pickets_that_would_touch_do_not_fit(opening, fits):
    # Two pickets of 60 leave nothing of 120.
    run = [Bay(mm(opening), mm(60), GapLimit(mm(10), strict=False))]
    for counts in (fewest_counts, lambda bays: matched_counts(bays, mm(0), mm(0))):
        if fits:
            assert counts(run).counts == (2,)
        else:
            with pytest.raises(ImpossibleError, match="2 of 60 mm: they do not fit"):
                counts(run)
