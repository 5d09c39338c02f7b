"""What is shown of a job, on the page and on the screen: the mark that is being called, and nothing where there is none."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sample_jobs import EMPTY, FEET, FROM_RIGHT, INCH, JOBS, METRIC, METRIC_SETTINGS, SHARED, bay, called, confirmed, slipped

from assistant.display.view import WHOLE, Picture, View, view_of
from assistant.fold import apply
from assistant.job import BayRemoved, BayReopened, BaySet, Job, Position, SettingsChanged
from assistant.measured import RAILS, Slip, Slope
from assistant.plan import marking_at, set_out_of
from assistant.setout.lengths import Resolution, Unit
from assistant.setout.marks import Origin

EMPTY_OF_ALL_BUT_ONE = Job(settings=METRIC_SETTINGS, bays=(bay(1, 2160),))
NOTHING = View("fence", place="No mark called yet")


def test_the_view_is_the_mark_the_job_stands_at() -> None:
    view = view_of(called(METRIC, 1, "bottom", 4), "fence", "listening")
    texts = View("fence", "Bay 1, bottom rail", "660", "mm", "mark 4 of 11", "next 848", "listening", 4, 11, "7 left", "gap 97.5 mm")
    # 11 pickets of 90 in 2160: gap 97.5, marks at 97.5 + 187.5 (k - 1): 660 and 847.5, to the even millimetre.
    assert replace(view, picture=Picture()) == texts
    last = view_of(called(METRIC, 1, "top", 11), "fence")
    assert (last.mark, last.next, last.place, last.left) == ("1972", "last mark of this rail, then bay 2", "Bay 1, top rail", "")
    assert view_of(called(confirmed(FEET, 1), 1, "bottom", 3), "fence").mark == "1 ft 6 5/8 in"
    assert view_of(called(confirmed(METRIC, 6), 6, "leaf", 1), "fence").place == "Gate 6, leaf"


def test_behind_the_last_mark_of_a_rail_stands_where_it_goes_on() -> None:
    # Bay 2 is 2412 at the bottom and 2400 at the top; with the lean shared its rails are not alike, and each is marked.
    last = len(set_out_of(SHARED, 1).rails[0].marks)
    assert view_of(called(SHARED, 2, "bottom", last), "fence").next == "last mark of this rail, then top rail"
    done = confirmed(EMPTY_OF_ALL_BUT_ONE, 1)
    assert view_of(called(done, 1, "bottom", 11), "fence").next == "last mark of this rail"


def test_a_gap_is_shown_to_a_tenth_and_says_when_that_is_not_all_of_it() -> None:
    # 31 pickets of 90 in 5985: 3195 / 32 = 99.84375.
    assert view_of(called(confirmed(METRIC, 10), 10, "bottom", 1), "fence").gap == "gap ≈ 99.8 mm"
    assert view_of(called(confirmed(INCH, 1), 1, "bottom", 1), "fence").gap.endswith(" in")


def test_the_picture_has_its_pickets_where_they_stand_seen_from_the_front() -> None:
    # 11 of 90 in 2160, gap 97.5: the fourth from 660 to 750, in thousandths 305.6 to 347.2.
    picture = view_of(called(METRIC, 1, "bottom", 4), "fence").picture
    assert (len(picture.pickets), picture.now, picture.mark, picture.from_left) == (11, 3, 306, True)
    assert picture.pickets[3] == (306, 347)
    # From the right post at centres: 31 of 90 in 5985; the ninth from there is the 23rd from the left.
    turned = view_of(called(confirmed(FROM_RIGHT, 10), 10, "bottom", 9), "fence").picture
    assert (turned.now, turned.from_left) == (22, False)
    left, right = turned.pickets[22]
    assert abs(turned.mark - (left + right) / 2) <= 1


@given(st.sampled_from(sorted(JOBS)), st.integers(1, 10), st.sampled_from((*RAILS, "leaf", "each leaf")), st.integers(1, 40))
def test_the_mark_is_drawn_where_the_tape_reads_it(name: str, number: int, rail: str, mark: int) -> None:
    """The arrow stands at the called distance from the post the tape is hooked on, to a thousandth and what a mark is rounded."""
    job = JOBS[name]
    at = marking_at(replace(job, position=None), Position(number, rail, mark))
    if at is None or at.set_out.bay.slope is Slope.RAKED:
        return
    picture = view_of(replace(job, position=Position(number, rail, mark)), "fence").picture
    read = at.rail.marks[mark - 1].value / at.rail.opening * WHOLE
    assert abs((picture.mark if picture.from_left else WHOLE - picture.mark) - read) <= 1.5
    assert list(picture.pickets) == sorted(picture.pickets)
    assert all(0 <= left < right <= WHOLE for left, right in picture.pickets)


def test_settings_changed_in_the_middle_of_a_rail_leave_the_view_as_it_is() -> None:
    job = called(METRIC, 1, "bottom", 4)
    before = view_of(job, "fence")
    other = replace(job.settings, unit=Unit.INCH, resolution=Resolution.INCH_16, origin=Origin.RIGHT)
    assert view_of(apply(job, SettingsChanged(other)), "fence") == before


@pytest.mark.parametrize(
    "job",
    [
        EMPTY,
        replace(METRIC, position=None),
        replace(EMPTY, position=Position(1, "bottom", 1)),
        replace(METRIC, position=Position(1, "middle", 1)),
        replace(METRIC, position=Position(1, "bottom", 0)),
        replace(METRIC, position=Position(1, "bottom", 12)),
        replace(METRIC, position=Position(3, "bottom", 1)),
        replace(METRIC, position=Position(99, "bottom", 1)),
        apply(METRIC, BayRemoved(0)),
        apply(METRIC, BayReopened(1)),
        apply(METRIC, BaySet(0, METRIC.bays[1])),
        slipped(METRIC, 1, Slip(5, (("bottom", METRIC.bays[0].openings[0][1] / 2),))),
    ],
)
def test_a_position_that_is_nowhere_any_more_shows_no_mark(job: Job) -> None:
    assert view_of(job, "fence") == NOTHING


_numbers = st.integers(-1, 12)


@given(
    st.sampled_from(sorted(JOBS)),
    st.none() | st.builds(Position, _numbers, st.sampled_from((*RAILS, "leaf", "each leaf", "")), st.integers(-2, 40)),
    st.sets(st.integers(0, 9), max_size=4),
    st.booleans(),
)
def test_whatever_the_job_the_view_never_fails(name: str, position: Position | None, gone: set[int], turned: bool) -> None:
    job = replace(JOBS[name], position=position)
    if turned:
        job = apply(job, SettingsChanged(FROM_RIGHT.settings))
    job = replace(job, bays=tuple(bay for place, bay in enumerate(job.bays) if place not in gone))
    seen = view_of(job, "fence")
    assert seen == NOTHING or 1 <= seen.done <= seen.total
