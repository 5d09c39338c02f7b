"""Slopes: marks along the rail are rounded from an exact square, steps add up to the rise."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import lengths, resolutions

from assistant.setout.lengths import Resolution, inches, mm
from assistant.setout.limits import GapLimit
from assistant.setout.marks import Edge, Origin, mark_at, marks
from assistant.setout.slope import from_along, from_rise, raked_mark, step_bays
from assistant.setout.spacing import Bay, solve
from assistant.setout.trouble import ImpossibleError


def test_exact_triple():
    # Rise 700 over a run of 2400 is 2500 along the rail (exact triple).
    assert from_rise(mm(700), mm(2400)) == from_along(mm(2500), mm(2400))
    assert from_rise(mm(700), mm(2400)).along(mm(2400), Resolution.MM_1) == 2500


def test_published_angle():
    # JLC stair layout article: rise 7-5/8, run 10, .7625, 37.3 degrees, complement 52.7.
    slope = from_rise(inches("7.625"), inches(10))
    assert slope.factor_squared == 1 + Fraction("0.7625") ** 2
    assert round(slope.angle, 1) == 37.3
    assert round(90 - slope.angle, 1) == 52.7


def test_factor_to_show():
    assert from_rise(mm(0), mm(2400)).factor == 1
    assert from_rise(mm(700), mm(2400)).factor == pytest.approx(25 / 24)


@given(lengths(0, 3000), lengths(100, 3000), lengths(0, 9000), resolutions)
def test_a_graduation_along_the_rail_is_the_nearest_there_is(rise, run, horizontal, resolution):
    slope = from_rise(rise, run)
    steps = slope.along(horizontal, resolution)
    true_squared = horizontal**2 * slope.factor_squared
    step = resolution.step
    assert true_squared <= ((steps + Fraction(1, 2)) * step) ** 2
    assert steps == 0 or ((steps - Fraction(1, 2)) * step) ** 2 <= true_squared


@pytest.mark.parametrize(("horizontal", "steps"), [(Fraction(12, 10), 1), (Fraction(6, 5) * 2, 2), (2, 2), (6, 6)])
def test_rounding_on_a_rational_slope(horizontal, steps):
    # Factor 25/24: 1.2 -> 1.25, 2.4 -> 2.5 (midway, even 2), 2 -> 2.083, 6 -> 6.25.
    assert from_along(mm(2500), mm(2400)).along(Fraction(horizontal), Resolution.MM_1) == steps


@given(st.integers(0, 5000))
def test_midway_along_the_rail_takes_the_even_graduation(steps):
    # Factor 5/4: a horizontal distance of 4/5 of the midpoint lands on it exactly.
    slope = from_rise(mm(3), mm(4))
    assert slope.factor_squared == Fraction(25, 16)
    assert slope.along((steps + Fraction(1, 2)) * Fraction(4, 5), Resolution.MM_1) % 2 == 0


@given(st.integers(1, 60), lengths(0, 6000), resolutions)
def test_a_raked_mark_is_the_level_one_stretched(index, horizontal, resolution):
    mark = raked_mark(index, horizontal, from_along(mm(2500), mm(2400)), resolution)
    assert (mark.index, mark.horizontal) == (index, horizontal)
    assert abs(mark.value - horizontal * Fraction(25, 24)) * 2 <= resolution.step
    assert mark.true_squared == (horizontal * Fraction(25, 24)) ** 2


@given(lengths(0, 6000), resolutions)
def test_no_slope_changes_nothing(horizontal, resolution):
    made = raked_mark(1, horizontal, from_rise(mm(0), mm(2400)), resolution)
    assert made.value == mark_at(1, horizontal, resolution).value


def test_the_gap_stays_a_horizontal_measure():
    # diydoctor: the gap between pickets on a rake is measured level, so the count is that of the level bay.
    layout = solve(Bay(mm(2400), mm(70), GapLimit(mm(100), strict=False)))
    last = marks(layout, Edge.RIGHT, Origin.LEFT, Resolution.MM_1)[-1]
    along = raked_mark(last.index, last.true, from_rise(mm(700), mm(2400)), Resolution.MM_1)
    assert along.value == round((2400 - layout.gap) * Fraction(25, 24))


@given(st.integers(1, 40), lengths(0, 5000), lengths(0, 200), resolutions)
def test_steps_add_up_to_the_rise(bays, rise, clearance, resolution):
    stepped = step_bays(bays, rise, clearance)
    levels = stepped.levels(resolution)
    assert bays * stepped.step == rise
    assert len(levels) == bays
    assert levels[0].true == 0
    assert levels[-1].true + stepped.step == rise
    assert all(abs(mark.value - mark.true) * 2 <= resolution.step for mark in levels)
    assert stepped.under_low_end - clearance == stepped.step


def test_impossible_slopes_are_refused():
    with pytest.raises(ImpossibleError, match="run of the slope cannot be 0 mm"):
        from_rise(mm(100), mm(0))
    with pytest.raises(ImpossibleError, match="horizontal length"):
        from_along(mm(100), mm(0))
    with pytest.raises(ImpossibleError, match="cannot be less than the level length"):
        from_along(mm(2399), mm(2400))
    with pytest.raises(ImpossibleError, match="rise cannot be -1 mm"):
        step_bays(3, mm(-1), mm(0))
    with pytest.raises(ImpossibleError, match="clearance under the rail"):
        step_bays(3, mm(1), mm(-1))
    with pytest.raises(ImpossibleError, match="no bay"):
        step_bays(0, mm(1), mm(0))
