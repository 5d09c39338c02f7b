"""The drawing of a bay, measured: it stands where the exact set-out says."""

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from sample_jobs import FROM_RIGHT, INCH, METRIC, SHARED

from assistant.job import Job
from assistant.paper.elevation import RAIL_HEIGHTS, Part, Picture, Shape, picture
from assistant.plan import plan_bay
from assistant.setout.ends import HALF_GAP, PICKET, set_gap

METRIC_ENDS = replace(METRIC, settings=replace(METRIC.settings, left=HALF_GAP, right=set_gap(Fraction(20))))
PICKETS_AT_POSTS = replace(METRIC, bays=METRIC.bays[:1], settings=replace(METRIC.settings, left=PICKET, right=PICKET))

LEVEL_BAYS = [
    (name, job, index)
    for name, job in {
        "metric": METRIC, "shared": SHARED, "from right": FROM_RIGHT, "inch": INCH, "ends": METRIC_ENDS,
        "pickets at posts": PICKETS_AT_POSTS,
    }.items()
    for index, bay in enumerate(job.bays)
    if bay.gate is None and bay.slip is None and bay.number not in (4, 9)
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
def test_spaces_on_every_rail_are_those_of_the_plan(name: str, job: Job, index: int) -> None:
    plan = plan_bay(job, index)
    drawing = picture(plan, job.settings)
    for rail in plan.rails:
        found = spaces(drawing, RAIL_HEIGHTS[rail.rail])
        assert found == [rail.left_space, *[rail.gap] * (plan.count - 1), rail.right_space]
    for shape in parts(drawing, Part.PICKET):
        left, right = across(shape, RAIL_HEIGHTS["bottom"])
        assert right - left == plan.bay.picket


def test_openings_that_differ_lean_the_posts() -> None:
    for job in (METRIC, SHARED):
        for index in (1, 2):
            drawing = picture(plan_bay(job, index), job.settings)
            for name, opening in job.bays[index].openings:
                left, right = (across(post, RAIL_HEIGHTS[name]) for post in parts(drawing, Part.POST))
                assert right[0] - left[1] == opening


def test_a_known_lean_is_drawn_on_its_own_post() -> None:
    for job in (METRIC, SHARED):
        left, right = parts(picture(plan_bay(job, 2), job.settings), Part.POST)
        low, high = RAIL_HEIGHTS["bottom"], RAIL_HEIGHTS["top"]
        assert across(right, low) == across(right, high)
        assert across(left, high)[1] - across(left, low)[1] == 12


def test_pickets_are_plumb_or_share_the_lean() -> None:
    for job, plumb in ((METRIC, True), (SHARED, False)):
        for shape in parts(picture(plan_bay(job, 1), job.settings), Part.PICKET):
            (foot, _), (head, _), _, _ = shape.points
            assert (foot == head) is plumb


def test_a_raked_bay_rises_with_its_ground_and_keeps_its_pickets_plumb() -> None:
    plan = plan_bay(METRIC, 3)
    drawing = picture(plan, METRIC.settings)
    slope = Fraction(700, 2400)
    for shape in parts(drawing, Part.RAIL) + parts(drawing, Part.GROUND):
        (x1, y1), (x2, y2) = shape.points[0], shape.points[-1]
        assert (y2 - y1) / (x2 - x1) == slope
    lefts = []
    for shape in parts(drawing, Part.PICKET):
        (foot, _), (head, _), _, _ = shape.points
        assert foot == head
        lefts.append(foot)
    assert [b - a for a, b in pairwise(lefts)] == [plan.rails[0].layout.pitch] * (plan.count - 1)


def test_a_stepped_bay_has_level_rails_over_falling_ground() -> None:
    drawing = picture(plan_bay(METRIC, 4), METRIC.settings)
    for shape in parts(drawing, Part.RAIL):
        assert shape.points[0][1] == shape.points[-1][1]
    ((left, high), (right, low)), = (shape.points for shape in parts(drawing, Part.GROUND))
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
        plan = plan_bay(job, index)
        drawing = picture(plan, job.settings)
        found = spaces(drawing, Fraction(600))
        gap, count = plan.rails[0].gap, plan.count
        one_leaf = [gap] * (count - 1)
        expected = [hinge, *one_leaf, between] if leaves == 1 else [hinge, *one_leaf, between, *one_leaf, hinge]
        assert found == expected
        rails = {(shape.points[0][0], shape.points[-1][0]) for shape in parts(drawing, Part.RAIL)}
        assert len(rails) == leaves


def test_a_slipped_picket_is_drawn_where_it_is() -> None:
    plan = plan_bay(METRIC, 7)
    found = spaces(picture(plan, METRIC.settings), RAIL_HEIGHTS["bottom"])
    again = plan.rails[0].respaced
    assert again is not None
    before = plan.rails[0].layout.gap
    assert found == [before, before, before, again.last_space, *[again.gap] * 7, again.right_space]
    assert sum(found[:4]) + 3 * 90 == 650


def test_numbers_count_from_the_post_the_tape_is_hooked_on() -> None:
    for job, first in ((METRIC, min), (FROM_RIGHT, max)):
        drawing = picture(plan_bay(job, 0), job.settings)
        one = next(number for number in drawing.numbers if number.text == "1")
        middles = [sum(x for x, _ in shape.points) / 4 for shape in parts(drawing, Part.PICKET)]
        assert one.at[0] == first(middles)


def test_numbers_do_not_run_into_each_other() -> None:
    drawing = picture(plan_bay(METRIC, 9), METRIC.settings)
    assert [number.text for number in drawing.numbers] == ["1", "5", "10", "15", "20", "25", "31"]
