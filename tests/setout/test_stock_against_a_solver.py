"""Stock cutting held against an exact solver: HiGHS (through scipy) over every way to fill a stick.

The answers are the solver's.  A plan that is called proven has exactly as many sticks as the optimum, the bound is never above it, and
what cannot be proven is seldom a stick too many.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from random import Random

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from assistant.setout.stock import cut_stock

LISTS = 300


def ways_to_fill(sizes: list[int], room: int) -> list[tuple[int, ...]]:
    """How many of each size can come out of one stick."""
    if not sizes:
        return [()]
    size, *others = sizes
    return [(count, *rest) for count in range(room // size + 1) for rest in ways_to_fill(others, room - count * size)]


def fewest_by_solver(pieces: list[int], stock: int, kerf: int) -> int:
    """The optimum; every piece brings its kerf, and so does the stick."""
    wanted = Counter(pieces)
    ways = np.array(ways_to_fill([size + kerf for size in wanted], stock + kerf)).T
    found = milp(
        np.ones(ways.shape[1]),
        constraints=LinearConstraint(ways, lb=list(wanted.values())),
        integrality=np.ones(ways.shape[1]),
        bounds=Bounds(0, np.inf),
    )
    assert found.status == 0
    return round(found.fun)


def random_list(random: Random) -> tuple[list[int], int, int]:
    """Pieces of up to six lengths, as a fence has, a stock length and a saw cut."""
    stock = random.choice([3000, 3600, 4800, 5400, 6000])
    kinds = [random.randint(600, min(stock, 2700)) for _ in range(random.randint(1, 6))]
    return [random.choice(kinds) for _ in range(random.randint(1, 60))], stock, random.choice([0, 2, 3, 4])


def test_no_list_is_said_to_be_proven_and_could_do_with_fewer() -> None:
    random, proven, more = Random(19), 0, 0
    for _ in range(LISTS):
        pieces, stock, kerf = random_list(random)
        plan = cut_stock([Fraction(piece) for piece in pieces], Fraction(stock), Fraction(kerf))
        best = fewest_by_solver(pieces, stock, kerf)
        assert plan.lower_bound <= best <= len(plan.sticks), (pieces, stock, kerf)
        assert not plan.proven or len(plan.sticks) == best, (pieces, stock, kerf)
        proven += plan.proven
        more += len(plan.sticks) - best
    assert proven > LISTS * 0.85  # a plan that never claims anything would be right too
    assert more < LISTS * 0.03


@pytest.mark.parametrize("count", [2, 3, 7, 45])
def test_equal_pieces_over_a_third_take_a_stick_for_two(count: int) -> None:
    # 45 of 2,410 from 4,800 go one by one, of 1,700 by twos: every such plan is known to be the least.
    for piece, on_one in ((2410, 1), (1700, 2)):
        plan = cut_stock([Fraction(piece)] * count, Fraction(4800), Fraction(3))
        assert len(plan.sticks) == fewest_by_solver([piece] * count, 4800, 3) == -(-count // on_one)
        assert plan.proven and plan.lower_bound == len(plan.sticks)
