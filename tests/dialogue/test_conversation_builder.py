"""The simulated builder takes whole jobs through the dialogue; the large runs are in the benches."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import pytest
from builder import Builder, OverChannel, Tally, Wanted, add, random_job, wrong_values
from channel import read_channel, scaled
from talk import Talk
from wordings import Habit, is_correction, words_for

from assistant.setout.lengths import Unit

FIVE_BAYS = Wanted(
    Unit.MM,
    (
        (("picket", Fraction(90)), ("limit", Fraction(100))),
        (("bottom", Fraction(1815)), ("top", Fraction(1815))),
        (("bottom", Fraction(2145)), ("top", Fraction(2138))),
        (("opening", Fraction(1000)), ("hinge", Fraction(20)), ("latch", Fraction(20)), ("leaves", Fraction(1))),
    ),
)


def jobs(count: int, word_error_rate: float, notices: float) -> Tally:
    """Some jobs over the measured channel, in site noise, its errors made as frequent as that on dictated lengths."""
    said = [words_for(Fraction(n), Unit.MM, habit, Random(n)) for n in range(700, 2900, 40) for habit in Habit]
    channel = scaled(read_channel("site", is_correction), word_error_rate, said) if word_error_rate else None
    total = Tally()
    for seed in range(count):
        random = Random(seed)
        total = add(total, Builder(random_job(random), OverChannel(channel, random), random, notices).build())
    return total


def test_heard_right_a_job_takes_little_more_than_one_turn_for_a_length() -> None:
    """Teens and tens are asked back even when nothing is misheard: that is what the turns above one are."""
    found = jobs(12, 0.0, 1.0)
    assert (found.wrong, found.stuck) == (0, 0)
    assert found.length_turns / found.lengths < 1.2


@pytest.mark.parametrize("word_error_rate", [0.02, 0.05])
def test_who_hears_the_read_back_ends_with_his_own_numbers(word_error_rate: float) -> None:
    """No wrong value stands confirmed, and every job comes to its last mark."""
    found = jobs(25, word_error_rate, 1.0)
    assert found.misheard > 0
    assert found.wrong == 0, found.examples
    assert found.stuck == 0, found.examples


def test_who_does_not_listen_ends_with_wrong_numbers() -> None:
    """The count can fail: for a builder deaf to the read-back, errors stand."""
    assert jobs(5, 0.05, 0.0).wrong > 0


def test_wrong_values_are_counted_from_the_job() -> None:
    """A wrong opening, a wrong setting and a bay too few each count, once the bay is confirmed."""
    wanted = FIVE_BAYS
    talk = Talk("ninety", "one hundred", "1815", "1816", "start marking", "gap confirmed")
    assert list(wrong_values(wanted, talk.job)) == [(0, "top"), (1, "missing"), (2, "missing")]
    assert Builder(wanted, OverChannel(None, Random(1)), Random(1)).build().wrong == 0
