"""Posts: equal openings, the caution before digging, and each post by its number."""

from __future__ import annotations

import json
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from subject_turns import bay, filled_in, job, kept, said, said_to

from assistant.dialogue.cautions import DIGGING
from assistant.dialogue.state import Asking, Cautioning, Hub
from assistant.dialogue.subjects.post_positions import BY_CENTRES, IN_THE_RUN, POSTS
from assistant.job import BaySet, PostsSet
from assistant.language.vocabulary import Act
from assistant.measured import Gate
from assistant.paper.exports import job_json
from assistant.record.written_facts import from_json, to_json
from assistant.setout.lengths import Resolution, Unit, feet, inches
from assistant.setout.posts import Between, Posts, RunGate, set_out_posts

# Four posts of 100 and three openings of 2400; by hand.
ROW = filled_in(job(), POSTS, run=7600, post=100, opening=2400).job


def test_the_phrase_asks_for_the_run_without_any_bay() -> None:
    turn = said_to(job(), Act.POSTS)
    assert turn.job.draft is not None and turn.job.draft.form == POSTS.key
    assert turn.state.focus == Asking()
    assert said(turn).startswith("Posts. Four questions. How long is the whole run")


def test_posts_are_kept_counted_and_cautioned_for() -> None:
    turn = filled_in(job(), POSTS, run=7600, post=100, opening=2400)
    assert PostsSet(Posts(Fraction(7600), Fraction(100), Fraction(2400))) in turn.facts
    assert turn.job.draft is None
    assert said(turn).startswith("Three bays, four posts. Openings of two thousand four hundred millimetres.")
    assert kept(turn)["Posts"] == (
        "4 posts; run of 7600 mm between outer faces",
        "Openings: 2400 mm, 2400 mm, 2400 mm",
        "From the outer face of the first post: near face, centre, far face",
        "1, end post 100 mm: 0 mm, 50 mm, 100 mm",
        "2, post 100 mm: 2500 mm, 2550 mm, 2600 mm",
        "3, post 100 mm: 5000 mm, 5050 mm, 5100 mm",
        "4, end post 100 mm: 7500 mm, 7550 mm, 7600 mm",
    )
    assert turn.state.focus == Cautioning(DIGGING, Hub())
    assert said(turn).endswith("Say: understood.")


def test_a_hundred_feet_at_ten_feet_take_eleven_posts() -> None:
    # 11, not 10: an agricultural engineering text; posts of 4 inches are ours, so that centres stand ten feet apart.
    turn = filled_in(job(unit=Unit.INCH), POSTS, run=feet(100) + inches(4), post=inches(4), opening=feet(10) - inches(4))
    assert "Ten bays, eleven posts. Openings of one hundred and sixteen inches." in said(turn)


def test_a_post_stands_between_its_near_and_its_far_face() -> None:
    assert said(said_to(ROW, Act.POST, 2)) == (
        "Post two: near face two thousand five hundred, centre two thousand five hundred and fifty, far face two thousand six hundred."
    )


def test_faces_are_called_in_the_unit_of_the_tape() -> None:
    turn = filled_in(job(unit=Unit.INCH, resolution=Resolution.INCH_16), POSTS, run=inches(304), post=inches(4), opening=inches(96))
    told = said(said_to(turn.job, Act.POST, 2))
    assert told == "Post two: near face one hundred, centre one hundred and two, far face one hundred and four."
    turn = filled_in(job(unit=Unit.INCH), POSTS, run=7600, post=100, opening=2400)
    assert kept(turn)["Posts"][4] == "2, post ≈ 3 15/16 in: 2500 mm, 2550 mm, 2600 mm"


@given(st.integers(1000, 30_000), st.integers(40, 300), st.integers(300, 6000))
def test_every_post_that_is_counted_can_be_asked_for_and_no_other(run: int, post: int, opening: int) -> None:
    made = filled_in(job(), POSTS, run=run, post=post, opening=opening).job
    assert made.posts is not None
    assert len(set_out_posts(made.posts).posts) < 1000
    count = 1
    while "there is no post" not in said(said_to(made, Act.POST, count)).lower():
        count += 1
    assert (count - 2) * opening + (count - 1) * post >= run  # one bay fewer would need a larger opening …
    assert (count - 1) * post < run  # … and there is room between them


def test_a_post_that_is_not_there_is_named_with_how_many_there_are() -> None:
    assert said(said_to(ROW, Act.POST, 5)) == "There is no post five; there are four."
    assert said(said_to(ROW, Act.POST, 0)) == "There is no post zero; there are four."
    assert said(said_to(job(), Act.POST, 1)) == "The posts are not set out yet. Say: post positions."


def test_posts_by_centres_with_wider_end_posts() -> None:
    # By hand: 8000 less half of 120 twice is 7880 from centre to centre, four times 1970.
    turn = filled_in(job(), BY_CENTRES, run=8000, post=100, end_post=120, centres=2500)
    assert PostsSet(Posts(Fraction(8000), Fraction(100), Fraction(2500), Fraction(120), by_centres=True)) in turn.facts
    assert said(turn).startswith(
        "Four bays, five posts. One opening of one thousand eight hundred and sixty millimetres. "
        "Then two openings of one thousand eight hundred and seventy millimetres. Then one opening of"
    )
    assert said(said_to(turn.job, Act.POST, 1)) == "Post one, end post: near face zero, centre sixty, far face one hundred and twenty."


def test_full_bays_and_a_rest_and_equal_bays_again() -> None:
    # By hand: 8000 is five posts of 100 and 7500: three openings of 2400 and 300 left.
    made = filled_in(job(), POSTS, run=8000, post=100, end_post=100, opening=2400).job
    turn = said_to(made, Act.POSTS_REST)
    assert "Three openings of two thousand four hundred millimetres. Then one opening of three hundred millimetres." in said(turn)
    assert "Openings of one thousand eight hundred and seventy five millimetres." in said(said_to(turn.job, Act.POSTS_EQUAL))


def test_a_run_measured_between_centres_or_inside() -> None:
    # By hand: 7600 over the posts is 7500 between centres and 7400 inside.
    for act, run in ((Act.POSTS_BETWEEN, 7500), (Act.POSTS_INSIDE, 7400)):
        made = filled_in(job(), POSTS, run=run, post=100, end_post=100, opening=2400).job
        turn = said_to(made, act)
        assert "Three bays, four posts. Openings of two thousand four hundred millimetres." in said(turn)
        assert turn.job.posts is not None and set_out_posts(turn.job.posts) == set_out_posts(ROW.posts)
        assert said_to(turn.job, Act.POSTS_OVER).job.posts == made.posts
    assert turn.job.posts.between is Between.INNER_FACES


def test_a_gate_among_the_posts_stays_where_it_was_put() -> None:
    # By hand, as in the tests of the arithmetic: two openings of 1830, the gate, two of 2330.
    made = filled_in(job(), POSTS, run=10000, post=100, end_post=120, opening=2400).job
    assert said(said_to(made, Act.POSTS_GATE)).startswith("Gate in the run. How far from the first post's outer face")
    turn = filled_in(made, IN_THE_RUN, start=4000, gate=1000)
    assert said(turn).startswith(
        "Four bays, one gate, six posts. Two of them are gate posts. Two openings of one thousand eight hundred and thirty millimetres. "
        "Then two openings of two thousand three hundred and thirty millimetres."
    )
    assert said(said_to(turn.job, Act.POST, 3)).startswith("Post three, gate post: near face three thousand eight hundred and eighty,")
    assert kept(turn)["Posts"][1] == "Openings: 1830 mm, 1830 mm, gate 1000 mm, 2330 mm, 2330 mm"
    again = filled_in(turn.job, IN_THE_RUN, start=4000, gate=1200).job
    assert again.posts is not None and again.posts.gates == (RunGate(Fraction(4000), Fraction(1200)),)
    two = filled_in(again, IN_THE_RUN, start=120, gate=900).job
    assert two.posts is not None and [one.start for one in two.posts.gates] == [120, 4000]


def test_how_many_posts_is_answered_from_what_is_known() -> None:
    assert said(said_to(ROW, Act.HOW_MANY_POSTS)) == "Three bays, four posts."
    assert said(said_to(job(bay(1, 2400), bay(2, 1000), bay(3, 2400)), Act.HOW_MANY_POSTS)) == "Four posts, if the bays stand in one row."
    assert said(said_to(job(), Act.HOW_MANY_POSTS)).startswith("Posts. Four questions. How long is the whole run")


@pytest.mark.parametrize("act", [Act.POSTS_REST, Act.POSTS_EQUAL, Act.POSTS_GATE, Act.POSTS_OVER])
def test_without_posts_it_is_said_how_to_set_them_out(act: Act) -> None:
    assert said(said_to(job(), act)) == "The posts are not set out yet. Say: post positions."


def test_posts_are_exported_exactly() -> None:
    turn = filled_in(job(), POSTS, run=7601, post=100, end_post=120, opening=2400)
    exported = json.loads(job_json(turn.job, "t", "d"))["posts"]
    assert exported[0] == {"kind": "END", "near": "0/1", "width": "120/1"}
    assert sum(Fraction(one["width"]) for one in exported) == 2 * 120 + 2 * 100
    assert Fraction(exported[-1]["near"]) + 120 == 7601
    assert json.loads(job_json(job(), "t", "d"))["posts"] is None


def test_records_of_before_stay_readable() -> None:
    """Posts with three lengths and a gate without a hinge side, as they were written before there was more to say."""
    text = '{"schema_version":2,"fact":{"kind":"posts_set","posts":{"run":"7600/1","post":"100/1","opening":"2400/1"}}}'
    assert from_json(text) == PostsSet(Posts(Fraction(7600), Fraction(100), Fraction(2400)))
    now = json.loads(to_json(BaySet(0, bay(1, 1000, gate=Gate(Fraction(6), Fraction(12))))))
    del now["fact"]["bay"]["gate"]["hinges"]
    assert from_json(json.dumps(now)) == BaySet(0, bay(1, 1000, gate=Gate(Fraction(6), Fraction(12))))
