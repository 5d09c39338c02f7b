"""Whose turn it is: what the microphone counts for at a moment.

Crosses the border: times and the kind of device in, one of three answers out.  No clock, no device.
"""

from __future__ import annotations

from enum import Enum, auto

HOLD_OFF_S = 0.5
"""After the loudspeaker falls silent the room still rings; the microphone counts for nothing until then."""


class Ears(Enum):
    """What the microphone counts for."""

    OPEN = auto()
    """Everything that the conversation understands now."""
    ARMED = auto()
    """Only the few words that interrupt."""
    SHUT = auto()
    """Nothing: the assistant would hear itself."""


def ears(now: float, speaking: bool, ended: float, headset: bool) -> Ears:
    """The ears at ``now`` (seconds), when the assistant is speaking or stopped being heard at ``ended``.

    On a headset it listens while it speaks, for the armed words alone.  On a loudspeaker it does not listen while it
    speaks, nor for HOLD_OFF_S after the sound, not the rendering, has ended.
    """
    if headset:
        return Ears.ARMED if speaking else Ears.OPEN
    return Ears.SHUT if speaking or now < ended + HOLD_OFF_S else Ears.OPEN
