"""What openings and posts come to beside one measure, and where a difference may lie."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import lengths

from assistant.setout.closing import Closing, Suspect, Why, closing, suspects
from assistant.setout.lengths import Length
from assistant.setout.posts import Between, Posts, set_out_posts
from assistant.setout.trouble import ImpossibleError

NOTHING: frozenset[Length] = frozenset()


def measured(short: int, *openings: int) -> Closing:
    """Bays between posts of 100 that are so much short of the tape, measured over the outer posts."""
    total = sum(openings) + 100 * (len(openings) + 1)
    return closing([Fraction(opening) for opening in openings], Fraction(100), Between.OUTER_FACES, Fraction(total + short))


@pytest.mark.parametrize(("between", "posts"), [(Between.OUTER_FACES, 4), (Between.CENTRES, 3), (Between.INNER_FACES, 2)])
def test_three_openings_stand_between_four_posts(between: Between, posts: int) -> None:
    """By hand: 2400 three times, posts of 100."""
    made = closing([Fraction(2400)] * 3, Fraction(100), between, Fraction(7600))
    assert (made.posts, made.total) == (posts, 7200 + posts * 100)


@given(lengths(1000, 50_000), lengths(40, 300), lengths(300, 6000), st.sampled_from(Between))
def test_posts_that_were_set_out_close_their_run_exactly(run: Length, post: Length, opening: Length, between: Between) -> None:
    """Setting posts out and adding them up again are two sides of one sum."""
    try:
        row = set_out_posts(Posts(run, post, opening, between=between))
    except ImpossibleError:
        return
    assert closing(row.openings, post, between, run).short == 0


def test_what_a_tape_may_be_out_is_no_difference() -> None:
    """Class II over 7.6 m, so 8 begun: 0.3 + 0.2 * 8 = 1.9 mm (UK SI 2016/1153, Schedule 1I)."""
    assert measured(1, 2400, 2400, 2400).closes
    assert not measured(2, 2400, 2400, 2400).closes
    assert not measured(-2, 2400, 2400, 2400).closes


@given(st.lists(st.integers(500, 3000), min_size=1, max_size=8), st.data())
def test_one_wrong_opening_is_short_by_just_what_it_is_wrong(openings: list[int], data: st.DataObject) -> None:
    right = measured(0, *openings)
    place, off = data.draw(st.integers(0, len(openings) - 1)), data.draw(st.integers(-400, 400))
    dictated = [*right.openings[:place], right.openings[place] - off, *right.openings[place + 1 :]]
    made = closing(dictated, right.post, right.between, right.measured)
    assert made.short == off
    for one in suspects(made, {place}, [NOTHING] * len(openings)):
        assert one == Suspect(place, Why.UNSURE, right.openings[place])
    assert bool(suspects(made, {place}, [NOTHING] * len(openings))) is not made.closes


def test_what_sounds_like_the_missing_number_comes_before_what_was_in_doubt() -> None:
    """1815 taken for 1850 leaves the second bay 35 over; the first was asked about."""
    made = measured(-35, 2160, 1850, 1850)
    found = suspects(made, {0}, [NOTHING, {Fraction(1815)}, {Fraction(1805)}])
    assert found == (Suspect(1, Why.SOUNDS_LIKE, Fraction(1815)), Suspect(0, Why.UNSURE, Fraction(2125)))


def test_a_whole_bay_or_a_whole_post_is_no_wrong_number() -> None:
    assert measured(2300, 2160, 2145).bay_missing
    assert not measured(35, 2160, 2145).bay_missing
    assert not measured(-2160, 2160, 2145).bay_missing
    assert measured(100, 2160, 2145).post_miscounted
    assert measured(-101, 2160, 2145).post_miscounted
    assert not measured(96, 2160, 2145).post_miscounted


def test_no_bay_is_refused() -> None:
    with pytest.raises(ImpossibleError):
        closing([], Fraction(100), Between.CENTRES, Fraction(2400))
