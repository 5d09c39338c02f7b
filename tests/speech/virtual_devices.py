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


def missing_tools() -> tuple[str, ...]:
    """What must be installed for these tests (Debian: pulseaudio, pulseaudio-utils, libasound2-plugins)."""
    return tuple(tool for tool in TOOLS if shutil.which(tool) is None)


class VirtualRoom:
    """The server, and a person in the room who can speak into the microphone and listen to the loudspeaker."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._server: subprocess.Popen[bytes] | None = None
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
            f"module-remap-source master=room.monitor source_name={MICROPHONE} channels=1",
            f"module-null-sink sink_name={LOUDSPEAKER} rate={SAMPLE_RATE} channels=1",
        )
        command = ["pulseaudio", "-n", "--daemonize=no", "--exit-idle-time=-1", "--disable-shm=yes", "--log-level=error"]
        for module in modules:
            command += ["-L", module]
        (self.folder / "native").unlink(missing_ok=True)
        quiet = subprocess.DEVNULL
        self._server = subprocess.Popen(command, env=self._full(), stdout=quiet, stderr=quiet)
        deadline = time.monotonic() + 10
        while subprocess.run(["pactl", "info"], env=self._full(), stdout=quiet, stderr=quiet, check=False).returncode:
            assert time.monotonic() < deadline, "the sound server does not start"
            time.sleep(0.05)

    def kill(self) -> None:
        """The server dies without a word, as with a flat battery or a crash."""
        if self._server is not None:
            self._server.send_signal(signal.SIGKILL)
            self._server.wait()
            self._server = None

    def speak(self, samples: Samples) -> subprocess.Popen[bytes]:
        """Begins to speak into the microphone, in real time."""
        command = ["pacat", "--playback", "--device=room", "--rate=16000", "--channels=1", "--format=s16le"]
        voice = subprocess.Popen([*command, "--latency-msec=40"], env=self._full(), stdin=subprocess.PIPE)
        assert voice.stdin is not None
        voice.stdin.write(np.ascontiguousarray(samples).tobytes())
        voice.stdin.close()
        return voice

    @contextmanager
    def recording(self, path: Path) -> Iterator[None]:
        """Records the loudspeaker into a WAV file."""
        command = ["parec", f"--device={LOUDSPEAKER}.monitor", "--rate=16000", "--channels=1", "--format=s16le"]
        recorder = subprocess.Popen([*command, "--file-format=wav", str(path)], env=self._full())
        try:
            yield
        finally:
            recorder.terminate()
            recorder.wait()

    def _full(self) -> dict[str, str]:
        return {**os.environ, **self.environment}
