"""The drawing of a bay, measured: it stands where the exact set-out says."""

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from sample_jobs import FROM_RIGHT, INCH, METRIC, SHARED, bay, confirmed, slipped

from assistant.job import Job
from assistant.measured import Slip
from assistant.paper.elevation import RAIL_HEIGHTS, Part, Picture, Shape, picture
from assistant.plan import set_out_of
from assistant.setout.ends import HALF_GAP, PICKET, set_gap

METRIC_ENDS = Job(settings=replace(METRIC.settings, left=HALF_GAP, right=set_gap(Fraction(20))), bays=METRIC.bays)
PICKETS_AT_POSTS = Job(settings=replace(METRIC.settings, left=PICKET, right=PICKET), bays=METRIC.bays[:1])

LEVEL_BAYS = [
    (name, job, index)
    for name, job in {
        "metric": METRIC,
        "shared": SHARED,
        "from right": FROM_RIGHT,
        "inch": INCH,
        "ends": METRIC_ENDS,
        "pickets at posts": PICKETS_AT_POSTS,
    }.items()
    for index, bay in enumerate(job.bays)
    if bay.gate is None and bay.number not in (4, 8, 9)
]


def across(shape: Shape, height: Fraction) -> tuple[Fraction, Fraction]:
    """The left and right of an upright shape at a height, along its two long edges."""
    (x1, y1), (x2, y2), (x3, y3), (x4, y4) = shape.points
    sides = [a + (b - a) * (height - low) / (high - low) for a, low, b, high in ((x1, y1, x2, y2), (x4, y4, x3, y3))]
    return min(sides), max(sides)


def parts(drawing: Picture, part: Part) -> list[Shape]:
    return [shape for shape in drawing.shapes if shape.part is part]


def spaces(drawing: Picture, height: Fraction) -> list[Fraction]:
    """Every space from the left post to the right one, and nothing else, at a height."""
    posts = [across(post, height) for post in parts(drawing, Part.POST)]
    pickets = sorted(across(picket, height) for picket in parts(drawing, Part.PICKET))
    faces = [posts[0][1], *(edge for both in pickets for edge in both), posts[1][0]]
    return [b - a for a, b in zip(faces[::2], faces[1::2], strict=True)]


@pytest.mark.parametrize(("name", "job", "index"), LEVEL_BAYS)
def test_spaces_on_every_rail_are_those_of_the_set_out(name: str, job: Job, index: int) -> None:
    made = set_out_of(job, index)
    drawing = picture(made)
    for rail in (*made.rails, *made.unmarked):
        found = spaces(drawing, RAIL_HEIGHTS[rail.name])
        assert found == [rail.left_space, *[rail.gap] * (made.count - 1), rail.right_space]
    for shape in parts(drawing, Part.PICKET):
        left, right = across(shape, RAIL_HEIGHTS["bottom"])
        assert right - left == made.bay.picket


def test_openings_that_differ_lean_the_posts() -> None:
    for job in (METRIC, SHARED):
        for index in (1, 2):
            drawing = picture(set_out_of(job, index))
            for name, opening in job.bays[index].openings:
                left, right = (across(post, RAIL_HEIGHTS[name]) for post in parts(drawing, Part.POST))
                assert right[0] - left[1] == opening


def test_a_known_lean_is_drawn_on_its_own_post() -> None:
    for job in (METRIC, SHARED):
        left, right = parts(picture(set_out_of(job, 2)), Part.POST)
        low, high = RAIL_HEIGHTS["bottom"], RAIL_HEIGHTS["top"]
        assert across(right, low) == across(right, high)
        assert across(left, high)[1] - across(left, low)[1] == 12


def test_pickets_are_plumb_or_share_the_lean() -> None:
    for job, plumb in ((METRIC, True), (SHARED, False)):
        for shape in parts(picture(set_out_of(job, 1)), Part.PICKET):
            (foot, _), (head, _), _, _ = shape.points
            assert (foot == head) is plumb


def test_a_raked_bay_rises_with_its_ground_and_keeps_its_pickets_plumb() -> None:
    made = set_out_of(METRIC, 3)
    drawing = picture(made)
    slope = Fraction(700, 2400)
    for shape in parts(drawing, Part.RAIL) + parts(drawing, Part.GROUND):
        (x1, y1), (x2, y2) = shape.points[0], shape.points[-1]
        assert (y2 - y1) / (x2 - x1) == slope
    lefts = []
    for shape in parts(drawing, Part.PICKET):
        (foot, _), (head, _), _, _ = shape.points
        assert foot == head
        lefts.append(foot)
    assert [b - a for a, b in pairwise(lefts)] == [made.rails[0].layout.pitch] * (made.count - 1)


def test_a_stepped_bay_has_level_rails_over_falling_ground() -> None:
    drawing = picture(set_out_of(METRIC, 4))
    for shape in parts(drawing, Part.RAIL):
        assert shape.points[0][1] == shape.points[-1][1]
    (((left, high), (right, low)),) = (shape.points for shape in parts(drawing, Part.GROUND))
    assert (high - low) / (right - left) == Fraction(300, 2400)
    for post in parts(drawing, Part.POST):
        for x, y in (post.points[0], post.points[3]):
            assert y == low + (right - x) * Fraction(300, 2400)
    # Nothing of the fence is under the ground.
    assert min(y for shape in parts(drawing, Part.PICKET) for _, y in shape.points) > 0
    assert high + (0 - left) * Fraction(-300, 2400) == 0


@pytest.mark.parametrize(("index", "leaves", "hinge", "between"), [(5, 1, 6, 12), (6, 2, 6, 10)])
def test_a_gate_hangs_between_its_clearances(index: int, leaves: int, hinge: int, between: int) -> None:
    for job in (METRIC, FROM_RIGHT):
        made = set_out_of(job, index)
        drawing = picture(made)
        found = spaces(drawing, Fraction(600))
        gap, count = made.rails[0].gap, made.count
        one_leaf = [gap] * (count - 1)
        expected = [hinge, *one_leaf, between] if leaves == 1 else [hinge, *one_leaf, between, *one_leaf, hinge]
        assert found == expected
        rails = {(shape.points[0][0], shape.points[-1][0]) for shape in parts(drawing, Part.RAIL)}
        assert len(rails) == leaves


def test_a_slipped_picket_is_drawn_where_it_is() -> None:
    """11 pickets of 90 in 2160 leave gaps of 97.5; by hand, with the fourth at 650.

    Three pitches of 187.5 end at 562.5, so 87.5 stand before the fourth; behind it are 2160 - 740 for seven pickets and eight gaps.
    """
    found = spaces(picture(set_out_of(METRIC, 7)), RAIL_HEIGHTS["bottom"])
    rest = Fraction(2160 - 740 - 7 * 90, 8)
    assert found == [Fraction("97.5")] * 3 + [Fraction("87.5")] + [rest] * 8


def test_several_slips_on_leaning_pickets_are_all_drawn() -> None:
    """Each rail as its own tape reads it, whichever picket slipped first."""
    job = confirmed(Job(SHARED.settings, (bay(1, 2412, 2400),)), 1)
    for picket, low, high in ((3, 500, 490), (7, 1300, 1310), (2, 290, 295)):
        job = slipped(job, 1, Slip(picket, (("bottom", Fraction(low)), ("top", Fraction(high)))))
    shapes = sorted(parts(picture(set_out_of(job, 0)), Part.PICKET), key=lambda shape: shape.points)
    posts = parts(picture(set_out_of(job, 0)), Part.POST)
    for picket, *places in ((2, 290, 295), (3, 500, 490), (7, 1300, 1310)):
        for name, place in zip(("bottom", "top"), places, strict=True):
            height = RAIL_HEIGHTS[name]
            assert across(shapes[picket - 1], height)[0] - across(posts[0], height)[1] == place


def test_numbers_count_from_the_post_the_tape_is_hooked_on() -> None:
    for job, first in ((METRIC, min), (FROM_RIGHT, max)):
        drawing = picture(set_out_of(job, 0))
        one = next(number for number in drawing.numbers if number.text == "1")
        middles = [sum(x for x, _ in shape.points) / 4 for shape in parts(drawing, Part.PICKET)]
        assert one.at[0] == first(middles)


def test_numbers_do_not_run_into_each_other() -> None:
    drawing = picture(set_out_of(METRIC, 9))
    assert [number.text for number in drawing.numbers] == ["1", "5", "10", "15", "20", "25", "31"]
