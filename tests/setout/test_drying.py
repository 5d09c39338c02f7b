"""Timber movement against published figures, and what it does to the gaps."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import layouts, lengths

from assistant.setout.drying import COEFFICIENTS, Side, gaps_after, movement, shrinkage, size_at
from assistant.setout.ends import PICKET
from assistant.setout.lengths import inches, mm
from assistant.setout.limits import GapLimit
from assistant.setout.spacing import Bay, layout_for_count
from assistant.setout.trouble import ImpossibleError

moistures = st.integers(80, 190).map(lambda tenths: Fraction(tenths, 10))


def test_published_shrinkage():
    # FPL-RP-489: at 15 % moisture, 2.80 in width and 2.35 in thickness (2.806 and 2.347 by its formula).
    assert shrinkage(Side.WIDTH, Fraction(15)) == Fraction("2.806")
    assert shrinkage(Side.THICKNESS, Fraction(15)) == Fraction("2.347")


def test_published_movement():
    # WOOD magazine: red alder 8 in wide, six points: 8 x .0026 x 6 = .1248 in.
    assert movement(inches(8), Fraction("0.0026"), Fraction(8), Fraction(14)) == inches("0.1248")
    assert movement(inches(8), Fraction("0.0026"), Fraction(14), Fraction(8)) == -inches("0.1248")


def test_coefficients_are_named_with_their_source():
    # Red alder CT .00256 and CR .00151, Douglas-fir CT .00267, southern pine CT .00265, heart pine .00263.
    values = [Fraction(text) for text in ("0.00256", "0.00151", "0.00267", "0.00265", "0.00263")]
    assert [coefficient.value for coefficient in COEFFICIENTS] == values
    assert all(coefficient.name and coefficient.source for coefficient in COEFFICIENTS)


@pytest.mark.parametrize(("width", "dry"), [(90, "88.62"), (140, "137.85")])
def test_boards_from_nineteen_to_twelve_percent(width, dry):
    # FPL-RP-489 formula; the sizes are arithmetic from it.
    assert round(size_at(mm(width), Fraction(19), Fraction(12)), 2) == Fraction(dry)


def test_drying_can_open_a_gap_past_its_limit():
    # A 99.0 mm gap beside 90 mm pickets becomes 100.4 from 19 to 12 % (FPL-RP-489 formula; arithmetic).
    layout = layout_for_count(Bay(mm(99 * 6 + 90 * 5), mm(90), GapLimit(mm(100), strict=False)), 5)
    dry = gaps_after(layout, size_at(mm(90), Fraction(19), Fraction(12)))
    assert layout.allowed
    assert round(dry.gap, 1) == Fraction("100.4")
    assert not dry.allowed
    assert not dry.closed


@given(lengths(10, 200), moistures, moistures, st.sampled_from(Side))
def test_drying_and_wetting_again_gives_the_size_back(size, one, other, side):
    moved = size_at(size, one, other, side)
    assert size_at(moved, other, one, side) == size
    assert (moved < size) == (other < one)


@given(layouts(most_pickets=20), lengths(1, 200))
def test_moved_gaps_and_pickets_still_fill_the_opening(layout, width):
    moved = gaps_after(layout, width)
    total = moved.left_space + layout.count * width + (layout.count - 1) * moved.gap + moved.right_space
    assert total == layout.bay.opening
    assert moved.closed == (layout.count > 1 and moved.gap <= 0)


@pytest.mark.parametrize(("width", "strict", "allowed"), [(60, False, True), (60, True, False), (59, False, False)])
def test_the_limit_is_judged_again_on_the_moved_gaps(width, strict, allowed):
    # Gaps of 90 with pickets of 70.
    layout = layout_for_count(Bay(mm(890), mm(70), GapLimit(mm(100), strict)), 5)
    assert gaps_after(layout, mm(width)).allowed is allowed


def test_a_picket_against_the_post_draws_away_by_half():
    layout = layout_for_count(Bay(mm(710), mm(70), GapLimit(mm(100), strict=False), PICKET, PICKET), 5)
    moved = gaps_after(layout, mm(68))
    assert (moved.left_space, moved.gap, moved.right_space) == (1, 92, 1)


def test_swelling_can_close_the_gaps():
    layout = layout_for_count(Bay(mm(362), mm(70), GapLimit(mm(100), strict=False)), 5)
    assert not gaps_after(layout, mm(71)).closed
    assert gaps_after(layout, mm(72)).closed


@pytest.mark.parametrize("moisture", [Fraction("7.9"), Fraction("19.1")])
def test_general_shrinkage_outside_its_range_is_refused(moisture):
    with pytest.raises(ImpossibleError, match="from 8 to 19 percent"):
        shrinkage(Side.WIDTH, moisture)


@pytest.mark.parametrize(("initial", "final"), [("5.9", "10"), ("10", "14.1")])
def test_coefficients_outside_their_range_are_refused(initial, final):
    with pytest.raises(ImpossibleError, match="from 6 to 14 percent"):
        movement(mm(90), Fraction("0.0026"), Fraction(initial), Fraction(final))


def test_the_ends_of_the_ranges_are_inside():
    assert shrinkage(Side.WIDTH, Fraction(8)) > shrinkage(Side.WIDTH, Fraction(19)) > 0
    assert movement(mm(90), Fraction("0.0026"), Fraction(6), Fraction(14)) == mm("1.872")
    with pytest.raises(ImpossibleError, match="size cannot be 0 mm"):
        movement(mm(0), Fraction("0.0026"), Fraction(6), Fraction(14))
    with pytest.raises(ImpossibleError, match="size cannot be 0 mm"):
        size_at(mm(0), Fraction(8), Fraction(9))
    layout = layout_for_count(Bay(mm(890), mm(70), GapLimit(mm(100), strict=False)), 5)
    with pytest.raises(ImpossibleError, match="picket width cannot be 0 mm"):
        gaps_after(layout, mm(0))
