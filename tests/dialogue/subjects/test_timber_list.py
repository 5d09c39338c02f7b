"""The timber list: every picket, gates' too, and rails as long as they are cut."""

from __future__ import annotations

from fractions import Fraction

import pytest
from sample_jobs import confirmed
from subject_turns import bay, filled_in, job, kept, said, said_to

from assistant.dialogue.cautions import CUTTING
from assistant.dialogue.state import Cautioning, Hub
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


PLAIN = {"rails": 2, "fixings": 2, "kerf": 0, "length": 0, "above": 0, "waste": 0}
"""Neither pickets nor posts by their length."""


def test_the_phrase_needs_a_bay() -> None:
    assert said(said_to(job(bay(1, 2400)), Act.TIMBER)) == "Timber list. Up to nine questions. How many rails in a bay?"
    with pytest.raises(ImpossibleError, match="no bay yet"):
        said_to(job(), Act.TIMBER)


def test_a_published_bay_and_its_screws() -> None:
    # windhillcreate.com: 12 pickets to an 8 ft bay (clear 92.5 in is arithmetic); handyman.net.au: two screws a crossing.
    measured = [bay(number, inches("92.5"), picket=inches("3.5"), limit=GapLimit(inches(4), strict=False)) for number in (1, 2, 3)]
    turn = filled_in(job(*measured, unit=Unit.INCH), TIMBER, **PLAIN | {"stock": inches(192), "waste": 10})
    assert said(turn) == (
        "Thirty six pickets; buy forty. Four posts, one hundred and fifty nine fixings. Six rails from three stock lengths."
    )
    assert kept(turn)["Timber"] == (
        "36 pickets; buy 40",
        "4 posts",
        "144 fixings; buy 159",
        "6 rails from 3 stock lengths of 192 in; the fewest there can be",
        "For bay 1, bay 2, bay 3",
    )
    assert kept(turn)["Rails to cut"] == ("3 × 92 1/2 in + 92 1/2 in, 7 in left", "Saw cut 0 in")
    assert turn.job.draft is None


@pytest.mark.parametrize("hung", [GATE, TWO_LEAVES])
def test_the_pickets_of_every_leaf_are_bought_and_a_gate_has_a_post_more(hung: Gate) -> None:
    # By hand: 13 in each bay, gap 88.7; one leaf of 1982 takes 12 (gap 82), of two leaves of 989 each takes 6 (gap 89.8).
    turn = filled_in(job(bay(1, 2412), bay(2, 2000, gate=hung), bay(3, 2412)), TIMBER, **PLAIN, stock=4900)
    assert "Thirty eight pickets; buy thirty eight." in said(turn)
    # Bay, gate, bay: four posts, by hand.
    assert "Four posts, one hundred and four fixings." in said(turn)
    assert said(turn).endswith("Rails and frames of gates are not in it.")
    assert kept(turn)["Timber"][-2:] == ("For bay 1, bay 3, gate 2", "Rails and frames of gates are not in it")


def test_waste_is_bought_for_the_gates_too() -> None:
    made = job(bay(1, 2412), bay(2, 2000, gate=GATE))
    assert "Twenty five pickets; buy twenty eight." in said(filled_in(made, TIMBER, **PLAIN | {"stock": 4900, "waste": 10}))


def test_each_rail_is_as_long_as_its_own_opening() -> None:
    turn = filled_in(job(bay(1, 2398, 2404)), TIMBER, **PLAIN | {"rails": 3, "stock": 2410})
    assert kept(turn)["Rails to cut"][:3] == (
        "1 × 2404 mm, 6 mm left", "1 × 2401 mm, 9 mm left", "1 × 2398 mm, 12 mm left",
    )  # fmt: skip
    turn = filled_in(job(bay(1, 2398, 2404)), TIMBER, **PLAIN | {"rails": 1, "stock": 4800})
    assert kept(turn)["Rails to cut"][0] == "1 × 2404 mm, 2396 mm left"


def test_a_raked_rail_is_bought_along_the_slope() -> None:
    # Rise 700 over 2400 is 2500 along the rail, an exact triple: two of them do not come out of 4,800, nor does one out of 2,410.
    raked = filled_in(job(bay(1, 2400)), RAKED, rise=700, going=2400).job
    assert kept(filled_in(raked, TIMBER, **PLAIN, stock=4800))["Rails to cut"][0] == "2 × 2500 mm, 2300 mm left"
    assert "is longer than the stock of two thousand four hundred and ten" in said(filled_in(raked, TIMBER, **PLAIN, stock=2410))


def test_a_saw_cut_costs_a_stock_length() -> None:
    # By hand: two rails of 2,400 fill 4,800 to the last millimetre, and a cut between them does not fit.
    made = job(bay(1, 2400))
    assert "Two rails from one stock length." in said(filled_in(made, TIMBER, **PLAIN, stock=4800))
    turn = filled_in(made, TIMBER, **PLAIN | {"kerf": 3}, stock=4800)
    assert "Two rails from two stock lengths." in said(turn)
    assert kept(turn)["Rails to cut"] == ("2 × 2400 mm, 2397 mm left", "Saw cut 3 mm")


def test_pickets_and_posts_by_their_length() -> None:
    # By hand: 13 pickets and a tenth are 15; a stick of 2,400 gives 1 of 1,200 with a cut of 3, and 2 without one.
    more = {"stock": 4900, "waste": 10, "length": 1200, "picket_stock": 2400, "above": 1300, "depth": 600}
    turn = filled_in(job(bay(1, 2412)), TIMBER, **PLAIN | more)
    assert "Thirteen pickets; buy fifteen. They come from eight stock lengths." in said(turn)
    assert "Two posts, fifty eight fixings. Each post is one thousand nine hundred millimetres long." in said(turn)
    assert kept(turn)["Timber"] == (
        "13 pickets; buy 15",
        "Pickets from 8 stock lengths of 2400 mm: 2 of 1200 mm from each",
        "2 posts of 1900 mm",
        "52 fixings; buy 58",
        "2 rails from 1 stock length of 4900 mm; the fewest there can be",
        "Each post 1300 mm above the ground and 600 mm in it",
        "For bay 1",
    )
    turn = filled_in(job(bay(1, 2412)), TIMBER, **PLAIN | more | {"kerf": 3})
    assert "They come from fifteen stock lengths." in said(turn)


def test_a_published_post_length() -> None:
    # aboutthehouse.com.au, timber paling (read): a fence of 1.8 m has posts of 2.4 m, which allows 600 mm in the ground.
    turn = filled_in(job(bay(1, 2412)), TIMBER, **PLAIN | {"above": 1800, "depth": 600}, stock=4900)
    assert "Each post is two thousand four hundred millimetres long." in said(turn)


def test_pickets_are_those_of_what_is_set_out() -> None:
    made = confirmed(job(bay(1, 2412, count=15)), 1)
    assert set_out_of(made, 0).count == 15
    turn = filled_in(made, TIMBER, **PLAIN | {"fixings": 1}, stock=4900)
    assert "Fifteen pickets; buy fifteen. Two posts, thirty fixings." in said(turn)


@pytest.mark.parametrize(
    ("key", "more", "asked"),
    [
        ("stock", {"stock": 2400}, "How long is a stock length of rail?"),
        ("picket stock", {"stock": 4900, "length": 1200, "picket_stock": 1000}, "How long is what pickets are cut from? Or: the same."),
    ],
)
def test_stock_that_is_too_short_is_asked_for_again_and_nothing_else(key: str, more: dict[str, int], asked: str) -> None:
    turn = filled_in(job(bay(1, 2412)), TIMBER, **PLAIN | more)
    assert "It takes longer stock." in said(turn)
    assert said(turn).endswith(asked)
    assert turn.job.draft is not None
    assert key not in dict(turn.job.draft.answers)
    assert dict(turn.job.draft.answers)["rails"] == 2
    assert kept(turn) == {}


def test_fewer_stock_lengths_are_only_spoken_of_where_there_may_be_some() -> None:
    # Forty five of 2,410 from 4,800 were once said to need no fewer than 34.
    turn = filled_in(job(*(bay(number, 2410) for number in range(1, 46))), TIMBER, **PLAIN | {"rails": 1}, stock=4800)
    assert "Forty five rails from forty five stock lengths." in said(turn)
    assert "fewer" not in said(turn)
    # A hundred and twenty lengths are more than are searched, and best fit takes more sticks than the bound.
    hard = [bay(number, 1100 + 73 * number * number % 1300) for number in range(1, 121)]
    turn = filled_in(job(*hard), TIMBER, **PLAIN | {"rails": 1, "kerf": 3}, stock=4800)
    assert "Perhaps fewer would do, but not under" in said(turn)


def test_more_fixings_than_a_spoken_length_can_say() -> None:
    # Thirteen pickets on two rails, 9999 at each crossing: 259,974.
    turn = filled_in(job(bay(1, 2412)), TIMBER, **PLAIN | {"fixings": 9999}, stock=4900)
    assert "two hundred and fifty nine thousand nine hundred and seventy four fixings" in said(turn)


def test_whoever_has_a_list_to_cut_hears_what_to_mind_with_treated_timber() -> None:
    turn = filled_in(job(bay(1, 2400)), TIMBER, cautioned=frozenset(), **PLAIN, stock=4900)
    assert said(turn).endswith(f"{CUTTING.spoken} Say: understood.")
    assert turn.state.focus == Cautioning(CUTTING, Hub())
