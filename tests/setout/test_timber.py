"""What to buy: counts multiply out, waste is rounded up to whole pieces."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import layouts

from assistant.setout.lengths import inches, mm
from assistant.setout.limits import GapLimit
from assistant.setout.spacing import Bay, solve
from assistant.setout.timber import Build, list_timber, with_waste
from assistant.setout.trouble import ImpossibleError

TENTH = Fraction(1, 10)


@given(st.lists(layouts(), max_size=5), st.integers(0, 4), st.integers(0, 3), st.fractions(0, 1), st.integers(0, 1))
def test_counts_multiply_out(run, rails, fixings, waste, end_posts):
    found = list_timber(run, Build(rails, fixings, waste, end_posts))
    crossings = sum(1 for layout in run for _ in range(layout.count) for _ in range(rails))
    assert found.pickets == sum(layout.count for layout in run)
    assert found.fixings == crossings * fixings
    assert found.rail_length == rails * sum(layout.bay.opening for layout in run)
    assert len(found.rails) == rails * len(run)
    assert found.posts == (len(run) + end_posts if run else 0)
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
    found = list_timber([solve(bay)] * 3, Build(rails=2, fixings=2, waste=TENTH))
    assert (found.pickets, found.pickets_to_buy) == (36, 40)
    assert (found.posts, len(found.rails)) == (4, 6)
    assert (found.fixings, found.fixings_to_buy) == (144, 159)
    assert set(found.rails) == {inches("92.5")}


@pytest.mark.parametrize(
    "wrong", [{"rails": -1}, {"fixings": -1}, {"waste": Fraction(-1, 10)}, {"end_posts": -1}]
)
def test_nothing_is_below_zero(wrong):
    with pytest.raises(ImpossibleError, match="cannot be below zero"):
        Build(**{"rails": 2, "fixings": 2, **wrong})


def test_rails_are_as_long_as_their_openings():
    layouts_ = [solve(Bay(mm(opening), mm(70), GapLimit(mm(100), strict=False))) for opening in (2160, 1815)]
    assert list_timber(layouts_, Build(rails=2, fixings=1)).rails == (2160, 2160, 1815, 1815)
