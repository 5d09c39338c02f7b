"""Microphone and loudspeaker, by name.

Crosses the border: blocks of samples come in from the microphone's thread, pieces of the player go out to the
loudspeaker's.  The only file that imports sounddevice, and only when a device is wanted: a machine without a sound card
still reads files.
"""

from __future__ import annotations

import queue
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from assistant.errors import AudioError
from assistant.speech.device_formats import OURS, DeviceFormat, Incoming, Outgoing, formats
from assistant.speech.player import Player
from assistant.speech.wav import BLOCK, SAMPLE_RATE, Samples

LOST_AFTER_S = 0.5
"""A device that has not called for this long is gone: after the death of a sound server a stream still says it is active."""
START_S = 3.0
"""A device may take this long to call for the first time."""
_CLOSE_S = 2.0
_OTHER_FORMAT = frozenset((-9999, -9998, -9997, -9994))
"""PortAudio's numbers for a rate, channels or a form of samples that a device has not, and for a trouble of the system's own
(portaudio.h, PaErrorCode): Windows says no more than that of a wrong rate."""


@dataclass(frozen=True, slots=True)
class Device:
    """A sound device as the system names it."""

    name: str
    microphone: bool
    loudspeaker: bool


@dataclass(frozen=True, slots=True)
class Block:
    """One piece of sound from the microphone."""

    samples: Samples
    at: float
    """When its last sample had come in, on the clock of time.monotonic."""
    overrun: bool
    """Whether sound before it was lost because nobody fetched it in time."""


def sound_library() -> Any:
    """The sounddevice module.  Raises AudioError when it cannot be loaded."""
    try:
        import sounddevice
    except (ImportError, OSError) as error:
        raise AudioError("no sound library: install PortAudio (Debian: apt-get install libportaudio2)") from error
    return sounddevice


def refresh() -> None:
    """Looks for devices anew.  Every open stream must be closed before."""
    library = sound_library()
    library._terminate()
    library._initialize()


def list_devices() -> tuple[Device, ...]:
    """The devices known since the start or the last refresh."""
    return tuple(
        Device(entry["name"], entry["max_input_channels"] > 0, entry["max_output_channels"] > 0)
        for entry in sound_library().query_devices()
    )


def choose(name: str | None, microphone: bool) -> int | None:
    """The number of the first device with this name, or a name that holds it; None (the system's choice) without a name.

    Raises AudioError, naming the devices there are.
    """
    kind = "microphone" if microphone else "loudspeaker"
    usable = [(number, device) for number, device in enumerate(list_devices()) if (device.microphone if microphone else device.loudspeaker)]
    if not usable:
        raise AudioError(f"there is no {kind}: plug one in or switch it on")
    if name is None:
        return None
    for same in (str.__eq__, str.__contains__):
        for number, device in usable:
            if same(device.name.lower(), name.lower()):
                return number
    known = ", ".join(device.name for _, device in usable)
    raise AudioError(f"there is no {kind} {name!r}: choose one of {known}")


class SoundCard:
    """One microphone and one loudspeaker, opened, watched and opened again together."""

    name = "the loudspeaker"
    unheard = True
    """Whether the last words may have been cut off when it was lost: a dead sound server does not tell."""

    def __init__(self, microphone: str | None, loudspeaker: str | None, player: Player) -> None:
        self._names = (microphone, loudspeaker)
        self._player = player
        self._blocks: queue.SimpleQueue[Block] = queue.SimpleQueue()
        self._streams: tuple[Any, Any] | None = None
        self._last_in = self._last_out = self._opened = 0.0
        self.overruns = 0
        """How often sound was lost because nobody fetched it in time."""

    def open(self) -> None:
        """Opens both.  Raises AudioError."""
        library = sound_library()
        microphone, loudspeaker = choose(self._names[0], True), choose(self._names[1], False)
        self._opened = time.monotonic()
        self._last_in = self._last_out = self._opened
        opened: list[Any] = []
        try:
            for make, device in ((self._loudspeaker, loudspeaker), (self._microphone, microphone)):
                opened.append(make(library, device))
            for stream in opened:
                stream.start()
        except library.PortAudioError as error:
            for stream in opened:
                _end(stream.close)
            raise AudioError(f"the sound device cannot be used ({error.args[0]}): check that no other program holds it") from error
        self._streams = (opened[1], opened[0])

    def _microphone(self, library: Any, device: int | None) -> Any:
        def opened(form: DeviceFormat) -> Any:
            incoming = Incoming(form)

            def take(data: NDArray[np.int16], frames: int, times: Any, status: Any) -> None:
                now = time.monotonic()
                self._last_in = now
                samples = incoming.taken(data)
                if len(samples):
                    self._blocks.put(Block(samples, now, bool(status.input_overflow)))

            size = round(BLOCK * form.rate / SAMPLE_RATE)
            return library.InputStream(
                device=device, callback=take, blocksize=size, samplerate=form.rate, channels=form.channels, dtype="int16"
            )

        return _in_some_format(library, opened, device, "input")

    def _loudspeaker(self, library: Any, device: int | None) -> Any:
        def opened(form: DeviceFormat) -> Any:
            outgoing = Outgoing(form, self._player.fill)

            def give(data: NDArray[np.int16], frames: int, times: Any, status: Any) -> None:
                now = time.monotonic()
                self._last_out = now
                outgoing.give(data, now + max(0.0, times.outputBufferDacTime - times.currentTime))

            return library.OutputStream(device=device, callback=give, samplerate=form.rate, channels=form.channels, dtype="int16")

        return _in_some_format(library, opened, device, "output")

    def read(self, seconds: float) -> Block | None:
        """The next block; None when none came in that time."""
        try:
            block = self._blocks.get(timeout=seconds)
        except queue.Empty:
            return None
        self.overruns += block.overrun
        return block

    @property
    def microphone_lost(self) -> bool:
        """Whether the microphone has gone silent on us."""
        return self._lost(self._last_in)

    @property
    def loudspeaker_lost(self) -> bool:
        """Whether the loudspeaker asks for nothing any more."""
        return self._lost(self._last_out)

    def _lost(self, last: float) -> bool:
        now = time.monotonic()
        return now - last > LOST_AFTER_S and now - self._opened > START_S

    def close(self) -> None:
        """Closes both, whatever state they are in, and forgets sound that was not fetched."""
        streams, self._streams = self._streams, None
        for stream in streams or ():
            _end(stream.abort, stream.close)
        while self.read(0) is not None:
            pass

    def reopen(self) -> None:
        """Closes, looks for the devices anew and opens them by name.  Raises AudioError while they are not there."""
        self.close()
        _end(refresh)
        self.open()


def _in_some_format(library: Any, opened: Callable[[DeviceFormat], Any], device: int | None, kind: str) -> Any:
    """The stream in the first format that the device takes.  Raises PortAudioError: the first, where it takes none."""
    try:
        return opened(OURS)
    except library.PortAudioError as error:
        if not _OTHER_FORMAT.intersection(error.args):
            raise
        about = library.query_devices(device, kind)
        for form in formats(about, about[f"max_{kind}_channels"]):
            with suppress(library.PortAudioError):
                return opened(form)
        raise


def _end(*actions: Callable[[], object]) -> None:
    """Does what may fail or hang when the sound server is dead; it is given a little time."""

    def attempt() -> None:
        for action in actions:
            try:
                action()
            except Exception:  # a dead device fails in every possible way, and is to be left all the same
                continue

    thread = threading.Thread(target=attempt, name="sound device", daemon=True)
    thread.start()
    thread.join(_CLOSE_S)
