"""Slopes: marks along the rail are rounded from an exact square; a step is the rise across the bay."""

from fractions import Fraction
from math import atan2, degrees, hypot, radians, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import lengths, resolutions

from assistant.setout.lengths import Resolution, inches, mm
from assistant.setout.limits import GapLimit
from assistant.setout.marks import Edge, Origin, mark_at, marks
from assistant.setout.slope import from_along, from_rise, raked_mark, require_not_steep, rise_of, step_of
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


@pytest.mark.parametrize(("height", "percent"), [(6, "111.8"), (8, "120.2")])
def test_published_stretch(height, percent):
    # mathcentral.uregina.ca QQ.09.06: six or eight inches of rise on twelve make the slope 111.8 % or 120.2 % of the base.
    assert round(from_rise(inches(height), inches(12)).factor * 100, 1) == float(percent)


@given(lengths(5, 3000), lengths(100, 6000))
def test_length_and_angle_are_what_the_library_reckons(rise, run):
    slope = from_rise(rise, run)
    assert slope.angle == pytest.approx(degrees(atan2(rise, run)), abs=1e-9)
    along = slope.along(run, Resolution.MM_1)
    assert abs(along - hypot(rise, run)) <= 0.5 + 1e-6


@given(lengths(5, 3000), lengths(100, 6000), lengths(100, 6000))
def test_the_level_length_under_a_rail_stretches_back_to_it(rise, run, along):
    slope = from_rise(rise, run)
    level = slope.level(along)
    assert level <= along
    assert 0 <= along**2 - level**2 * slope.factor_squared <= Fraction(2, 10**6) * along * slope.factor_squared


def test_level_and_grade_are_exact_where_they_are_fractions():
    slope = from_rise(mm(700), mm(2400))
    assert slope.level(mm(2500)) == 2400
    assert slope.grade == Fraction(7, 24)
    assert from_along(mm(2500), mm(2400)).grade == Fraction(7, 24)


@given(st.integers(1, 90), lengths(300, 6000))
def test_an_angle_comes_back_from_its_rise(halves, run):
    angle = Fraction(halves, 2)
    rise = rise_of(angle, run)
    assert (rise * 10).denominator == 1
    assert abs(rise - Fraction(tan(radians(angle))) * run) <= Fraction(1, 20) + Fraction(1, 10**9)
    assert from_rise(rise, run).angle == pytest.approx(float(angle), abs=0.02)


def test_forty_five_degrees_is_the_steepest_there_is():
    require_not_steep(from_rise(mm(2400), mm(2400)))
    with pytest.raises(ImpossibleError, match=r"That is 78 degrees\. Over 45"):
        require_not_steep(from_along(mm(2310), mm(480)))
    with pytest.raises(ImpossibleError, match="Over 45"):
        require_not_steep(from_rise(mm(2500), mm(2400)))


@given(lengths(5, 3000), lengths(100, 6000), lengths(300, 6000), lengths(0, 300))
def test_a_step_is_what_the_ground_rises_across_the_bays_own_opening(rise, run, opening, under):
    step = step_of(from_rise(rise, run), opening, under)
    assert step.step == opening * rise / run
    assert step.under_low_end == under + step.step


def test_a_rise_taken_over_half_the_bay_is_half_its_step():
    # By hand: 300 over 1200 is 600 over 2400.
    step = step_of(from_rise(mm(300), mm(1200)), mm(2400), mm(50))
    assert (step.step, step.under_low_end) == (600, 650)


def test_impossible_slopes_are_refused():
    with pytest.raises(ImpossibleError, match="run of the slope cannot be 0 mm"):
        from_rise(mm(100), mm(0))
    with pytest.raises(ImpossibleError, match="horizontal length"):
        from_along(mm(100), mm(0))
    with pytest.raises(ImpossibleError, match="cannot be less than the level length"):
        from_along(mm(2399), mm(2400))
    with pytest.raises(ImpossibleError, match="clearance under the pickets"):
        step_of(from_rise(mm(1), mm(2)), mm(2400), mm(-1))
    with pytest.raises(ImpossibleError, match="run of the slope cannot be 0 mm"):
        rise_of(Fraction(12), mm(0))
