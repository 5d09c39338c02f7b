"""A set-out tells what it holds: its limit on every rail, and what another set-out of the bay would move."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from assistant.job import Job, Settings
from assistant.measured import Bay, Gate, Slip
from assistant.plan import preview, respaced
from assistant.set_out import Moves, SetOut, mark_unit, moves
from assistant.setout.ends import PICKET
from assistant.setout.lengths import Resolution, Unit
from assistant.setout.limits import GapLimit
from assistant.setout.marks import Edge, Origin
from assistant.setout.taper import Lean

LIMIT = GapLimit(Fraction(100), strict=False)
LEVEL = Bay(1, (("bottom", Fraction(2160)), ("top", Fraction(2160))), Fraction(90), LIMIT)
"""11 pickets of 90 in 2160, gaps of 97.5."""


def made(bay: Bay, **settings: object) -> SetOut:
    return preview(Job(settings=replace(Settings(), **settings), bays=(bay,)), 0)


@pytest.mark.parametrize(
    ("unit", "resolution", "called_in"),
    [
        (Unit.MM, Resolution.MM_1, Unit.MM),
        (Unit.INCH, Resolution.INCH_16, Unit.INCH),
        (Unit.FOOT_INCH, Resolution.INCH_32, Unit.FOOT_INCH),
        (Unit.MM, Resolution.INCH_16, Resolution.INCH_16.unit),
        (Unit.FOOT_INCH, Resolution.MM_1, Resolution.MM_1.unit),
    ],
)
def test_marks_are_called_in_the_unit_of_the_job_unless_its_tape_has_no_such_graduations(
    unit: Unit, resolution: Resolution, called_in: Unit
) -> None:
    assert mark_unit(unit, resolution) is called_in


@pytest.mark.parametrize(("top", "alike", "unknown"), [(2060, True, True), (2059, True, False), (1960, True, False), (1959, False, False)])
def test_an_unknown_lean_has_to_keep_the_limit_whichever_post_it_is(top: int, alike: bool, unknown: bool) -> None:
    # Pickets against both posts at the top; all the difference may open at one post, or half of it at each.
    leaning = replace(LEVEL, openings=(("bottom", Fraction(2160)), ("top", Fraction(top))), count=12)
    settings = {"left": PICKET, "right": PICKET}
    assert made(replace(leaning, leans=Lean.BOTH), **settings).allowed is alike
    assert made(leaning, **settings).allowed is unknown


def test_the_limit_is_judged_on_the_rail_with_the_largest_space() -> None:
    leaning = replace(LEVEL, openings=(("bottom", Fraction(2160)), ("top", Fraction(2190))), count=11)
    shared = made(leaning, share_lean=True)
    assert (shared.largest.name, shared.largest.largest, shared.allowed) == ("top", 100, True)
    wider = made(replace(leaning, openings=(("bottom", Fraction(2160)), ("top", Fraction(2191)))), share_lean=True)
    assert not wider.allowed


def test_a_rail_is_found_by_its_name() -> None:
    level = made(LEVEL)
    found = level.rail("top")
    assert found is not None
    assert (found.name, found.opening, level.rail("middle")) == ("top", 2160, None)
    assert found.values()[:3] == (98, 285, 472)


def test_a_gate_of_two_leaves_has_twice_the_pickets_of_its_rail() -> None:
    for leaves in (1, 2):
        gate = Bay(1, (("bottom", Fraction(3000)),), Fraction(90), LIMIT, gate=Gate(Fraction(6), Fraction(6), leaves, Fraction(6)))
        assert made(gate).pickets == leaves * made(gate).count


# What would move ------------------------------------------------------------------------------------------------------

CALLED = (("bottom", 1), ("bottom", 2), ("bottom", 3), ("top", 1))


def test_nothing_moves_between_a_set_out_and_itself() -> None:
    assert moves(made(LEVEL), CALLED, made(LEVEL)) == Moves(4, 0, Fraction(0))


def test_what_moves_is_counted_among_the_marks_called_and_the_farthest_is_told() -> None:
    # One more picket: gaps of 1080 / 13, 83.08; marks at 83, 256, 429 in place of 98, 285, 472.
    after = made(replace(LEVEL, count=12))
    assert after.rails[0].values()[:3] == (83, 256, 429)
    assert moves(made(LEVEL), CALLED, after) == Moves(4, 4, Fraction(43))
    assert moves(made(LEVEL), CALLED[:1], after) == Moves(1, 1, Fraction(15))


def test_only_the_marks_behind_a_slip_move() -> None:
    before = made(LEVEL)
    after = respaced(before, Slip(3, (("bottom", Fraction(480)), ("top", Fraction(480)))))
    assert moves(before, CALLED, after) == Moves(4, 1, Fraction(8))
    assert (before.last_slip, after.last_slip) == (0, 3)


def test_a_mark_of_a_picket_or_rail_that_is_gone_has_moved_but_not_far() -> None:
    fewer = made(replace(LEVEL, count=10))
    assert moves(made(LEVEL), [("bottom", 11)], fewer) == Moves(1, 1, Fraction(0))
    assert moves(made(LEVEL), [("top", 1)], made(replace(LEVEL, openings=LEVEL.openings[:1]))) == Moves(1, 1, Fraction(0))


@pytest.mark.parametrize("other", [{"edge": Edge.CENTRE}, {"origin": Origin.RIGHT}, {"edge": Edge.RIGHT, "origin": Origin.RIGHT}])
def test_marks_taken_to_another_edge_or_from_another_post_are_new_marks(other: dict[str, object]) -> None:
    # The last has the very numbers, from the other side.
    assert moves(made(LEVEL), CALLED, made(LEVEL, **other)).moved == 4
