"""The phone as a sound device: blocks in, pieces out, and when each will be heard."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.errors import AudioError
from assistant.phone import phone_card
from assistant.phone.frames import FRAME, Played
from assistant.phone.phone_card import AHEAD_S, LOST_AFTER_S, PhoneCard
from assistant.speech.player import Player
from assistant.speech.wav import BLOCK, SAMPLE_RATE


class Clock:
    """A clock that stands still until it is told."""

    def __init__(self) -> None:
        self.now = 100.0

    def monotonic(self) -> float:
        return self.now


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    made = Clock()
    monkeypatch.setattr(phone_card.time, "monotonic", made.monotonic)
    return made


def test_frames_come_out_as_blocks_with_no_sample_lost_or_moved(clock: Clock) -> None:
    card = PhoneCard(Player())
    card.connected()
    said = np.arange(FRAME * 50, dtype=np.int16)
    for at in range(0, len(said), FRAME):
        card.take(said[at : at + FRAME])
    heard = []
    while (block := card.read(0)) is not None:
        assert len(block.samples) == BLOCK and not block.overrun
        heard.append(block.samples)
    assert np.array_equal(np.concatenate(heard), said[: len(heard) * BLOCK]) and len(heard) == len(said) // BLOCK


def test_what_nobody_fetches_is_given_up_from_the_oldest_and_told(clock: Clock) -> None:
    card = PhoneCard(Player())
    card.connected()
    for _ in range(3 * 60 * 50):
        card.take(np.ones(FRAME, np.int16))
    overruns = 0
    while (block := card.read(0)) is not None:
        overruns += block.overrun
    assert overruns == card.overruns > 0


def test_the_phone_is_sent_a_sentence_ahead_of_time_and_no_further(clock: Clock) -> None:
    player = Player()
    card = PhoneCard(player)
    card.connected()
    said = np.arange(3 * SAMPLE_RATE, dtype=np.int16)
    player.volume = 1.0
    player.play(said)
    sent = []
    while clock.now < 110 and (len(sent) == 0 or sum(map(len, sent)) < len(said)):
        piece = card.give()
        if piece is not None:
            assert not piece.forget
            sent.append(piece.samples)
        held = sum(map(len, sent)) / SAMPLE_RATE - (clock.now - 100)
        assert held < AHEAD_S + 0.05
        clock.now += 0.02
    assert np.array_equal(np.concatenate(sent), said)
    assert player.begun is not None and 100 < player.begun < 100.3
    assert player.ended == pytest.approx(player.begun + 3.0, abs=0.001)
    assert card.give() is None


def test_when_the_session_stops_speaking_the_phone_forgets_what_it_holds(clock: Clock) -> None:
    player = Player()
    card = PhoneCard(player)
    card.connected()
    player.play(np.ones(SAMPLE_RATE, np.int16))
    assert card.give() is not None
    player.stop(clock.now)
    piece = card.give()
    assert piece is not None and piece.forget and not len(piece.samples)
    assert not player.speaking(clock.now) and card.give() is None


def test_a_phone_that_is_behind_is_still_speaking(clock: Clock) -> None:
    """What it has not played counts as speech, or the assistant would hear itself."""
    player = Player()
    card = PhoneCard(player)
    card.connected()
    player.play(np.ones(SAMPLE_RATE // 5, np.int16))
    card.give()
    clock.now = player.ended + 0.01
    assert not player.speaking(clock.now)
    card.played(Played(SAMPLE_RATE // 10))
    assert player.speaking(clock.now + 0.09) and not player.speaking(clock.now + 0.11)


def test_it_is_lost_when_it_leaves_or_falls_silent_and_there_when_it_is_back(clock: Clock) -> None:
    card = PhoneCard(Player())
    assert card.microphone_lost
    card.connected()
    assert not card.microphone_lost and not card.loudspeaker_lost
    clock.now += LOST_AFTER_S + 0.1
    assert card.microphone_lost and card.loudspeaker_lost
    with pytest.raises(AudioError, match="open the page"):
        card.reopen()
    card.take(np.zeros(FRAME, np.int16))
    card.reopen()
    card.disconnected()
    assert card.microphone_lost


def test_words_that_were_still_to_be_heard_when_it_left_are_known(clock: Clock) -> None:
    player = Player()
    card = PhoneCard(player)
    card.connected()
    player.play(np.ones(SAMPLE_RATE // 4, np.int16))
    card.give()
    card.disconnected()
    assert card.unheard
    card.connected()
    clock.now += 1.0
    card.take(np.zeros(FRAME, np.int16))
    card.disconnected()
    assert not card.unheard
