"""The job as a fold over facts."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.fold import apply, replay, standing, standing_turns
from assistant.job import (
    BayRemoved,
    BayReopened,
    BaySet,
    CalledByIndex,
    CautionAcknowledged,
    ConfirmedByIndex,
    Fact,
    Job,
    MarkCalled,
    PicketSlipped,
    Position,
    SetOutConfirmed,
    Settings,
    SettingsChanged,
    Undone,
)
from assistant.measured import Bay, Slip
from assistant.plan import preview, respaced, taken_over
from assistant.setout.ends import PICKET
from assistant.setout.limits import GapLimit

LIMIT = GapLimit(Fraction(100), strict=False)


def bay(number: int, opening: int = 2160) -> Bay:
    return Bay(number, (("bottom", Fraction(opening)),), Fraction(90), LIMIT)


def confirmed(facts: list[Fact], number: int) -> SetOutConfirmed:
    """The confirmation of a bay as it is after these facts."""
    job = replay(facts)
    index = job.index_of(number)
    assert index is not None
    return SetOutConfirmed(number, preview(job, index))


MEASURED: list[Fact] = [BaySet(0, bay(1)), BaySet(1, bay(2, 1815))]
SET_OUT: list[Fact] = [*MEASURED, confirmed(MEASURED, 1)]


def test_a_setting_said_later_leaves_what_is_set_out() -> None:
    before = replay(SET_OUT)
    after = replay([*SET_OUT, SettingsChanged(Settings(left=PICKET, right=PICKET))])
    assert after.standing == before.standing
    assert preview(after, 1) != preview(before, 1)


def test_removing_a_bay_keeps_the_others_as_they_are_set_out() -> None:
    job = replay([*SET_OUT, confirmed(MEASURED, 2), BayRemoved(0)])
    assert [one.number for one in job.bays] == [2]
    assert [number for number, _ in job.standing] == [2]


def test_marks_called_are_kept_for_each_bay_and_rail() -> None:
    facts = [*SET_OUT, confirmed(MEASURED, 2)]
    facts += [MarkCalled(Position(1, "bottom", 1)), MarkCalled(Position(2, "bottom", 3)), MarkCalled(Position(1, "bottom", 2))]
    job = replay(facts)
    one, two = job.standing_of(1), job.standing_of(2)
    assert one is not None and two is not None
    assert (one.called, two.called) == ((("bottom", 1), ("bottom", 2)), (("bottom", 3),))
    assert job.position == Position(1, "bottom", 2)


def test_opened_again_a_bay_follows_the_settings_and_what_was_called_is_remembered_until_it_is_set_out_anew() -> None:
    facts = [*SET_OUT, MarkCalled(Position(1, "bottom", 1)), BayReopened(1)]
    job = replay(facts)
    assert (job.standing_of(1), job.position) == (None, None)
    assert dict(job.former)[1].called == (("bottom", 1),)
    again = replay([*facts, confirmed(facts, 1)])
    assert again.former == ()
    assert again.standing_of(1) is not None and again.standing_of(1).called == ()  # type: ignore[union-attr]


def test_after_a_slip_the_marks_that_moved_are_to_be_called_again_and_the_gap_confirmed() -> None:
    """2160 takes 11 pickets of 90 with gaps of 97.5: mark three at 472.5; off by 6 it is at 478, and the rest has gaps of 96.8."""
    called: list[Fact] = [MarkCalled(Position(1, "bottom", mark)) for mark in (1, 2, 3, 4)]
    job = replay([*SET_OUT, *called])
    standing_one = job.standing_of(1)
    assert standing_one is not None
    slip = Slip(3, (("bottom", Fraction(478)),))
    after = apply(job, PicketSlipped(1, slip, respaced(standing_one.set_out, slip))).standing_of(1)
    assert after is not None
    assert not after.confirmed
    assert set(after.called) == {("bottom", 1), ("bottom", 2), ("bottom", 3)}


def test_undone_takes_back_the_last_facts_that_stand() -> None:
    first, second = BaySet(0, bay(1)), BaySet(1, bay(2))
    assert standing([first, second, Undone(1), CautionAcknowledged("nailing"), Undone(2)]) == []
    assert replay([first, second, Undone(1)]) == replay([first])
    with pytest.raises(ValueError, match="replay"):
        apply(Job(), Undone(1))


def test_what_stands_is_kept_turn_by_turn() -> None:
    first, second, third = BaySet(0, bay(1)), BaySet(1, bay(2)), CautionAcknowledged("nailing")
    assert standing_turns([(first, second), (third,), (Undone(2),)]) == [(first,)]
    assert standing_turns([(first,), (second, third), (Undone(2), third)]) == [(first,), (third,)]


@given(st.lists(st.integers(1, 4), max_size=6))
def test_replaying_in_pieces_is_replaying_at_once(steps: list[int]) -> None:
    facts: list[Fact] = [*SET_OUT, *(MarkCalled(Position(1, "bottom", step)) for step in steps)]
    job = Job()
    for fact in facts:
        job = apply(job, fact)
    assert job == replay(facts)


def test_a_record_of_version_1_means_what_it_meant() -> None:
    """It kept no set-out: a bay confirmed there follows the settings until it is taken over, and a change of the ends unconfirms it."""
    facts: list[Fact] = [*MEASURED, ConfirmedByIndex(0), CalledByIndex(0, 0, 1), CalledByIndex(0, 0, 2)]
    job = replay(facts)
    found = taken_over(job, 0)
    assert found is not None
    made, called = found
    assert made == preview(job, 0)
    assert called == (Position(1, "bottom", 1), Position(1, "bottom", 2))
    assert replay([*facts, SettingsChanged(Settings(left=PICKET))]).by_index == frozenset()
    assert replay([*facts, SettingsChanged(replace(job.settings, full=False))]).by_index == {0}


def test_a_bay_measured_anew_is_not_set_out_any_more() -> None:
    job = replay([*SET_OUT, MarkCalled(Position(1, "bottom", 1)), BaySet(0, bay(1, 2000))])
    assert (job.standing_of(1), job.position) == (None, None)
