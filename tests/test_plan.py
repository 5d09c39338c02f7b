"""Which solver a bay gets, and that what is marked is what was solved."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from strategies import bays

from assistant.job import Bay, Gate, Job, Settings, Slip, Slope
from assistant.plan import plan_bay
from assistant.setout import spacing
from assistant.setout.lengths import Resolution
from assistant.setout.limits import GapLimit
from assistant.setout.marks import Edge, Mark, Origin
from assistant.setout.taper import Lean

LIMIT = GapLimit(Fraction(100), strict=False)
LEVEL = Bay(1, (("bottom", Fraction(2160)), ("top", Fraction(2160))), Fraction(90), LIMIT)


def job(*measured: Bay, **settings: object) -> Job:
    return Job(settings=replace(Settings(), **settings), bays=measured)


@given(bays())
def test_a_plain_bay_is_the_solver_s_own_layout_and_its_marks_stay_within_half_a_step(problem: spacing.Bay) -> None:
    try:
        solved = spacing.solve(problem)
    except spacing.ImpossibleError:
        return
    measured = Bay(1, (("bottom", problem.opening),), problem.picket, problem.limit)
    plan = plan_bay(job(measured, left=problem.left, right=problem.right), 0)
    assert plan.rails[0].layout == solved
    for mark in plan.rails[0].marks:
        assert isinstance(mark, Mark)
        assert abs(mark.value - mark.true) <= Resolution.MM_1.step / 2


def test_a_bay_out_of_plumb_is_marked_on_one_rail_until_it_is_known_which_post_leans() -> None:
    leaning = replace(LEVEL, openings=(("bottom", Fraction(2412)), ("top", Fraction(2400))))
    assert [rail.rail for rail in plan_bay(job(leaning), 0).rails] == ["bottom"]
    known = plan_bay(job(replace(leaning, leans=Lean.LEFT)), 0)
    bottom, top = known.rails
    # The left post leans in by 12, so from the left every mark of the top rail is 12 less.
    assert [low.true - high.true for low, high in zip(bottom.marks, top.marks, strict=True)] == [12] * known.count
    from_right = plan_bay(job(replace(leaning, leans=Lean.LEFT), origin=Origin.RIGHT), 0)
    assert [m.true for m in from_right.rails[0].marks] == [m.true for m in from_right.rails[1].marks]


def test_sharing_the_lean_gives_every_rail_its_own_gap() -> None:
    # Published spans 83 and 82-1/2 in (awomanshome 2013), picket 1-1/2, gap 4: 15 pickets, gaps 3.78125 and 3.75; worked by hand.
    inch = Fraction(127, 5)
    openings = (("bottom", 83 * inch), ("top", Fraction(165, 2) * inch))
    leaning = Bay(1, openings, Fraction(3, 2) * inch, GapLimit(4 * inch, strict=False))
    plan = plan_bay(job(leaning, share_lean=True), 0)
    assert plan.count == 15
    assert [rail.gap / inch for rail in plan.rails] == [Fraction("3.78125"), Fraction("3.75")]


def test_a_gate_has_a_picket_at_both_ends_of_its_leaf_and_looks_like_the_fence() -> None:
    gate = Bay(2, (("bottom", Fraction(1000)),), Fraction(90), LIMIT, gate=Gate(Fraction(10), Fraction(12)))
    plan = plan_bay(job(LEVEL, gate), 1)
    layout = plan.rails[0].layout
    assert layout.left_space == layout.right_space == 0
    # The leaf is 1000 - 10 - 12 = 978; 6 pickets leave 438 for 5 gaps, 87.6: nearer to the fence's 97.5 than 7 pickets' 58.
    assert (plan.count, layout.gap) == (6, Fraction(438, 5))


def test_two_leaves_have_twice_the_pickets() -> None:
    gate = Bay(1, (("bottom", Fraction(3000)),), Fraction(90), LIMIT, gate=Gate(Fraction(6), Fraction(0), 2, Fraction(10)))
    plan = plan_bay(job(gate), 0)
    assert plan.pickets == 2 * plan.count
    leaf = plan.count * 90 + sum(plan.rails[0].layout.spaces())
    assert 2 * leaf + 2 * 6 + 10 == 3000


def test_raked_marks_run_along_the_rail() -> None:
    # Run 2400 and rise 700 are 2500 along the rail exactly (7-24-25), so every mark is its level place times 25/24.
    raked = Bay(1, (("bottom", Fraction(2400)),), Fraction(90), LIMIT, slope=Slope.RAKED, rise=Fraction(700), going=Fraction(2400))
    level = plan_bay(job(replace(raked, slope=None)), 0)
    plan = plan_bay(job(raked), 0)
    for along, flat in zip(plan.rails[0].marks, level.rails[0].marks, strict=True):
        assert abs(along.value - flat.true * Fraction(25, 24)) <= Fraction(1, 2)


def test_matched_bays_take_their_counts_together() -> None:
    other = Bay(2, (("bottom", Fraction(2330)),), Fraction(90), LIMIT)
    plain = [plan_bay(job(LEVEL, other), index).largest.gap for index in (0, 1)]
    matched = [plan_bay(job(LEVEL, other, matched=True), index).largest.gap for index in (0, 1)]
    assert max(matched) - min(matched) <= max(plain) - min(plain)


@pytest.mark.parametrize("edge", list(Edge))
@pytest.mark.parametrize("origin", list(Origin))
def test_after_a_slip_the_rest_is_spaced_evenly_from_where_the_picket_is(edge: Edge, origin: Origin) -> None:
    straight = plan_bay(job(LEVEL, edge=edge, origin=origin), 0).rails[0]
    actual = straight.marks[3].true - 2
    slipped = replace(LEVEL, slip=Slip("bottom", 4, actual))
    rail = plan_bay(job(slipped, edge=edge, origin=origin), 0).rails[0]
    assert rail.marks[:3] == straight.marks[:3]
    assert rail.marks[3].true == actual
    steps = {after.true - before.true for before, after in zip(rail.marks[4:], rail.marks[5:], strict=False)}
    # 2 mm back leaves 2 mm more for the 8 spaces that follow, whichever way the tape lies.
    assert steps == {Fraction(975, 10) + 90 + Fraction(2, 8)}
    assert rail.gap == Fraction(975, 10) + Fraction(2, 8)


def test_a_slope_from_the_rail_s_length_is_the_slope_from_its_rise() -> None:
    bay = Bay(1, (("bottom", Fraction(2400)),), Fraction(90), LIMIT, slope=Slope.RAKED, rise=Fraction(700), going=Fraction(2400))
    by_rise, by_length = plan_bay(job(bay), 0), plan_bay(job(replace(bay, along=Fraction(2500))), 0)
    assert [mark.value for mark in by_rise.rails[0].marks] == [mark.value for mark in by_length.rails[0].marks]
