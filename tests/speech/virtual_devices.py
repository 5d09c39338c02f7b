"""A sound server of our own with a virtual microphone and loudspeaker, so that real devices are tested without hardware."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np

from assistant.speech.wav import SAMPLE_RATE, Samples

TOOLS = ("pulseaudio", "pacat", "parec", "pactl")
MICROPHONE = "site_microphone"
LOUDSPEAKER = "site_loudspeaker"
TAPE = "site_tape"
"""What the loudspeaker plays, as a microphone."""

_ALSA = """
pcm.!default {{ type pulse device {loudspeaker} }}
ctl.!default {{ type pulse }}
pcm.{microphone} {{ type pulse device {microphone} }}
pcm.{loudspeaker} {{ type pulse device {loudspeaker} }}
pcm.{tape} {{ type pulse device {loudspeaker}.monitor }}
"""
_FORMAT = ["--rate=16000", "--channels=1", "--format=s16le"]
_PLAY = ["pacat", "--playback", "--device=room", "--latency-msec=250", *_FORMAT]
_RECORD = ["parec", f"--device={LOUDSPEAKER}.monitor", "--latency-msec=40", *_FORMAT]


def missing_tools() -> tuple[str, ...]:
    """What must be installed for these tests (Debian: pulseaudio, pulseaudio-utils, libasound2-plugins)."""
    return tuple(tool for tool in TOOLS if shutil.which(tool) is None)


class VirtualRoom:
    """The server, and what sounds in the room: a hum that goes on, people who speak, a tape that runs."""

    def __init__(self, folder: Path, rate: int = SAMPLE_RATE, channels: int = 1) -> None:
        """`rate` and `channels` are those of both devices."""
        self.folder = folder
        form = f"rate={rate} channels={channels}"
        self._devices = {
            MICROPHONE: f"module-remap-source master=room.monitor source_name={MICROPHONE} {form} remix=yes",
            LOUDSPEAKER: f"module-null-sink sink_name={LOUDSPEAKER} {form}",
        }
        self._server: subprocess.Popen[bytes] | None = None
        self._hum: subprocess.Popen[bytes] | None = None
        self._others: list[subprocess.Popen[bytes]] = []
        self._count = 0
        config = folder / "asound.conf"
        config.write_text(_ALSA.format(microphone=MICROPHONE, loudspeaker=LOUDSPEAKER, tape=TAPE), encoding="utf-8")
        self.environment = {
            "PULSE_SERVER": f"unix:{folder}/native",
            "PULSE_RUNTIME_PATH": str(folder),
            "ALSA_CONFIG_PATH": str(config),
            "HOME": str(folder),
        }

    def start(self) -> None:
        """Starts the server and waits until its devices are there."""
        modules = (
            f"module-native-protocol-unix auth-anonymous=1 socket={self.folder}/native",
            f"module-null-sink sink_name=room rate={SAMPLE_RATE} channels=1",
            *self._devices.values(),
        )
        command = ["pulseaudio", "-n", "--daemonize=no", "--exit-idle-time=-1", "--disable-shm=yes", "--log-level=error"]
        for module in modules:
            command += ["-L", module]
        (self.folder / "native").unlink(missing_ok=True)
        self._server = self._run(command)
        deadline = time.monotonic() + 10
        while self._run(["pactl", "info"]).wait():
            assert time.monotonic() < deadline, "the sound server does not start"
            time.sleep(0.05)
        # A null sink that nobody listens to works in steps of two seconds.
        self._others.append(self._run([*_RECORD, "/dev/null"]))

    def kill(self) -> None:
        """The server dies without a word, as in a crash."""
        self.hush()
        if self._server is not None:
            self._server.send_signal(signal.SIGKILL)
            self._server.wait()
            self._server = None
        for process in self._others:
            process.terminate()
            process.wait()
        self._others.clear()

    def take_away(self, device: str) -> None:
        """One device alone falls silent.  One that is unplugged would not do: the server puts another in its place."""
        self._suspend(device, "1")

    def give_back(self, device: str) -> None:
        """It is there once more."""
        self._suspend(device, "0")

    def _suspend(self, device: str, yes: str) -> None:
        self._run(["pactl", "suspend-source" if device == MICROPHONE else "suspend-sink", device, yes]).wait()

    def hum(self, samples: Samples | None = None) -> None:
        """Lets a sound go round and round in the room; without one, the same as before."""
        self.hush()
        path = self.folder / "hum.raw"
        if samples is not None:
            path.write_bytes(np.tile(samples, 30).tobytes())
        self._hum = self._run([*_PLAY, str(path)])

    def hush(self) -> None:
        """No more of that sound."""
        if self._hum is not None:
            self._hum.terminate()
            self._hum.wait()
            self._hum = None

    def speak(self, samples: Samples) -> None:
        """Begins to speak into the microphone, in real time."""
        self._count += 1
        path = self.folder / f"voice{self._count}.raw"
        path.write_bytes(np.ascontiguousarray(samples).tobytes())
        self._others.append(self._run([*_PLAY, str(path)]))

    @contextmanager
    def recording(self, path: Path) -> Iterator[None]:
        """Records the loudspeaker into a file of bare samples."""
        recorder = self._run([*_RECORD, str(path)])
        try:
            yield
        finally:
            recorder.terminate()
            recorder.wait()

    def _run(self, command: list[str]) -> subprocess.Popen[bytes]:
        quiet = subprocess.DEVNULL
        return subprocess.Popen(command, env={**os.environ, **self.environment}, stdout=quiet, stderr=quiet)
