"""A matched run has the least spread there is, and of the runs that do, the fewest pickets."""

from fractions import Fraction
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import LinearConstraint, milp
from strategies import bays, lengths, runs

from assistant.setout.ends import GAP, HALF_GAP, PICKET, set_gap
from assistant.setout.lengths import inches, mm
from assistant.setout.limits import GapLimit
from assistant.setout.run import Likeness, match, match_for_the_eye, match_run, plain
from assistant.setout.spacing import Bay, layout_for_count, solve
from assistant.setout.tolerances import GAPS_LOOK_ALIKE, LEAST_GAP_SHARE
from assistant.setout.trouble import ImpossibleError, Problem

LIMIT = GapLimit(mm(100), strict=False)


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


@given(runs(most_bays=4, most_pickets=6), st.sampled_from((0, 30)), st.sampled_from((0, 3)))
@settings(max_examples=300)
def test_matched_is_the_best_of_all_combinations(run, least_gap, alike):
    matched = match(run, mm(least_gap), mm(alike))
    assert (matched.pickets, matched.spread) == best_by_trying_all(run, mm(least_gap), mm(alike))


@given(runs(most_bays=4, most_pickets=6))
def test_matching_for_the_eye_is_the_best_within_the_house_tolerances(run):
    matched = match_for_the_eye(run)
    assert (matched.pickets, matched.spread) == best_by_trying_all(run, None, GAPS_LOOK_ALIKE)


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
    matched = match(run, least_gap)
    spread, pickets = best_by_integer_program(run, least_gap)
    assert float(matched.spread) == pytest.approx(spread, abs=1e-6)
    assert matched.pickets == round(pickets)


@given(runs(most_bays=8, most_pickets=25))
def test_a_run_obeys_every_limit_and_names_its_extremes(run):
    for found in (plain(run), match(run), match_for_the_eye(run)):
        layouts = [found.layout(index) for index in range(len(run))]
        gaps = [layout.gap for layout in layouts]
        assert all(layout.allowed and layout.check() for layout in layouts)
        assert (gaps[found.narrowest], gaps[found.widest]) == (min(gaps), max(gaps))
        assert (found.smallest, found.largest, found.spread) == (min(gaps), max(gaps), max(gaps) - min(gaps))
        assert found.pickets == sum(layout.count for layout in layouts)


@given(runs(most_bays=8, most_pickets=25))
def test_plain_is_each_bay_on_its_own(run):
    assert plain(run).counts == tuple(solve(bay).count for bay in run)


@given(runs(most_bays=8, most_pickets=25))
def test_matching_never_widens_the_spread_nor_saves_a_picket(run):
    assert match(run).spread <= plain(run).spread
    assert match(run).pickets >= plain(run).pickets


@given(bays())
def test_equal_bays_need_no_matching(bay):
    try:
        alone = solve(bay)
    except ImpossibleError:
        return
    assert match([bay, bay, bay]).counts == (alone.count,) * 3


def test_one_picket_more_takes_the_odd_gap_away():
    # With the fewest pickets one gap is 100 and the others about 76 and 80; one more picket mends it.
    run = [Bay(mm(opening), mm(80), LIMIT) for opening in (1000, 1010, 880)]
    assert [plain(run).layout(index).gap for index in range(3)] == [100, Fraction(530, 7), 80]
    matched = match(run, least_gap=mm(70))
    assert matched.counts == (6, 6, 5)
    assert matched.spread == 80 - Fraction(520, 7)


def test_the_eye_spends_no_picket_on_what_it_cannot_see():
    # Openings 83 and 84 in from awomanshome 2013 as two bays; 15 pickets, 1/16 in apart, is arithmetic.
    run = [Bay(inches(opening), inches("1.5"), GapLimit(inches(4), strict=False)) for opening in (83, 84)]
    assert match_for_the_eye(run).counts == plain(run).counts == (15, 15)
    assert match_for_the_eye(run).spread == inches("0.0625")
    closest = match(run)
    assert closest.spread < inches("0.0625")
    assert closest.pickets > 2 * 30


def test_a_least_gap_is_kept_unless_the_limit_forbids():
    run = [Bay(mm(opening), mm(70), LIMIT) for opening in (2160, 1815, 2045)]
    assert match(run).smallest < 50 <= match(run, least_gap=mm(50)).smallest
    # One picket leaves the second bay 105 each side, over its limit; two leave less than wanted.
    narrow = [Bay(mm(2160), mm(70), LIMIT), Bay(mm(280), mm(70), LIMIT)]
    assert match(narrow, least_gap=mm(50)).layout(1).gap == Fraction(140, 3)


def test_bays_may_differ_in_picket_ends_and_limit():
    run = [
        Bay(mm(2160), mm(70), LIMIT, HALF_GAP, HALF_GAP),
        Bay(mm(1800), mm(90), GapLimit(mm(90), strict=True), GAP, PICKET),
        Bay(mm(1955), mm(70), LIMIT, set_gap(mm(25)), GAP),
    ]
    matched = match(run)
    assert (matched.pickets, matched.spread) == best_by_trying_all(run, Fraction(0))


def test_an_empty_run_and_a_hopeless_bay_are_refused():
    for solver in (plain, match):
        with pytest.raises(ImpossibleError, match="no bay") as raised:
            solver([])
        assert raised.value.problem is Problem.NOTHING_GIVEN
        hopeless = Bay(mm(100), mm(60), GapLimit(mm(10), strict=False))
        with pytest.raises(ImpossibleError) as raised:
            solver([Bay(mm(1000), mm(80), LIMIT), hopeless])
        assert raised.value.problem is Problem.NO_COUNT_MEETS_LIMIT
        wide_end = Bay(mm(2000), mm(70), LIMIT, set_gap(mm(101)))
        with pytest.raises(ImpossibleError) as raised:
            solver([wide_end])
        assert raised.value.problem is Problem.END_GAP_OVER_LIMIT
    with pytest.raises(ImpossibleError, match="least gap cannot be -1 mm"):
        match([Bay(mm(1000), mm(80), LIMIT)], mm(-1))


@pytest.mark.parametrize(("strict", "counts"), [(False, (5, 5, 6)), (True, (5, 6, 6))])
def test_bays_side_by_side_part_where_a_gap_would_equal_the_limit(strict, counts):
    # 5 pickets of 80 leave gaps of exactly 100 in 1000.
    run = [Bay(mm(opening), mm(80), GapLimit(mm(100), strict)) for opening in (990, 1000, 1010)]
    assert plain(run).counts == counts
    assert all(match(run, mm(70)).layout(index).allowed for index in range(3))


@pytest.mark.parametrize(("strict", "counts"), [(False, (5, 5)), (True, (6, 6))])
def test_a_matched_gap_may_equal_an_inclusive_limit(strict, counts):
    assert match([Bay(mm(1000), mm(80), GapLimit(mm(100), strict))] * 2).counts == counts


standing_gaps = st.lists(lengths(30, 130), max_size=3)


def best_match_by_trying_all(free, given_gaps, likeness):
    """The fewest pickets whose spread is least or looks alike, within what the likeness may spend; and that spread."""
    fewest = sum(solve(bay).count for bay in free)
    spend = {Likeness.FEWEST: 0, Likeness.A_TENTH: fewest // 10, Likeness.MOST_ALIKE: None}[likeness]
    found = []
    for made in product(*(choices(bay, None) for bay in free)):
        gaps = [layout.gap for layout in made] + given_gaps
        pickets = sum(layout.count for layout in made)
        if spend is None or pickets <= fewest + spend:
            found.append((max(gaps) - min(gaps), pickets))
    enough = max(min(spread for spread, _ in found), GAPS_LOOK_ALIKE)
    return min((pickets, spread) for spread, pickets in found if spread <= enough)


@given(runs(most_bays=4, most_pickets=12), standing_gaps, st.sampled_from(Likeness))
@settings(max_examples=400)
def test_a_match_with_bays_that_stand_is_the_best_of_all_within_its_pickets(free, given_gaps, likeness):
    matched = match_run(free, given_gaps, likeness)
    pickets, spread = best_match_by_trying_all(free, given_gaps, likeness)
    assert (sum(matched.counts), matched.largest - matched.smallest) == (pickets, spread)


@given(runs(most_bays=8, most_pickets=25), standing_gaps, st.sampled_from(Likeness))
def test_a_match_tells_what_it_costs_and_what_it_gains(free, given_gaps, likeness):
    matched = match_run(free, given_gaps, likeness)
    alone = [solve(bay) for bay in free]
    made = [layout_for_count(bay, count) for bay, count in zip(free, matched.counts, strict=True)]
    assert all(layout.allowed for layout in made)
    assert matched.extra == sum(matched.counts) - sum(layout.count for layout in alone)
    after = [layout.gap for layout in made] + given_gaps
    before = [layout.gap for layout in alone] + given_gaps
    assert (matched.smallest, matched.largest) == (min(after), max(after))
    assert (matched.before_smallest, matched.before_largest) == (min(before), max(before))


@given(runs(most_bays=8, most_pickets=25), standing_gaps)
def test_the_more_may_be_spent_on_likeness_the_closer_the_gaps(free, given_gaps):
    tried = [match_run(free, given_gaps, likeness) for likeness in Likeness]
    spreads = [max(one.largest - one.smallest, GAPS_LOOK_ALIKE) for one in tried]
    assert spreads == sorted(spreads, reverse=True)
    assert tried[0].counts == plain(free).counts
    assert tried[1].extra <= sum(plain(free).counts) // 10


def test_a_bay_that_stands_draws_the_others_to_its_gap():
    # Pickets of 80 in 1000: 5 leave gaps of 100, 6 leave 520/7, which is within 2 of the 75 that stands.
    free = [Bay(mm(1000), mm(80), LIMIT)]
    assert match_run(free, [], Likeness.MOST_ALIKE).counts == (5,)
    drawn = match_run(free, [mm(75)], Likeness.MOST_ALIKE)
    assert (drawn.counts, drawn.extra) == ((6,), 1)
    assert (drawn.before_smallest, drawn.before_largest) == (75, 100)
    assert (drawn.smallest, drawn.largest) == (Fraction(520, 7), 75)


def test_one_picket_in_ten_rounded_down_is_the_most_a_run_spends_unless_told_otherwise():
    # A sixth picket of 80 in 1000 brings 100 down to 520/7. Beside 850 (5 pickets at 75) it is one in ten; beside 695 (4) one in nine.
    ten, nine = ([Bay(mm(opening), mm(80), LIMIT) for opening in (1000, other)] for other in (850, 695))
    assert (sum(plain(ten).counts), sum(plain(nine).counts)) == (10, 9)
    assert match_run(ten, [mm(75)], Likeness.A_TENTH).counts == (6, 5)
    assert match_run(nine, [mm(75)], Likeness.A_TENTH).counts == (5, 4)
    assert match_run(nine, [mm(75)], Likeness.MOST_ALIKE).counts == (6, 4)


def test_bays_that_are_alike_each_cost_a_picket():
    # Two bays of 1000 have 10 pickets and may spend one; to bring both to the 75 that stands takes two.
    free = [Bay(mm(1000), mm(80), LIMIT)] * 2
    assert match_run(free, [mm(75)], Likeness.A_TENTH).counts == (5, 5)
    assert match_run(free, [mm(75)], Likeness.MOST_ALIKE).counts == (6, 6)


def test_what_may_be_spent_goes_where_it_helps_most():
    # 930 has 5 at 530/6 or 6 at 450/7. With one picket to spend the 100 goes; the run most alike takes two.
    free = [Bay(mm(opening), mm(80), LIMIT) for opening in (1000, 930)]
    assert match_run(free, [mm(75)], Likeness.A_TENTH).counts == (6, 5)
    assert match_run(free, [mm(75)], Likeness.MOST_ALIKE).counts == (6, 6)


@pytest.mark.parametrize(("opening", "count"), [(862, 5), (863, 6)])
def test_gaps_two_millimetres_apart_look_alike_and_cost_no_picket(opening, count):
    # Beside 850 (5 of 80 at 75) 862 is 2 wider a gap, 863 is 13/6; six in each would be 12/7 and 13/7 apart.
    free = [Bay(mm(850), mm(80), LIMIT), Bay(mm(opening), mm(80), LIMIT)]
    assert match_run(free, [], Likeness.MOST_ALIKE).counts == (count, count)


def test_a_run_of_standing_bays_alone_costs_nothing_and_a_run_of_nothing_is_refused():
    matched = match_run([], [mm(80), mm(75), mm(90)], Likeness.A_TENTH)
    assert (matched.counts, matched.extra) == ((), 0)
    assert (matched.smallest, matched.largest, matched.before_smallest, matched.before_largest) == (75, 90, 75, 90)
    with pytest.raises(ImpossibleError) as raised:
        match_run([], [], Likeness.A_TENTH)
    assert raised.value.problem is Problem.NOTHING_GIVEN
