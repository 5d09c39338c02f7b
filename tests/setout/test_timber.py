"""What to buy: counts multiply out, waste is rounded up to whole pieces."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import lengths

from assistant.setout.lengths import inches, mm
from assistant.setout.limits import GapLimit
from assistant.setout.spacing import Bay, solve
from assistant.setout.timber import Build, list_timber, rail_lengths, with_waste
from assistant.setout.trouble import ImpossibleError

TENTH = Fraction(1, 10)


counts = st.lists(st.integers(0, 60), max_size=5)


@given(counts, counts, st.integers(0, 4), st.integers(0, 3), st.fractions(0, 1))
def test_counts_multiply_out(bays, gates, rails, fixings, waste):
    found = list_timber(bays, gates, Build(rails, fixings, waste))
    crossings = sum(1 for count in bays for _ in range(count) for _ in range(rails))
    assert found.pickets == sum((*bays, *gates))
    assert found.fixings == crossings * fixings
    assert found.posts == (len(bays) + len(gates) + 1 if bays or gates else 0)
    assert found.pickets_to_buy == with_waste(found.pickets, waste)
    assert found.fixings_to_buy == with_waste(found.fixings, waste)


@given(st.integers(0, 10_000), st.fractions(0, 2))
def test_waste_buys_enough_and_never_a_piece_too_many(count, waste):
    bought = with_waste(count, waste)
    assert bought - 1 < count * (1 + waste) <= bought


@pytest.mark.parametrize(("count", "bought"), [(0, 0), (1, 2), (10, 11), (11, 13), (20, 22)])
def test_a_tenth_of_waste(count, bought):
    assert with_waste(count, TENTH) == bought


def test_a_published_bay():
    # windhillcreate.com: 12 pickets to an 8 ft bay (clear 92.5 in is arithmetic); handyman.net.au: two screws a crossing.
    bay = Bay(inches("92.5"), inches("3.5"), GapLimit(inches(4), strict=False))
    found = list_timber([solve(bay).count] * 3, [], Build(rails=2, fixings=2, waste=TENTH))
    assert (found.pickets, found.pickets_to_buy) == (36, 40)
    assert found.posts == 4
    assert (found.fixings, found.fixings_to_buy) == (144, 159)


def test_a_bay_a_gate_and_a_bay_stand_between_four_posts():
    # Common practice, no source: every opening has a post at both ends, shared with the next.
    assert list_timber([13, 13], [12], Build(rails=2, fixings=2)).posts == 4


@pytest.mark.parametrize("wrong", [{"rails": -1}, {"fixings": -1}, {"waste": Fraction(-1, 10)}])
def test_nothing_is_below_zero(wrong):
    with pytest.raises(ImpossibleError, match="cannot be below zero"):
        Build(**{"rails": 2, "fixings": 2, **wrong})


BOTTOM, MIDDLE, TOP = Fraction(0), Fraction(1), Fraction(2)


@given(lengths(500, 6000), lengths(500, 6000), st.integers(2, 6))
def test_rails_lie_on_a_straight_line_from_the_lowest_to_the_highest(bottom, top, rails):
    found = rail_lengths({TOP: top, BOTTOM: bottom}, rails)
    assert (found[0], found[-1], len(found)) == (bottom, top, rails)
    # The answer is numpy's: linear interpolation between the two measured openings.
    by_numpy = np.interp(np.linspace(0, 2, rails), [0, 2], [float(bottom), float(top)])
    assert [float(length) for length in found] == pytest.approx(list(by_numpy))


def test_a_rail_goes_by_what_was_measured_where_it_lies():
    # By hand: posts that bulge in the middle.
    measured = {BOTTOM: mm(2400), MIDDLE: mm(2390), TOP: mm(2404)}
    assert rail_lengths(measured, 3) == (2400, 2390, 2404)
    assert rail_lengths(measured, 2) == (2400, 2404)
    assert rail_lengths(measured, 5) == (2400, 2395, 2390, 2397, 2404)
    assert rail_lengths(measured, 1) == (2404,)
    assert rail_lengths({BOTTOM: mm(2160)}, 2) == (2160, 2160)
