"""The job as a fold over facts."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.job import (
    Bay,
    BayRemoved,
    BaySet,
    CautionAcknowledged,
    GapConfirmed,
    Job,
    MarkCalled,
    Position,
    Settings,
    SettingsChanged,
    Undone,
    apply,
    replay,
    standing,
)
from assistant.setout.ends import PICKET
from assistant.setout.limits import GapLimit

LIMIT = GapLimit(Fraction(100), strict=False)


def bay(number: int, opening: int = 2160) -> Bay:
    return Bay(number, (("bottom", Fraction(opening)),), Fraction(90), LIMIT)


def test_a_confirmed_gap_falls_when_its_bay_changes_and_only_then() -> None:
    facts = [BaySet(0, bay(1)), BaySet(1, bay(2)), GapConfirmed(0), GapConfirmed(1)]
    assert replay(facts).confirmed == {0, 1}
    assert replay([*facts, BaySet(0, bay(1, 2000))]).confirmed == {1}


def test_a_setting_that_moves_pickets_takes_every_confirmation_away() -> None:
    facts = [BaySet(0, bay(1)), GapConfirmed(0)]
    assert replay([*facts, SettingsChanged(Settings(left=PICKET))]).confirmed == frozenset()
    assert replay([*facts, SettingsChanged(Settings(full=False))]).confirmed == {0}


def test_removing_a_bay_keeps_the_others_and_their_confirmations() -> None:
    job = replay([BaySet(0, bay(1)), BaySet(1, bay(2)), BaySet(2, bay(3)), GapConfirmed(2), BayRemoved(1)])
    assert [one.number for one in job.bays] == [1, 3]
    assert job.confirmed == {1}


def test_undone_takes_back_the_last_facts_that_stand() -> None:
    first, second = BaySet(0, bay(1)), BaySet(1, bay(2))
    assert standing([first, second, Undone(1), CautionAcknowledged("nailing"), Undone(2)]) == []
    assert replay([first, second, Undone(1)]) == replay([first])
    with pytest.raises(ValueError, match="replay"):
        apply(Job(), Undone(1))


@given(st.lists(st.integers(1, 4), max_size=6))
def test_replaying_in_pieces_is_replaying_at_once(steps: list[int]) -> None:
    facts = [MarkCalled(Position(0, 0, step)) for step in steps]
    job = Job()
    for fact in facts:
        job = apply(job, fact)
    assert job == replay(facts)
