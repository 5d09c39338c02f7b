"""What happened in a job is told in a builder's words."""

from dataclasses import replace
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st
from sample_jobs import METRIC, confirmed
from strategies import facts

from assistant.fold import replay
from assistant.job import (
    BayRemoved,
    BayReopened,
    BaySet,
    DraftChanged,
    Fact,
    Job,
    MarkCalled,
    Position,
    SetOutConfirmed,
    SettingsChanged,
    Undone,
)
from assistant.paper.history import changes, confirmations, happenings, how_far

SET_OUT = confirmed(Job(METRIC.settings, METRIC.bays[:1]), 1)
STANDING = SET_OUT.standing_of(1)
assert STANDING is not None
STORY: list[Fact] = [
    SettingsChanged(METRIC.settings),
    BaySet(0, METRIC.bays[0]),
    DraftChanged(None),
    SetOutConfirmed(1, STANDING.set_out),
    *(MarkCalled(Position(1, "bottom", mark)) for mark in (1, 2, 3)),
    MarkCalled(Position(1, "top", 1)),
]


def test_a_job_is_told_as_what_was_done_on_which_bay_and_how_far() -> None:
    told = [(one.first, one.last, one.text) for one in happenings([*STORY, Undone(1), BayRemoved(0)])]
    assert told == [
        (1, 1, "Bay 1 measured: bottom 2160 mm, top 2160 mm"),
        (3, 3, "Bay 1: gap 97.5 mm confirmed, 11 pickets"),
        (4, 6, "Bay 1, bottom rail: marks 1 to 3 called"),
        (7, 7, "Bay 1, top rail: mark 1 called"),
        (8, 8, "The last step taken back"),
        (9, 9, "Bay 1 taken away"),
    ]


def test_how_far_counts_bays_gaps_and_marks() -> None:
    assert how_far(replay(STORY)) == "1 bay, 1 with the gap confirmed, 4 of 22 marks called, the last: bay 1, top rail, mark 1"
    assert how_far(Job()) == "0 bays"


def test_the_moment_of_a_confirmation_is_that_of_the_one_that_stands() -> None:
    assert confirmations(STORY) == {1: 3}
    again = [*STORY, BayReopened(1), SetOutConfirmed(1, STANDING.set_out)]
    assert confirmations(again[:-1]) == {}
    assert confirmations(again) == {1: 9}
    # Undone twice, the first confirmation stands again.
    assert confirmations([*again, Undone(1), Undone(1)]) == {1: 3}


def test_what_was_changed_is_told_of_its_bay_and_what_was_taken_back_is_not() -> None:
    other = replace(METRIC.bays[0], openings=(("bottom", Fraction(2158)), ("top", Fraction(2160))), count=12)
    story = [*STORY, BayReopened(1), BaySet(0, other)]
    told = [(1, 8, "opened again"), (1, 9, "bottom opening 2158 mm, before 2160 mm"), (1, 9, "number of pickets chosen anew")]
    assert list(changes(story)) == told
    assert list(changes([*story, Undone(1)])) == told[:1]
    # The rail that is measured next is no change of the one before.
    begun = replace(METRIC.bays[0], openings=METRIC.bays[0].openings[:1])
    assert changes([BaySet(0, begun), BaySet(0, METRIC.bays[0])]) == ()


@settings(max_examples=30)
@given(given_facts=st.lists(facts, max_size=3))
def test_no_name_of_the_program_and_no_bare_fraction_is_ever_shown(given_facts: list[Fact]) -> None:
    # A bay is taken away only where one stands, and nothing is confirmed without a rail.
    told = [fact for fact in given_facts if not isinstance(fact, BayRemoved) and (not hasattr(fact, "set_out") or fact.set_out.rails)]
    for one in happenings(told):
        assert "Fraction" not in one.text
        assert not any(type(fact).__name__ in one.text for fact in told)
