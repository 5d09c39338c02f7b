"""Posts stand in equal openings, as few as the largest opening allows; odd openings are found."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import lengths, resolutions

from assistant.setout.lengths import Resolution, feet, inches, mm
from assistant.setout.posts import Between, judge_openings, set_out_posts
from assistant.setout.trouble import ImpossibleError, Problem


@given(lengths(3000, 60_000), lengths(20, 200), lengths(300, 3000), st.sampled_from(Between))
def test_posts_and_openings_fill_the_run_exactly(length, post, largest, between):
    layout = set_out_posts(length, post, largest, between)
    measured = {Between.OUTER_FACES: 0, Between.CENTRES: post, Between.INNER_FACES: 2 * post}[between]
    assert layout.overall == length + measured
    assert 0 < layout.opening <= largest
    assert layout.posts == layout.bays + 1


@given(lengths(3000, 60_000), lengths(20, 200), lengths(300, 3000))
def test_one_bay_fewer_would_be_too_wide(length, post, largest):
    layout = set_out_posts(length, post, largest)
    if layout.bays > 1:
        assert (length - layout.bays * post) / (layout.bays - 1) > largest


@given(lengths(3000, 60_000), lengths(20, 200), lengths(300, 3000), resolutions)
def test_running_marks_are_the_posts_laid_out_one_by_one(length, post, largest, resolution):
    layout = set_out_posts(length, post, largest)
    near, centre, far = layout.near_faces(resolution), layout.centres(resolution), layout.far_faces(resolution)
    at = Fraction(0)
    for index in range(layout.posts):
        assert (near[index].true, centre[index].true, far[index].true) == (at, at + post / 2, at + post)
        assert abs(near[index].value - at) * 2 <= resolution.step
        at += post + layout.opening
    assert far[-1].true == length


def test_a_hundred_feet_at_ten_takes_eleven_posts():
    # Agricultural engineering text: posts for 100 ft at 10 ft are 11, not 10; the 4 in post is ours.
    layout = set_out_posts(feet(100), inches(4), feet(10) - inches(4), Between.CENTRES)
    assert (layout.posts, layout.bays) == (11, 10)
    assert [mark.true - inches(2) for mark in layout.centres(Resolution.INCH_16)] == [feet(10 * k) for k in range(11)]


def test_an_exact_fit_takes_no_extra_bay():
    # 4 posts of 100 and 3 openings of 2400.
    assert set_out_posts(mm(7600), mm(100), mm(2400)).bays == 3
    assert set_out_posts(mm(7601), mm(100), mm(2400)).bays == 4


def test_a_short_run_is_one_bay():
    assert set_out_posts(mm(1000), mm(100), mm(2400)).opening == 800


@pytest.mark.parametrize(
    ("length", "post", "largest", "says"),
    [
        (0, 90, 2400, "run cannot"),
        (5000, 0, 2400, "post width"),
        (5000, 90, 0, "largest opening"),
        (150, 90, 50, "must be more than 180 mm"),
        (180, 90, 50, "must be more than 180 mm"),
        (260, 90, 50, "nearest is 2 posts, with an opening of 80 mm"),
    ],
)
def test_impossible_runs_are_refused(length, post, largest, says):
    with pytest.raises(ImpossibleError, match=says):
        set_out_posts(mm(length), mm(post), mm(largest))


def test_the_odd_opening_is_named():
    # "One bay is 38 short of the others."
    judged = judge_openings([mm(2400), mm(2362), mm(2400), mm(2405)])
    assert judged.usual == 2400
    assert [(bay.index, bay.difference) for bay in judged.odd] == [(1, -38)]


@pytest.mark.parametrize(("difference", "odd"), [(5, 0), (6, 1), (-5, 0), (-6, 1)])
def test_a_difference_has_to_exceed_the_tolerance(difference, odd):
    assert len(judge_openings([mm(2400), mm(2400), mm(2400 + difference)], mm(5)).odd) == odd


@given(st.lists(lengths(100, 5000), min_size=1, max_size=9), lengths(0, 50))
def test_every_opening_is_either_near_the_usual_or_named(openings, tolerance):
    judged = judge_openings(openings, tolerance)
    assert judged.usual in openings
    named = {bay.index for bay in judged.odd}
    for index, opening in enumerate(openings):
        assert (abs(opening - judged.usual) > tolerance) == (index in named)


def test_nothing_to_judge_is_refused():
    with pytest.raises(ImpossibleError, match="no opening") as raised:
        judge_openings([])
    assert raised.value.problem is Problem.NOTHING_GIVEN
