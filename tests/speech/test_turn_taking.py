"""Half duplex on a loudspeaker, full duplex on a headset."""

from __future__ import annotations

import pytest

from assistant.speech.turn_taking import HOLD_OFF_S, Ears, ears


@pytest.mark.parametrize(
    ("now", "speaking", "headset", "expected"),
    [
        (10.0, True, False, Ears.SHUT),
        (10.0 + HOLD_OFF_S - 0.01, False, False, Ears.SHUT),
        (10.0 + HOLD_OFF_S, False, False, Ears.OPEN),
        (10.0, True, True, Ears.ARMED),
        (10.0 + 0.01, False, True, Ears.OPEN),
    ],
)
def test_what_the_microphone_counts_for(now: float, speaking: bool, headset: bool, expected: Ears) -> None:
    assert ears(now, speaking, 10.0, headset) is expected


def test_the_hold_off_is_half_a_second_after_the_sound() -> None:
    """Measured for a small loudspeaker in a room: the tail of our own speech is gone after half a second."""
    assert HOLD_OFF_S == 0.5
