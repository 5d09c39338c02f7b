"""One row past the posts: its pickets, what covers each post, and marks taken afresh from each."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from subject_turns import bay, filled_in, job, kept, said, said_to

from assistant.dialogue.subjects.continuous_run import CONTINUOUS
from assistant.language.vocabulary import Act
from assistant.measured import Gate
from assistant.setout.ends import PICKET
from assistant.setout.lengths import Unit, inches
from assistant.setout.limits import GapLimit
from assistant.setout.trouble import ImpossibleError


def test_the_phrase_needs_a_bay() -> None:
    assert said(said_to(job(bay(1, 2400)), Act.CONTINUOUS)) == "Continuous run. How wide is a post?"
    with pytest.raises(ImpossibleError, match="no bay yet"):
        said_to(job(), Act.CONTINUOUS)


def test_a_row_over_three_posts() -> None:
    # By hand: 100 + 1815 + 100 + 1815 + 100 is 3930; 21 pickets of 90 leave 22 gaps of 92.73; post two begins at 1915.
    turn = filled_in(job(bay(1, 1815), bay(2, 1815, 1810)), CONTINUOUS, post=100)
    assert kept(turn)["Row past the posts"] == (
        "One row of twenty one pickets over three posts, gap about ninety two point seven millimetres.",
        "Post one is behind picket one.",
        "Post two is behind picket eleven.",
        "Post three is behind picket twenty one.",
    )
    second = kept(turn)["Row past the posts, marks from 1915 mm"]
    assert second[0].startswith("11: 5 mm, 12: 188 mm")  # 92.73 + 10 pitches of 182.73 is 1920
    assert turn.job.draft is None


def test_a_published_row_with_a_picket_at_both_ends() -> None:
    # hammerzone.com fence section 8: 96 in, 12 pickets of 5.5, picket at both ends, gap 30/11; two posts of 4 stand behind it.
    wide = bay(1, inches(88), picket=inches("5.5"), limit=GapLimit(inches(3), strict=False))
    turn = filled_in(job(wide, unit=Unit.INCH, left=PICKET, right=PICKET), CONTINUOUS, post=inches(4))
    assert said(turn).startswith("One row of twelve pickets over two posts, gap about two and twenty three thirty seconds inches.")


def test_a_row_stops_at_a_gate_and_begins_again_behind_it() -> None:
    # By hand: 100 + 1815 + 100 is 2015 before the gate, 11 pickets of 90 and 12 gaps of 85.42; 100 + 2400 + 100 is 2600 behind it, 14 and
    # 89.33, the last at 14 gaps and 13 pickets.
    hung = Gate(Fraction(6), Fraction(12))
    turn = filled_in(job(bay(1, 1815), bay(2, 1000, gate=hung), bay(3, 2400)), CONTINUOUS, post=100)
    assert kept(turn)["Row past the posts, bay 1 to bay 1"] == (
        "Row one of eleven pickets over two posts, gap about eighty five point four millimetres.",
        "Post one is behind picket one.",
        "Post two is behind picket eleven.",
    )
    assert kept(turn)["Row past the posts, bay 3 to bay 3"][:2] == (
        "Row two of fourteen pickets over two posts, gap about eighty nine point three millimetres.",
        "Post three is behind picket one.",
    )
    assert kept(turn)["Row past the posts, bay 3 to bay 3, marks from 0 mm"][0].endswith("14: 2421 mm")


@given(st.lists(st.integers(300, 3000), min_size=1, max_size=4), st.integers(40, 150))
def test_every_picket_is_marked_once_from_the_post_before_it(openings: list[int], width: int) -> None:
    made = job(*(bay(number, opening) for number, opening in enumerate(openings, start=1)))
    turn = filled_in(made, CONTINUOUS, post=width)
    places: dict[int, int] = {}
    for title, lines in kept(turn).items():
        if "marks from" in title:
            start = int(title.split()[-2])
            for text in lines[0].split(", "):
                number, mark = text.removesuffix(" mm").split(": ")
                assert int(number) not in places
                places[int(number)] = start + int(mark)
    assert list(places) == sorted(places) == list(range(1, len(places) + 1))
    steps = [places[number + 1] - places[number] for number in range(1, len(places))]
    assert max(steps) - min(steps) <= 2  # each mark is rounded once
    assert max(steps) <= 90 + 100 + 1
