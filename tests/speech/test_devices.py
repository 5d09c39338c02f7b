"""Choosing devices by name, and saying in one sentence why there is none."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from assistant.errors import AudioError
from assistant.speech import devices
from assistant.speech.devices import SoundCard, choose, list_devices
from assistant.speech.player import Player
from assistant.speech.wav import SAMPLE_RATE, Samples

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


class OnlyTakes:
    """A sound library whose devices take one rate and one number of channels, and nothing else."""

    class PortAudioError(Exception):
        """As the real one: words and a number."""

    def __init__(self, rate: int, channels: int) -> None:
        self.rate, self.channels = rate, channels
        self.callbacks: dict[str, Callable[..., None]] = {}

    def query_devices(self, device: int | None = None, kind: str | None = None) -> object:
        found = {
            "name": "headset",
            "max_input_channels": self.channels,
            "max_output_channels": self.channels,
            "default_samplerate": float(self.rate),
        }
        return found if kind else [found]

    def _stream(self, kind: str, **given: Any) -> SimpleNamespace:
        if given["samplerate"] != self.rate:
            raise self.PortAudioError("Error opening stream: Invalid sample rate", -9997)
        if given["channels"] != self.channels:
            raise self.PortAudioError("Error opening stream: Invalid number of channels", -9998)
        self.callbacks[kind] = given["callback"]
        return SimpleNamespace(start=lambda: None, abort=lambda: None, close=lambda: None)

    def InputStream(self, **given: Any) -> SimpleNamespace:  # noqa: N802
        return self._stream("input", **given)

    def OutputStream(self, **given: Any) -> SimpleNamespace:  # noqa: N802
        return self._stream("output", **given)


NO_TROUBLE = SimpleNamespace(input_overflow=False)
AT_ONCE = SimpleNamespace(outputBufferDacTime=0.0, currentTime=0.0)


def tone(rate: int, seconds: float) -> Samples:
    """440 Hz."""
    return np.rint(8000 * np.sin(np.arange(round(rate * seconds)) * 2 * np.pi * 440 / rate)).astype(np.int16)


def pitch_and_level(sound: Samples, rate: int) -> tuple[float, float]:
    """Hertz and root mean square of the middle of a sound."""
    middle = sound[len(sound) // 4 : -len(sound) // 4].astype(np.float64)
    spectrum = np.abs(np.fft.rfft(middle * np.hanning(len(middle))))
    return float(spectrum.argmax() * rate / len(middle)), float(np.sqrt((middle**2).mean()))


@pytest.mark.parametrize(("rate", "channels"), [(16000, 1), (8000, 1), (44100, 1), (44100, 2), (48000, 6), (16000, 2), (96000, 2)])
def test_a_device_with_a_rate_and_channels_of_its_own_hears_and_plays_the_same_sound(
    monkeypatch: pytest.MonkeyPatch, rate: int, channels: int
) -> None:
    library = OnlyTakes(rate, channels)
    monkeypatch.setattr(devices, "sound_library", lambda: library)
    player = Player()
    card = SoundCard(None, None, player)
    card.open()
    heard = np.repeat(tone(rate, 1.0)[:, None], channels, axis=1)
    for piece in np.array_split(heard, 20):
        library.callbacks["input"](piece, len(piece), AT_ONCE, NO_TROUBLE)
    blocks = []
    while (block := card.read(0)) is not None:
        blocks.append(block.samples)
    taken = np.concatenate(blocks)
    assert taken.dtype == np.int16 and abs(len(taken) - SAMPLE_RATE) < 0.08 * SAMPLE_RATE
    assert pitch_and_level(taken, SAMPLE_RATE) == pytest.approx((440, 8000 / np.sqrt(2)), rel=0.02)

    player.play(tone(SAMPLE_RATE, 1.0))
    played = []
    for frames in np.random.default_rng(1).integers(1, rate // 50, 400):
        piece = np.full((frames, channels), 99, dtype=np.int16)
        library.callbacks["output"](piece, frames, AT_ONCE, NO_TROUBLE)
        played.append(piece)
    out = np.concatenate(played)
    assert pitch_and_level(out[: rate - rate // 10, 0], rate) == pytest.approx((440, 8000 / np.sqrt(2)), rel=0.02)
    assert np.array_equal(out[:, 0], out[:, min(1, channels - 1)]) and not out[:, 2:].any()
    assert not out[round(1.2 * rate) :].any() and not player.speaking(time.monotonic() + 2)


def test_channels_that_cancel_each_other_are_heard_all_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    library = OnlyTakes(16000, 2)
    monkeypatch.setattr(devices, "sound_library", lambda: library)
    card = SoundCard(None, None, Player())
    card.open()
    sound = tone(16000, 0.05)
    library.callbacks["input"](np.column_stack([sound, -sound]), len(sound), AT_ONCE, NO_TROUBLE)
    block = card.read(0)
    assert block is not None and np.array_equal(block.samples, sound)


def test_a_device_that_takes_nothing_is_a_plain_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    library = OnlyTakes(11025, 3)
    monkeypatch.setattr(library, "query_devices", lambda *kind: OnlyTakes.query_devices(OnlyTakes(48000, 2), *kind))
    monkeypatch.setattr(devices, "sound_library", lambda: library)
    with pytest.raises(AudioError, match=r"cannot be used \(Error opening stream: Invalid sample rate\)"):
        SoundCard(None, None, Player()).open()
