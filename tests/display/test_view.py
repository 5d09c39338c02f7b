"""What is shown of a job, on the page and on the screen: the mark that is being called, and nothing where there is none."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sample_jobs import EMPTY, FEET, FROM_RIGHT, JOBS, METRIC, called, confirmed, slipped

from assistant.display.view import View, view_of
from assistant.fold import apply
from assistant.job import BayRemoved, BayReopened, BaySet, Job, Position, SettingsChanged
from assistant.measured import RAILS, Slip
from assistant.setout.lengths import Resolution, Unit
from assistant.setout.marks import Origin

NOTHING = View("fence", place="No mark called yet")


def test_the_view_is_the_mark_the_job_stands_at() -> None:
    view = view_of(called(METRIC, 1, "bottom", 4), "fence", "listening")
    # 11 pickets of 90 in 2160: gap 97.5, marks at 97.5 + 187.5 (k - 1): 660 and 847.5, to the even millimetre.
    assert view == View("fence", "Bay 1, bottom rail", "660", "mm", "mark 4 of 11", "next 848", "listening", 4, 11)
    last = view_of(called(METRIC, 1, "top", 11), "fence")
    assert (last.mark, last.next, last.place) == ("1972", "last mark of this rail", "Bay 1, top rail")
    assert view_of(called(confirmed(FEET, 1), 1, "bottom", 3), "fence").mark == "1 ft 6 5/8 in"
    assert view_of(called(confirmed(METRIC, 6), 6, "leaf", 1), "fence").place == "Gate 6, leaf"


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
