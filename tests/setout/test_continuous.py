"""A row that runs past its posts: every mark once, from the nearest start to its left."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import layouts, lengths, resolutions

from assistant.setout.continuous import Post, in_front_of, sections
from assistant.setout.ends import PICKET
from assistant.setout.lengths import Resolution, inches, mm
from assistant.setout.limits import GapLimit
from assistant.setout.marks import Edge, Origin, marks
from assistant.setout.spacing import Bay, layout_for_count
from assistant.setout.trouble import ImpossibleError

ROW = layout_for_count(Bay(mm(1000), mm(100), GapLimit(mm(100), strict=False), PICKET, PICKET), 6)  # gaps of 80


@st.composite
def rows(draw):
    layout = draw(layouts(most_pickets=30))
    width = layout.bay.opening / 20
    places = draw(st.lists(st.integers(0, 19), unique=True, max_size=5).map(sorted))
    return layout, [Post(place * width, draw(lengths(0, 100)) * width / 100) for place in places]


@given(rows(), st.sampled_from(Edge), resolutions)
def test_starts_and_distances_add_up_to_the_running_marks(row, edge, resolution):
    layout, posts = row
    made = [(s.start + mark.true, mark.index) for s in sections(layout, posts, edge, resolution) for mark in s.marks]
    assert made == [(mark.true, mark.index) for mark in marks(layout, edge, Origin.LEFT, resolution)]


@given(rows(), st.sampled_from(Edge), resolutions)
def test_each_mark_is_taken_from_the_nearest_start_to_its_left(row, edge, resolution):
    layout, posts = row
    made = sections(layout, posts, edge, resolution)
    starts = [section.start for section in made]
    assert starts == sorted({Fraction(0), *(post.left for post in posts)})
    for section, following in zip(made, [*starts[1:], layout.bay.opening + 1], strict=True):
        for mark in section.marks:
            assert section.start <= section.start + mark.true < following
            assert abs(mark.value - mark.true) * 2 <= resolution.step


@given(rows())
def test_pickets_in_front_of_a_post_overlap_its_face(row):
    layout, posts = row
    lefts = [layout.left_space + k * layout.pitch for k in range(layout.count)]
    for post in posts:
        expected = [k + 1 for k, left in enumerate(lefts) if left < post.left + post.width and left + layout.bay.picket > post.left]
        if post.width:
            assert list(in_front_of(layout, post)) == expected


def test_a_picket_that_only_touches_a_post_does_not_cover_it():
    # Pickets stand at 0-100, 180-280, 360-460 and so on.
    assert in_front_of(ROW, Post(mm(100), mm(80))) == ()
    assert in_front_of(ROW, Post(mm(100), mm(81))) == (2,)
    assert in_front_of(ROW, Post(mm(99), mm(81))) == (1,)
    assert in_front_of(ROW, Post(mm(200), mm(200))) == (2, 3)


def test_sections_of_a_row():
    made = sections(ROW, [Post(mm(0), mm(90)), Post(mm(460), mm(90))], Edge.LEFT, Resolution.MM_1)
    assert [(section.start, [mark.value for mark in section.marks]) for section in made] == [
        (0, [0, 180, 360]),
        (460, [80, 260, 440]),
    ]
    assert [mark.index for section in made for mark in section.marks] == [1, 2, 3, 4, 5, 6]


def test_a_published_row_ends_on_its_end():
    # hammerzone.com fence section 8: 96 in, 12 pickets of 5.5, picket at both ends, gap 30/11.
    bay = Bay(inches(96), inches("5.5"), GapLimit(inches(4), strict=False), PICKET, PICKET)
    made = sections(layout_for_count(bay, 12), [Post(inches(48), inches("3.5"))], Edge.RIGHT, Resolution.INCH_16)
    assert made[-1].start + made[-1].marks[-1].value == inches(96)


@pytest.mark.parametrize("posts", [[(500, 90), (400, 90)], [(500, 90), (580, 90)], [(950, 90)], [(-10, 90)]])
def test_posts_out_of_order_or_off_the_row_are_refused(posts):
    with pytest.raises(ImpossibleError, match="left to right"):
        sections(ROW, [Post(mm(left), mm(width)) for left, width in posts], Edge.LEFT, Resolution.MM_1)
