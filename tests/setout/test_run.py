"""A matched run is the best there is with the bays that stand, within the pickets that likeness may cost."""

from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import bays, lengths, runs

from assistant.setout.ends import set_gap
from assistant.setout.lengths import inches, mm
from assistant.setout.limits import GapLimit
from assistant.setout.run import Likeness, match_run
from assistant.setout.spacing import Bay, layout_for_count, solve
from assistant.setout.tolerances import GAPS_LOOK_ALIKE, LEAST_GAP_SHARE
from assistant.setout.trouble import ImpossibleError, Problem

LIMIT = GapLimit(mm(100), strict=False)
standing_gaps = st.lists(lengths(30, 130), max_size=3)


def fewest(run):
    return tuple(solve(bay).count for bay in run)


def choices(bay):
    """Every layout the run may use for the bay."""
    allowed = [layout_for_count(bay, count) for count in range(solve(bay).count, bay.most + 1)]
    return [layout for layout in allowed if layout.gap >= bay.limit.value * LEAST_GAP_SHARE] or allowed[:1]


def best_match_by_trying_all(free, given_gaps, likeness):
    """The fewest pickets whose spread is least or looks alike, within what the likeness may spend; and that spread."""
    least = sum(fewest(free))
    spend = {Likeness.FEWEST: 0, Likeness.A_TENTH: least // 10, Likeness.MOST_ALIKE: None}[likeness]
    found = []
    for made in product(*(choices(bay) for bay in free)):
        gaps = [layout.gap for layout in made] + given_gaps
        pickets = sum(layout.count for layout in made)
        if spend is None or pickets <= least + spend:
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
    assert tried[0].counts == fewest(free)
    assert tried[1].extra <= sum(fewest(free)) // 10


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
    assert (sum(fewest(ten)), sum(fewest(nine))) == (10, 9)
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


@given(bays())
def test_equal_bays_need_no_matching(bay):
    try:
        alone = solve(bay)
    except ImpossibleError:
        return
    assert match_run([bay, bay, bay], [], Likeness.MOST_ALIKE).counts == (alone.count,) * 3


def test_no_picket_is_spent_on_what_the_eye_cannot_see():
    # Openings 83 and 84 in from awomanshome 2013 as two bays; 15 pickets, 1/16 in apart, is arithmetic.
    run = [Bay(inches(opening), inches("1.5"), GapLimit(inches(4), strict=False)) for opening in (83, 84)]
    matched = match_run(run, [], Likeness.MOST_ALIKE)
    assert matched.counts == (15, 15)
    assert matched.largest - matched.smallest == inches("0.0625")


@pytest.mark.parametrize(("strict", "count"), [(False, 5), (True, 6)])
def test_a_matched_gap_may_equal_an_inclusive_limit(strict, count):
    free = [Bay(mm(1000), mm(80), GapLimit(mm(100), strict))] * 2
    for likeness in Likeness:
        assert match_run(free, [], likeness).counts == (count, count)


@pytest.mark.parametrize("likeness", list(Likeness))
@pytest.mark.parametrize(
    ("bay", "problem"),
    [
        (Bay(mm(100), mm(60), GapLimit(mm(10), strict=False)), Problem.NO_COUNT_MEETS_LIMIT),
        (Bay(mm(2000), mm(70), LIMIT, set_gap(mm(101))), Problem.END_GAP_OVER_LIMIT),
    ],
)
def test_a_bay_that_no_count_suits_is_refused(bay, problem, likeness):
    with pytest.raises(ImpossibleError) as raised:
        match_run([Bay(mm(1000), mm(80), LIMIT), bay], [mm(75)], likeness)
    assert raised.value.problem is problem


def test_a_run_of_standing_bays_alone_costs_nothing_and_a_run_of_nothing_is_refused():
    matched = match_run([], [mm(80), mm(75), mm(90)], Likeness.A_TENTH)
    assert (matched.counts, matched.extra) == ((), 0)
    assert (matched.smallest, matched.largest, matched.before_smallest, matched.before_largest) == (75, 90, 75, 90)
    with pytest.raises(ImpossibleError) as raised:
        match_run([], [], Likeness.A_TENTH)
    assert raised.value.problem is Problem.NOTHING_GIVEN
