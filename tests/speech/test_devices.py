"""Choosing devices by name, and saying in one sentence why there is none."""

from __future__ import annotations

import sys
from types import SimpleNamespace

import pytest

from assistant.errors import AudioError
from assistant.speech import devices
from assistant.speech.devices import SoundCard, choose, list_devices
from assistant.speech.player import Player

FOUND = [
    {"name": "Built-in Audio", "max_input_channels": 0, "max_output_channels": 2},
    {"name": "Site Headset Mic", "max_input_channels": 1, "max_output_channels": 0},
    {"name": "Site Headset", "max_input_channels": 1, "max_output_channels": 2},
]


def pretend(monkeypatch: pytest.MonkeyPatch, found: list[dict[str, object]]) -> None:
    monkeypatch.setattr(devices, "sound_library", lambda: SimpleNamespace(query_devices=lambda: found))


def test_devices_say_what_they_can_do(monkeypatch: pytest.MonkeyPatch) -> None:
    pretend(monkeypatch, FOUND)
    assert [(d.name, d.microphone, d.loudspeaker) for d in list_devices()] == [
        ("Built-in Audio", False, True),
        ("Site Headset Mic", True, False),
        ("Site Headset", True, True),
    ]


@pytest.mark.parametrize(
    ("name", "microphone", "number"),
    [
        (None, True, None),
        ("site headset", True, 2),  # the whole name goes before a part of one
        ("headset", True, 1),
        ("HEADSET MIC", True, 1),
        ("built", False, 0),
    ],
)
def test_a_device_is_chosen_by_its_name_or_a_part_of_it(
    monkeypatch: pytest.MonkeyPatch, name: str | None, microphone: bool, number: int | None
) -> None:
    pretend(monkeypatch, FOUND)
    assert choose(name, microphone) == number


def test_a_name_that_does_not_exist_is_answered_with_those_that_do(monkeypatch: pytest.MonkeyPatch) -> None:
    pretend(monkeypatch, FOUND)
    with pytest.raises(AudioError, match="no microphone 'built': choose one of Site Headset Mic, Site Headset"):
        choose("built", True)


def test_a_machine_without_a_device_is_told_so(monkeypatch: pytest.MonkeyPatch) -> None:
    pretend(monkeypatch, FOUND[:1])
    with pytest.raises(AudioError, match="there is no microphone: plug one in"):
        SoundCard(None, None, Player()).open()


def test_a_machine_without_the_sound_library_is_told_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "sounddevice", None)
    with pytest.raises(AudioError, match="apt-get install libportaudio2"):
        list_devices()
