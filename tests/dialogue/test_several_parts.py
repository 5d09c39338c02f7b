"""Sentences of several parts: what stands behind a question waits for its answer, and nothing that was measured is written over."""

from __future__ import annotations

import pytest
from talk import Talk

SETTINGS = ("70", "95")


@pytest.mark.parametrize("said", ["next bay 1975 both", "bay two 1975 both", "next bay 1975 top 1975"])
def test_the_next_bay_waits_until_the_one_at_hand_is_whole(said: str) -> None:
    talk = Talk(*SETTINGS, "2140")
    assert talk.say(said).endswith("Top opening?")
    talk.say("2138")
    assert [tuple(length for _, length in bay.openings) for bay in talk.job.bays] == [(2140, 2138), (1975, 1975)]


def test_a_bay_that_is_named_again_is_measured_again() -> None:
    talk = Talk(*SETTINGS, "2140", "bay one 1975 both")
    assert [tuple(length for _, length in bay.openings) for bay in talk.job.bays] == [(1975, 1975)]


@pytest.mark.parametrize("said", ["yes", "no", "back"])
def test_a_bay_that_was_begun_is_gone_on_with_when_another_was_to_be_taken_away(said: str) -> None:
    talk = Talk(*SETTINGS, "2140 both", "next bay", "delete bay one")
    assert talk.say(said).endswith("Bottom opening?")
    talk.say("1975 both")
    assert talk.job.draft is None and talk.job.bays[-1].openings[0][1] == 1975
