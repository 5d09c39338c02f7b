"""Dimension lines: each ends where the set-out says, is written with what it measures, and runs into no other."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations, pairwise

import pytest
from sample_jobs import FEET, FROM_RIGHT, INCH, METRIC, SHARED, bay

from assistant.job import Job
from assistant.measured import Slope
from assistant.paper.bay_drawing import bay_drawing
from assistant.paper.dimensions import Label, width_of
from assistant.paper.elevation import Part, levels_of
from assistant.paper.fitted import Drawing, corners
from assistant.paper.run_drawing import places, run_lines, whole_run
from assistant.plan import set_out_of
from assistant.set_out import SetOut
from assistant.written import length_text, measured_text

THREE = Job(SHARED.settings, (bay(1, 2412, 2406, 2400), bay(2, 11_500, 11_506, 11_512)))
BAYS = [
    pytest.param(set_out_of(job, index), id=f"{name} {job.bays[index].name}")
    for name, job in {"metric": METRIC, "shared": SHARED, "right": FROM_RIGHT, "inch": INCH, "feet": FEET, "three": THREE}.items()
    for index in range(len(job.bays))
    if job.bays[index].number != 9
]
PLACES = {"paper": (186.0, 75.0, 3.1), "phone": (328.0, 420.0, 12.0)}


def ticks(drawing: Drawing) -> list[tuple[float, float]]:
    """The middle of every tick: a short line at 45 degrees."""
    short = [line for line in drawing.lines if abs(abs(line.start[0] - line.end[0]) - 0.56 * drawing.size) < 1e-6]
    return [((line.start[0] + line.end[0]) / 2, (line.start[1] + line.end[1]) / 2) for line in short]


def measured(drawing: Drawing, label: Label) -> list[float]:
    """Every length between two ticks of the row that a text stands in."""
    row = sorted(x for x, y in ticks(drawing) if abs(y - (label.at[1] - 0.22 * drawing.size)) < 0.01 * drawing.size)
    return [b - a for a, b in combinations(row, 2)]


@pytest.mark.parametrize("made", BAYS)
@pytest.mark.parametrize("place", PLACES.values(), ids=PLACES)
def test_what_is_written_is_what_lies_between_the_ticks(made: SetOut, place: tuple[float, float, float]) -> None:
    drawing = bay_drawing(made, *place)
    rail, picket = made.rails[0], made.bay.picket
    lowest = next(one for one in (*made.rails, *made.unmarked) if made.gate or one.name == made.bay.openings[0][0])
    wanted: dict[str, set[Fraction]] = {
        "opening": {value for _, value in made.bay.openings},
        "picket": {picket},
        "gap": {*lowest.spaces[1:-1], *rail.spaces[1:-1]},
        "end space": {lowest.left_space, lowest.right_space},
        "pitch": {lowest.gap + picket},
    }
    if made.gate:
        wanted |= {"leaf": {made.gate.opening.leaf}, "hinge": {made.gate.opening.hinge}}
        wanted["end space"] = set()
    level = [label for label in drawing.labels if not label.turned and not label.heavy and "rake" not in label.text]
    for what, lengths in wanted.items():
        labels = [label for label in level if label.text.startswith(what) or f"{what} " in label.text.partition(" ")[2]]
        assert bool(labels) is bool(lengths), what
        for label in labels:
            # Over the bay stand the rails that are not like the lowest, each with its own.
            others = {length for rail in made.rails for length in (rail.gap, *rail.spaces)} if label.at[1] > 0 else set()
            assert any(abs(found - float(length)) < 1e-6 for found in measured(drawing, label) for length in lengths | others), label.text


@pytest.mark.parametrize("made", BAYS)
@pytest.mark.parametrize("place", PLACES.values(), ids=PLACES)
def test_no_text_runs_into_another_or_out_of_the_drawing(made: SetOut, place: tuple[float, float, float]) -> None:
    drawing = bay_drawing(made, *place)
    boxes = []
    for label in drawing.labels:
        if not label.turned:
            spots = corners(label, drawing.size)
            across, up = [x for x, _ in spots], [y for _, y in spots]
            boxes.append((label.text, min(across), min(up), max(across), max(up)))
    left, bottom, right, top = drawing.box
    for _, x1, y1, x2, y2 in boxes:
        assert left <= x1 and bottom <= y1 and x2 <= right and y2 <= top
    for (one, a, b, c, d), (other, e, f, g, h) in combinations(boxes, 2):
        assert c <= e or g <= a or d <= f or h <= b or {one, other} & {"1"}, (one, other)


@pytest.mark.parametrize("made", BAYS)
def test_text_is_as_high_as_asked_or_nearly(made: SetOut) -> None:
    """At least 2 mm on paper and 10 px on a phone."""
    for (width, height, _), least in zip(PLACES.values(), (2.0, 10.0), strict=True):
        drawing = bay_drawing(made, width, height, 3.1 if width == 186 else 12.0)
        assert drawing.size * min(width / drawing.width, height / drawing.height) >= least


def test_a_raked_bay_has_its_angle_and_the_tape_along_its_rail() -> None:
    """Rise 700 on 2400: the triangle 7, 24, 25; arctangent 16.26 degrees."""
    made = set_out_of(METRIC, 3)
    assert made.bay.slope is Slope.RAKED
    drawing = bay_drawing(made, *PLACES["paper"])
    said = {label.text: label for label in drawing.labels}
    assert "rake 16.3°" in said
    assert said["rail 2500 mm along the slope"].turned == pytest.approx(16.26, abs=0.01)
    slanted = [line for line in drawing.lines if abs((line.end[1] - line.start[1]) * 24 - (line.end[0] - line.start[0]) * 7) < 1e-6]
    lengths = [((line.end[0] - line.start[0]) ** 2 + (line.end[1] - line.start[1]) ** 2) ** 0.5 for line in slanted]
    assert any(abs(length - 2500) < 1e-6 for length in lengths)


def test_a_stepped_bay_has_its_step_at_its_low_end() -> None:
    drawing = bay_drawing(set_out_of(METRIC, 4), *PLACES["paper"])
    (step,) = (label for label in drawing.labels if label.text.startswith("step"))
    assert step.text == "step 300 mm" and step.turned == 90
    upright = sorted(y for x, y in ticks(drawing) if abs(x - step.at[0]) < drawing.size)
    assert upright == pytest.approx([-300, 0], abs=1e-6)


# The run --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("job", [METRIC, SHARED, FROM_RIGHT, INCH, FEET], ids=["metric", "shared", "right", "inch", "feet"])
def test_the_run_has_every_bay_in_order_at_one_scale(job: Job) -> None:
    whole = whole_run(job)
    assert whole is not None
    names = [label for label in whole.labels if label.heavy]
    assert [label.text for label in names] == [one.name.capitalize() for one in job.bays]
    for label, (start, end) in zip(names, places(job), strict=True):
        assert label.at[0] == pytest.approx((start + end) / 2)
    across = sorted(x for x, _ in ticks(whole))
    for (start, end), one in zip(places(job), job.bays, strict=True):
        assert end - start == pytest.approx(float(one.openings[0][1]), abs=20)  # where posts lean, at the ground
        assert min(abs(x - start) for x in across) < 1e-6 and min(abs(x - end) for x in across) < 1e-6
    on_paper = run_lines(job, 60.0)
    assert len({line.size for line in on_paper}) == 1
    assert [label.text for line in on_paper for label in line.labels if label.heavy] == [label.text for label in names]
    pickets = sum(shape.part is Part.PICKET for line in on_paper for shape in line.shapes)
    assert pickets == sum(set_out_of(job, index).pickets for index, one in enumerate(job.bays) if one.number != 9)


def test_every_bay_of_the_run_says_its_opening_count_and_gap_between_its_posts() -> None:
    for job in (METRIC, FEET):
        whole = whole_run(job)
        assert whole is not None
        for index, (start, end) in enumerate(places(job)):
            if job.bays[index].number == 9:
                continue
            made = set_out_of(job, index)
            # Bay 9, of 60 mm, is too narrow for its own text.
            own = [label for label in whole.labels if start <= label.at[0] <= end and not label.heavy and label.text != "60 mm"]
            wanted = {f"{made.pickets} pickets", measured_text(made.unit, max(opening for _, opening in made.bay.openings))}
            if len({rail.gap for rail in made.rails}) == 1:
                wanted.add(f"gap {length_text(made.unit, made.rails[0].gap)}")
            assert wanted <= {label.text for label in own}
            for label in own:
                half = width_of(label.text, whole.size) / 2
                assert start <= label.at[0] - half and label.at[0] + half <= end


def test_posts_stand_between_the_bays_and_a_gate_is_drawn_as_wide_as_it_is() -> None:
    (line,) = run_lines(Job(METRIC.settings, (METRIC.bays[0], METRIC.bays[5], METRIC.bays[7])), float("inf"))
    posts = sorted({tuple(sorted({x for x, _ in shape.points})) for shape in line.shapes if shape.part is Part.POST})
    faces = [(float(a), float(b)) for a, b in posts]
    assert [after[0] - before[1] for before, after in pairwise(faces)] == [2160, 1000, 2160]
    assert levels_of(set_out_of(METRIC, 5))[0].right == 1000
