"""Posts stand in equal openings, as few as the largest opening allows; odd openings are found."""

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import lengths, resolutions

from assistant.setout.lengths import feet, inches, mm
from assistant.setout.posts import Between, PostKind, Posts, RunGate, judge_openings, set_out_posts
from assistant.setout.trouble import ImpossibleError, Problem

runs = st.builds(
    Posts, lengths(3000, 60_000), lengths(20, 200), lengths(300, 3000), st.none() | lengths(20, 200), st.sampled_from(Between),
    st.booleans(),
)  # fmt: skip


def outside(wanted):
    """What lies between the end posts' outer faces beyond the run, by the meaning of its three measures."""
    return {Between.OUTER_FACES: 0, Between.CENTRES: wanted.strong, Between.INNER_FACES: 2 * wanted.strong}[wanted.between]


@given(runs)
def test_posts_and_openings_fill_the_run_exactly(wanted):
    row = set_out_posts(wanted)
    assert sum(row.openings) + sum(post.width for post in row.posts) == row.overall == wanted.run + outside(wanted)
    assert (row.posts[0].near, len(row.posts)) == (0, len(row.openings) + 1)
    assert min(row.openings) > 0
    strong = {post.width for post in (row.posts[0], row.posts[-1])}
    assert strong == {wanted.strong}
    assert {post.width for post in row.posts[1:-1]} <= {wanted.post}


@given(runs)
def test_what_the_run_goes_by_is_equal_and_no_larger_than_allowed(wanted):
    row = set_out_posts(wanted)
    centres = [post.centre for post in row.posts]
    apart = {after - before for before, after in pairwise(centres)} if wanted.by_centres else set(row.openings)
    assert len(apart) == 1
    assert max(apart) <= wanted.opening


@given(runs)
def test_one_bay_fewer_would_be_too_wide(wanted):
    row = set_out_posts(wanted)
    fewer = len(row.bays) - 1
    if fewer:
        inner = row.overall - 2 * wanted.strong
        over = (inner + wanted.strong) / fewer if wanted.by_centres else (inner - (fewer - 1) * wanted.post) / fewer
        assert over > wanted.opening


@given(runs)
def test_full_bays_come_first_and_the_rest_last(wanted):
    try:
        row = set_out_posts(replace(wanted, rest=True))
    except ImpossibleError:
        return
    equal = set_out_posts(wanted)
    assert len(row.posts) == len(equal.posts)
    centres = [post.centre for post in row.posts]
    apart = [after - before for before, after in pairwise(centres)] if wanted.by_centres else list(row.openings)
    assert set(apart[:-1]) <= {wanted.opening}
    assert 0 < apart[-1] <= wanted.opening
    assert row.overall == equal.overall


@given(runs, resolutions)
def test_running_marks_are_rounded_once_from_where_a_post_stands(wanted, resolution):
    place = Fraction(0)
    row = set_out_posts(wanted)
    for number, post in enumerate(row.posts, start=1):
        near, centre, far = post.marks(number, resolution)
        assert (near.true, centre.true, far.true) == (place, place + post.width / 2, place + post.width)
        assert abs(near.value - place) * 2 <= resolution.step
        place += post.width + (row.openings[number - 1] if number < len(row.posts) else 0)


@given(runs, st.integers(1, 9), lengths(500, 3000))
def test_a_gate_stands_where_it_was_put_and_both_sides_are_full(wanted, tenths, opening):
    start = wanted.overall * tenths / 10
    wanted = replace(wanted, gates=(RunGate(start, opening),))
    try:
        row = set_out_posts(wanted)
    except ImpossibleError:
        # One of the sides holds no bay between two posts.
        assert min(start, wanted.overall - start - opening) < 2 * max(wanted.strong, wanted.post) + wanted.opening
        return
    (at,) = row.gates
    hinge, latch = row.posts[at], row.posts[at + 1]
    assert (hinge.far, latch.near) == (start, start + opening)
    assert hinge.kind is latch.kind is PostKind.GATE
    assert row.overall == wanted.overall
    assert sum(row.openings) + sum(post.width for post in row.posts) == row.overall
    assert len(row.bays) == len(row.openings) - 1


def test_gates_may_stand_side_by_side_and_at_the_end_of_the_run():
    # By hand: posts of 120 at 0, 1120 and 2240; behind them 7640 less two more bays' posts of 100 in four equal openings.
    gates = (RunGate(mm(120), mm(1000)), RunGate(mm(1240), mm(1000)))
    row = set_out_posts(Posts(mm(10000), mm(100), mm(2400), mm(120), gates=gates))
    assert [post.near for post in row.posts] == [0, 1120, 2240, 4165, 6070, 7975, 9880]
    assert row.openings == (1000, 1000, 1805, 1805, 1805, 1805)
    assert row.gates == {0, 1}
    assert row.of_kind(PostKind.GATE) == 3


def test_a_gate_in_the_middle_by_hand():
    # 3880 to the gate post, less the end post: 3760 and one post of 100 between two openings of 1830; 5000 on: 2330 twice.
    row = set_out_posts(Posts(mm(10000), mm(100), mm(2400), mm(120), gates=(RunGate(mm(4000), mm(1000)),)))
    assert row.openings == (1830, 1830, 1000, 2330, 2330)
    assert [post.kind.value for post in row.posts] == ["end post", "post", "gate post", "gate post", "post", "end post"]


def test_a_hundred_feet_at_ten_takes_eleven_posts():
    # Agricultural engineering text: posts for 100 ft at 10 ft are 11, not 10; the 4 in post is ours.
    for by_centres, largest in ((False, feet(10) - inches(4)), (True, feet(10))):
        row = set_out_posts(Posts(feet(100), inches(4), largest, between=Between.CENTRES, by_centres=by_centres))
        assert (len(row.posts), len(row.bays)) == (11, 10)
        assert [post.centre - inches(2) for post in row.posts] == [feet(10 * k) for k in range(11)]


def test_published_counts_by_centres():
    # wern-wood.com (read): a 10 m fence in bays of 1.83 m has 6 bays, so 7 posts.
    row = set_out_posts(Posts(mm(10_000), mm(75), mm(1830), between=Between.CENTRES, by_centres=True))
    assert (len(row.bays), len(row.posts)) == (6, 7)
    # hooverfence.com, estimating split rail (read): 75 ft at 8 ft on centres is 9.375, so 10 sections and 9 line posts.
    row = set_out_posts(Posts(feet(75), inches(4), feet(8), between=Between.CENTRES, by_centres=True))
    assert (len(row.bays), row.of_kind(PostKind.LINE)) == (10, 9)


def test_an_exact_fit_takes_no_extra_bay():
    # 4 posts of 100 and 3 openings of 2400.
    assert len(set_out_posts(Posts(mm(7600), mm(100), mm(2400))).bays) == 3
    assert len(set_out_posts(Posts(mm(7601), mm(100), mm(2400))).bays) == 4


def test_centres_are_alike_though_end_posts_are_wider():
    # By hand: 8000 less half of 120 twice is 7880 from centre to centre, four times 1970.
    row = set_out_posts(Posts(mm(8000), mm(100), mm(2500), mm(120), by_centres=True))
    assert [post.centre for post in row.posts] == [60, 2030, 4000, 5970, 7940]
    assert row.openings == (1860, 1870, 1870, 1860)


def test_full_bays_and_a_rest_by_hand():
    row = set_out_posts(Posts(mm(8000), mm(100), mm(2400), rest=True))
    assert row.openings == (2400, 2400, 2400, 300)


def test_a_short_run_is_one_bay():
    assert set_out_posts(Posts(mm(1000), mm(100), mm(2400))).openings == (800,)


@pytest.mark.parametrize(
    ("run", "post", "largest", "more", "says"),
    [
        (0, 90, 2400, {}, "run cannot"),
        (5000, 0, 2400, {}, "post width"),
        (5000, 90, 0, {}, "largest distance"),
        (5000, 90, 2400, {"end_post": mm(0)}, "end post width"),
        (5000, 90, 2400, {"gates": (RunGate(mm(2000), mm(0)),)}, "gate opening"),
        (150, 90, 50, {}, "must be more than 180 mm"),
        (180, 90, 50, {}, "must be more than 180 mm"),
        (260, 90, 50, {}, "nearest is 2 posts, with an opening of 80 mm"),
        (5150, 100, 2400, {"rest": True}, "Take equal bays"),
        (9000, 100, 2400, {"gates": (RunGate(mm(150), mm(1000)),)}, "From 0 mm to 150 mm there is no room for two posts of 100 mm"),
        (9000, 100, 2400, {"gates": (RunGate(mm(8500), mm(1000)),)}, "Put the gate elsewhere"),
        (1_000_000, 90, 50, {}, "7144 posts. The most is 1000"),
    ],
)
def test_impossible_runs_are_refused(run, post, largest, more, says):
    wanted = Posts(mm(run), mm(post), mm(largest), **more)
    with pytest.raises(ImpossibleError, match=says):
        set_out_posts(wanted)


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
