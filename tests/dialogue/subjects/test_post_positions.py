"""Posts: equal openings, the caution before digging, and each post by its number."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st
from subject_turns import filled_in, job, kept, said, said_to

from assistant.dialogue.cautions import DIGGING
from assistant.dialogue.state import Asking, Cautioning, Hub
from assistant.dialogue.subjects.post_positions import POSTS
from assistant.job import Posts, PostsSet
from assistant.language.vocabulary import Act
from assistant.setout.lengths import Resolution, Unit, feet, inches

# Four posts of 100 and three openings of 2400; by hand.
ROW = filled_in(job(), POSTS, run=7600, post=100, opening=2400).job


def test_the_phrase_asks_for_the_run_without_any_bay() -> None:
    turn = said_to(job(), Act.POSTS)
    assert turn.job.draft is not None and turn.job.draft.form == POSTS.key
    assert turn.state.focus == Asking()
    assert said(turn).startswith("Posts. How long is the whole run")


def test_posts_are_kept_counted_and_cautioned_for() -> None:
    turn = filled_in(job(), POSTS, run=7600, post=100, opening=2400)
    assert PostsSet(Posts(Fraction(7600), Fraction(100), Fraction(2400))) in turn.facts
    assert turn.job.draft is None
    assert said(turn).startswith("Three bays, four posts, openings of two thousand four hundred millimetres.")
    assert kept(turn)["Post centres, from the outer face of the first post"] == ("1: 50 mm, 2: 2550 mm, 3: 5050 mm, 4: 7550 mm",)
    assert turn.state.focus == Cautioning(DIGGING, Hub())
    assert said(turn).endswith("Say: understood.")


def test_a_hundred_feet_at_ten_feet_take_eleven_posts() -> None:
    # 11, not 10: an agricultural engineering text; posts of 4 inches are ours, so that centres stand ten feet apart.
    turn = filled_in(job(unit=Unit.INCH), POSTS, run=feet(100) + inches(4), post=inches(4), opening=feet(10) - inches(4))
    assert "Ten bays, eleven posts, openings of one hundred and sixteen inches." in said(turn)


def test_a_post_stands_between_its_near_and_its_far_face() -> None:
    assert said(said_to(ROW, Act.POST, 2)) == (
        "Post two: near face two thousand five hundred, centre two thousand five hundred and fifty, far face two thousand six hundred."
    )


def test_faces_are_called_in_the_unit_of_the_tape() -> None:
    turn = filled_in(job(unit=Unit.INCH, resolution=Resolution.INCH_16), POSTS, run=inches(304), post=inches(4), opening=inches(96))
    told = said(said_to(turn.job, Act.POST, 2))
    assert told == "Post two: near face one hundred, centre one hundred and two, far face one hundred and four."
    turn = filled_in(job(unit=Unit.INCH), POSTS, run=7600, post=100, opening=2400)
    centres = kept(turn)["Post centres, from the outer face of the first post"]
    assert centres == ("1: 50 mm, 2: 2550 mm, 3: 5050 mm, 4: 7550 mm",)


@given(st.integers(1000, 30_000), st.integers(40, 300), st.integers(300, 6000))
def test_every_post_that_is_counted_can_be_asked_for_and_no_other(run: int, post: int, opening: int) -> None:
    made = filled_in(job(), POSTS, run=run, post=post, opening=opening).job
    assert made.posts is not None
    count = 1
    while "there is no post" not in said(said_to(made, Act.POST, count)).lower():
        count += 1
    assert (count - 2) * opening + (count - 1) * post >= run  # one bay fewer would need a larger opening …
    assert (count - 1) * post < run  # … and there is room between them


def test_a_post_that_is_not_there_is_named_with_how_many_there_are() -> None:
    assert said(said_to(ROW, Act.POST, 5)) == "There is no post five; there are four."
    assert said(said_to(ROW, Act.POST, 0)) == "There is no post zero; there are four."
    assert said(said_to(job(), Act.POST, 1)) == "The posts are not set out yet. Say: post positions."
