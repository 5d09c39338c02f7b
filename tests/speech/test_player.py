"""The player hands out every sample once, in order, and knows when it will have been heard."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.speech.player import Player
from assistant.speech.wav import SAMPLE_RATE, Samples


def ramp(count: int, first: int = 1) -> Samples:
    return np.arange(first, first + count, dtype=np.int16)


def pulled(player: Player, sizes: list[int], at: float = 10.0) -> Samples:
    pieces = []
    for size in sizes:
        piece = np.full(size, 99, dtype=np.int16)
        player.fill(piece, at)
        at += size / SAMPLE_RATE
        pieces.append(piece)
    return np.concatenate(pieces)


def test_sounds_follow_each_other_without_a_gap_and_silence_follows() -> None:
    player = Player()
    player.play(ramp(5))
    player.play(ramp(4, first=101))
    assert pulled(player, [3, 3, 3, 3]).tolist() == [1, 2, 3, 4, 5, 101, 102, 103, 104, 0, 0, 0]


def test_it_speaks_until_the_last_sample_has_been_heard() -> None:
    player = Player()
    assert not player.speaking(0.0) and player.begun is None
    player.play(ramp(1600))
    assert player.speaking(0.0)
    pulled(player, [800, 800, 800], at=10.0)
    assert player.begun == 10.0
    assert player.ended == pytest.approx(10.1)
    assert player.speaking(10.09) and not player.speaking(10.11)


def test_stopping_forgets_what_waits_and_the_present_sound() -> None:
    player = Player()
    player.play(ramp(1600))
    player.play(ramp(1600))
    pulled(player, [800], at=10.0)
    player.stop(10.02)
    assert not player.speaking(10.03)
    assert not pulled(player, [800]).any()


def test_what_is_played_after_a_stop_is_heard_from_its_beginning() -> None:
    player = Player()
    player.play(ramp(1600))
    pulled(player, [800])
    player.stop(10.0)
    player.play(ramp(3))
    assert player.begun is None
    assert pulled(player, [4], at=20.0).tolist() == [1, 2, 3, 0]
    assert player.begun == 20.0


def test_volume_counts_for_what_is_played_after_and_does_not_wrap() -> None:
    player = Player()
    player.play(np.array([1000], dtype=np.int16))
    player.volume = 2.0
    player.play(np.array([1000, 30000, -30000], dtype=np.int16))
    assert pulled(player, [4]).tolist() == [1000, 2000, 32767, -32768]
