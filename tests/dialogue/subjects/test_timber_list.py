"""The timber list: every picket, gates' too, and rails as long as they are cut."""

from __future__ import annotations

from fractions import Fraction

import pytest
from sample_jobs import confirmed
from subject_turns import bay, filled_in, job, kept, said, said_to

from assistant.dialogue.subjects.sloping_ground import RAKED
from assistant.dialogue.subjects.timber_list import TIMBER
from assistant.language.vocabulary import Act
from assistant.measured import Gate
from assistant.plan import set_out_of
from assistant.setout.lengths import Unit, inches
from assistant.setout.limits import GapLimit
from assistant.setout.trouble import ImpossibleError

GATE = Gate(Fraction(6), Fraction(12))
TWO_LEAVES = Gate(Fraction(6), Fraction(6), 2, Fraction(10))


def test_the_phrase_needs_a_bay() -> None:
    assert said(said_to(job(bay(1, 2400)), Act.TIMBER)) == "Timber list. How many rails in a bay?"
    with pytest.raises(ImpossibleError, match="no bay yet"):
        said_to(job(), Act.TIMBER)


def test_a_published_bay_and_its_screws() -> None:
    # windhillcreate.com: 12 pickets to an 8 ft bay (clear 92.5 in is arithmetic); handyman.net.au: two screws a crossing.
    measured = [
        bay(number, inches("92.5"), picket=inches("3.5"), limit=GapLimit(inches(4), strict=False)) for number in (1, 2, 3)
    ]
    turn = filled_in(job(*measured, unit=Unit.INCH), TIMBER, rails=2, fixings=2, stock=inches(192), waste=10)
    assert kept(turn)["Timber"] == (
        "Thirty six pickets; buy forty.",
        "Four posts, one hundred and fifty nine fixings.",
        "Six rails from three stock lengths.",
    )
    assert kept(turn)["Rails from stock lengths of 192 in"] == ("92 1/2 in + 92 1/2 in; 92 1/2 in + 92 1/2 in; 92 1/2 in + 92 1/2 in",)
    assert turn.job.draft is None


@pytest.mark.parametrize("hung", [GATE, TWO_LEAVES])
def test_the_pickets_of_every_leaf_are_bought_and_a_gate_has_a_post_more(hung: Gate) -> None:
    # By hand: 13 in each bay, gap 88.7; one leaf of 1982 takes 12 (gap 82), of two leaves of 989 each takes 6 (gap 89.8).
    turn = filled_in(job(bay(1, 2412), bay(2, 2000, gate=hung), bay(3, 2412)), TIMBER, rails=2, fixings=2, stock=4900, waste=0)
    assert "Thirty eight pickets; buy thirty eight." in said(turn)
    # Bay, gate, bay: four posts, by hand.
    assert "Four posts, one hundred and four fixings." in said(turn)
    assert said(turn).endswith("Rails and frames of gates are not in it.")


def test_waste_is_bought_for_the_gates_too() -> None:
    made = job(bay(1, 2412), bay(2, 2000, gate=GATE))
    assert "Twenty five pickets; buy twenty eight." in said(filled_in(made, TIMBER, rails=2, fixings=2, stock=4900, waste=10))


def test_a_rail_is_as_long_as_the_widest_opening_and_as_the_slope() -> None:
    turn = filled_in(job(bay(1, 2398, 2404)), TIMBER, rails=1, fixings=2, stock=4800, waste=0)
    assert kept(turn)["Rails from stock lengths of 4800 mm"] == ("2404 mm",)
    # Rise 700 over 2400 is 2500 along the rail, an exact triple.
    raked = filled_in(job(bay(1, 2400)), RAKED, rise=700, going=2400).job
    turn = filled_in(raked, TIMBER, rails=2, fixings=2, stock=4800, waste=0)
    assert kept(turn)["Rails from stock lengths of 4800 mm"] == ("2500 mm; 2500 mm",)


def test_pickets_are_those_of_what_is_set_out() -> None:
    made = confirmed(job(bay(1, 2412, count=15)), 1)
    assert set_out_of(made, 0).count == 15
    turn = filled_in(made, TIMBER, rails=2, fixings=1, stock=4900, waste=0)
    assert "Fifteen pickets; buy fifteen. Two posts, thirty fixings." in said(turn)


def test_stock_too_short_for_a_rail_is_said_and_the_form_is_closed() -> None:
    # The form would ask for the waste again and again, and it is not the waste that is wrong.
    turn = filled_in(job(bay(1, 2412)), TIMBER, rails=2, fixings=2, stock=2400, waste=10)
    assert "is longer than the stock of two thousand four hundred millimetres" in said(turn)
    assert turn.job.draft is None
    assert kept(turn) == {}


def test_fewer_stock_lengths_are_only_spoken_of_where_there_may_be_some() -> None:
    turn = filled_in(job(bay(1, 2400), bay(2, 2400)), TIMBER, rails=2, fixings=2, stock=4800, waste=0)
    assert "Four rails from two stock lengths." in said(turn)
    assert "fewer" not in said(turn)
