"""Every check that fails says what to do."""

from __future__ import annotations

import re
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from assistant.errors import SynthesisError
from assistant.speech import devices, doctor
from assistant.speech.doctor import Check, checks
from assistant.speech.synthesiser import Synthesiser
from assistant.speech.wav import Samples


@pytest.fixture(autouse=True)
def no_device(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(devices, "sound_library", lambda: SimpleNamespace(query_devices=lambda: []))


def examined(home: Path, model: str | None = None) -> dict[str, Check]:
    return {check.name: check for check in checks(home, model, None, None)}


def test_without_devices_the_rest_is_checked_all_the_same(tmp_path: Path) -> None:
    found = examined(tmp_path / "records")
    assert {name: check.passed for name, check in found.items()} == {
        "disk": True,
        "speech model": True,
        "second ear": True,
        "voice": True,
        "microphone": False,
        "loudspeaker": False,
    }
    assert "is understood" in found["voice"].text
    assert "plug one in" in found["microphone"].text


def test_a_folder_that_cannot_be_written(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    found = examined(tmp_path / "file" / "records")
    assert not found["disk"].passed and "choose another folder" in found["disk"].text


def test_a_full_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(doctor.shutil, "disk_usage", lambda path: SimpleNamespace(free=5e6))
    assert examined(tmp_path)["disk"] == Check("disk", False, f"only 5 MB free at {tmp_path}: make room")


def test_a_missing_model(tmp_path: Path) -> None:
    found = examined(tmp_path, model="nowhere-en")
    assert not found["speech model"].passed and "give the folder" in found["speech model"].text
    assert found["voice"].passed


def test_a_voice_that_fails(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(self: Synthesiser, text: str) -> Samples:
        raise SynthesisError("no voice: install espeak-ng")

    monkeypatch.setattr(Synthesiser, "render", fail)
    assert examined(tmp_path)["voice"] == Check("voice", False, "no voice: install espeak-ng")


def test_a_voice_that_is_not_understood(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Synthesiser, "render", lambda self, text: np.zeros(16000, dtype=np.int16))
    found = examined(tmp_path)["voice"]
    assert not found.passed and "not understood: install espeak-ng" in found.text


def noise(level: float) -> list[Samples]:
    return [np.rint(np.random.default_rng(2).normal(0, level, 32000)).astype(np.int16)]


@pytest.mark.parametrize(
    ("heard", "passed", "text"),
    [
        ([], False, "no sound at all: choose another with --mic"),
        (noise(0.0), False, "nothing but zeros: switch it on, and allow this program"),
        (noise(1.0), False, "almost silent .*raise its level"),
        (noise(30.0), True, "background at -61 dBFS"),
        (noise(8000.0), False, "lower its level"),
    ],
)
def test_the_level_of_the_microphone(heard: list[Samples], passed: bool, text: str) -> None:
    check = doctor._level(heard)
    assert check.passed is passed
    assert re.search(text, check.text)
