"""Cutting rails: every piece comes out once, nothing is cut from what is not there, and the bound is a bound."""

from collections import Counter
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import lengths

from assistant.setout.lengths import mm
from assistant.setout.stock import cut_stock
from assistant.setout.trouble import ImpossibleError

STOCK = mm(5400)


def fewest_by_search(sizes, room, left=()):
    """Try every placement of every piece."""
    if not sizes:
        return len(left)
    size, rest = sizes[0], sizes[1:]
    best = fewest_by_search(rest, room, (*left, room - size))
    for stick, free in enumerate(left):
        if free >= size:
            best = min(best, fewest_by_search(rest, room, (*left[:stick], free - size, *left[stick + 1 :])))
    return best


@given(st.lists(lengths(200, 5400), max_size=7), lengths(0, 6))
def test_no_placement_needs_fewer(pieces, kerf):
    plan = cut_stock(pieces, STOCK, kerf)
    best = fewest_by_search([piece + kerf for piece in pieces], STOCK + kerf)
    assert len(plan.sticks) == best
    assert plan.lower_bound <= best
    assert plan.proven


@given(st.lists(lengths(200, 5400), max_size=60), lengths(0, 6))
@settings(max_examples=50)
def test_every_piece_comes_out_of_stock_that_holds_it(pieces, kerf):
    plan = cut_stock(pieces, STOCK, kerf)
    assert Counter(piece for stick in plan.sticks for piece in stick) == Counter(pieces)
    for stick, offcut in zip(plan.sticks, plan.offcuts, strict=True):
        used = sum(stick) + (len(stick) - 1) * kerf
        assert used <= STOCK
        assert 0 <= offcut <= STOCK - sum(stick)
    assert plan.lower_bound <= len(plan.sticks)
    assert plan.lower_bound * (STOCK + kerf) >= sum(pieces) + len(pieces) * kerf


def test_a_kerf_can_cost_a_stick():
    assert len(cut_stock([mm(2700)] * 4, STOCK).sticks) == 2
    assert len(cut_stock([mm(2700)] * 4, STOCK, mm(3)).sticks) == 4
    # Two and one cut between them fill the stick exactly.
    assert len(cut_stock([mm("2698.5")] * 4, STOCK, mm(3)).sticks) == 2


def test_offcuts_are_what_is_left():
    plan = cut_stock([mm(3000), mm(2000), mm(5400)], STOCK, mm(4))
    assert plan.sticks == ((5400,), (3000, 2000))
    assert plan.offcuts == (0, 392)


def test_search_beats_best_fit_where_it_has_to():
    # Best fit makes 58 + 34 and 50 + 20 + 20, and needs a third for 12; 58 + 20 + 20 and 50 + 34 + 12 fill two.
    plan = cut_stock([mm(piece) for piece in (58, 50, 34, 20, 20, 12)], mm(100))
    assert len(plan.sticks) == plan.lower_bound == 2
    assert plan.proven


def test_search_fills_stock_to_the_last_millimetre():
    # 45 + 42 + 13, 43 + 31 + 26 and 39 + 33 + 28 leave nothing over; best fit does not find them.
    plan = cut_stock([mm(piece) for piece in (45, 43, 42, 39, 33, 31, 28, 26, 13)], mm(100))
    assert len(plan.sticks) == 3
    assert plan.offcuts == (0, 0, 0)


def test_more_pieces_than_are_searched_still_fit_exactly():
    plan = cut_stock([mm(60), mm(40)] * 30, mm(100))
    assert len(plan.sticks) == plan.lower_bound == 30


def test_long_pieces_raise_the_bound_above_the_total():
    # Three of 60 % of the stock make 1.8 in all, but no two share a stick.
    plan = cut_stock([mm(60)] * 3, mm(100))
    assert plan.lower_bound == len(plan.sticks) == 3


def test_a_large_order_is_planned_within_its_bound():
    pieces = [mm(900 + 37 * k % 1800) for k in range(2000)]
    plan = cut_stock(pieces, STOCK, mm(3))
    assert plan.lower_bound <= len(plan.sticks) <= plan.lower_bound * Fraction(11, 9) + 1


def test_impossible_orders_are_refused():
    with pytest.raises(ImpossibleError, match="5401 mm is longer than the stock of 5400 mm"):
        cut_stock([mm(5401)], STOCK)
    with pytest.raises(ImpossibleError, match="piece cannot be 0 mm"):
        cut_stock([mm(0)], STOCK)
    with pytest.raises(ImpossibleError, match="stock length cannot be 0 mm"):
        cut_stock([], mm(0))
    with pytest.raises(ImpossibleError, match="kerf cannot be -1 mm"):
        cut_stock([], STOCK, mm(-1))


def test_nothing_to_cut_takes_nothing():
    plan = cut_stock([], STOCK)
    assert (plan.sticks, plan.lower_bound, plan.proven) == ((), 0, True)
