"""How the live parts are put together: what is said first, and sound kept only where asked for."""

from __future__ import annotations

import resource
import stat
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest

from assistant.conversation import Conversation
from assistant.errors import AudioError
from assistant.job import Fact, Job
from assistant.live_wiring import KEPT, Watched, Wiring, listen_new
from assistant.speech.devices import Block, SoundCard
from assistant.speech.kept_sound import KeepingCard
from assistant.speech.player import Player
from assistant.speech.wav import read_wav


class Nowhere:
    """A keeper that forgets."""

    def append(self, facts: Sequence[Fact], heard: str = "") -> None:
        """Nothing is kept."""


def test_that_sound_is_kept_is_said_before_anything_else() -> None:
    shown: list[Job] = []
    assert Watched(Conversation(Nowhere()), shown.append, KEPT).open().spoken[0] == KEPT
    assert KEPT not in Watched(Conversation(Nowhere()), shown.append).open().spoken
    assert len(shown) == 2


def test_no_sound_is_kept_unless_asked_for() -> None:
    assert Wiring().keep_audio is None


def test_kept_sound_is_what_the_microphone_heard_and_for_its_owner_only(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    heard = [np.full(800, level, dtype=np.int16) for level in (100, -200)]
    waiting = [*heard]
    monkeypatch.setattr(SoundCard, "read", lambda self, seconds: Block(waiting.pop(0), 0.0, False) if waiting else None)
    card = KeepingCard(SoundCard(None, None, Player()), tmp_path / "kept.wav", print)
    while card.read(0.1) is not None:
        pass
    card.finish()
    assert np.array_equal(read_wav(tmp_path / "kept.wav"), np.concatenate(heard))
    assert stat.S_IMODE((tmp_path / "kept.wav").stat().st_mode) == 0o600


def test_a_file_that_cannot_be_written_is_refused_with_what_to_do(tmp_path: Path) -> None:
    with pytest.raises(AudioError, match="--keep-audio"):
        KeepingCard(SoundCard(None, None, Player()), tmp_path / "missing" / "kept.wav", print)
    with pytest.raises(AudioError, match="--keep-audio"):  # before a job is begun
        listen_new(tmp_path / "home", "job", Wiring(keep_audio=tmp_path / "missing" / "kept.wav"))
    assert not (tmp_path / "home").exists()


def test_a_full_disk_ends_the_keeping_and_not_the_job(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(SoundCard, "read", lambda self, seconds: Block(np.full(8_000, 99, dtype=np.int16), 0.0, False))
    told: list[str] = []
    card = KeepingCard(SoundCard(None, None, Player()), tmp_path / "kept.wav", told.append)
    _, most = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (50_000, most))  # strikes in the middle of a write, as a full disk does
    try:
        for _ in range(6):
            assert card.read(0.1) is not None
        card.finish()
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))
    assert len(told) == 1 and "The job goes on without" in told[0]
    assert len(read_wav(tmp_path / "kept.wav")) >= 24_000
