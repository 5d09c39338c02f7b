"""Sound server, microphone and loudspeaker lost in turn during a job by voice, on devices of several kinds.

Run as a script from the repository root: python tests/bench/bench_losses.py [ROUNDS]     (needs pulseaudio; two minutes a round and kind)
For each kind of device (rate, channels) a job is begun by `listen` and the lines of the recording are spoken into a virtual microphone
as it asks for them.  Now and then one thing is lost for AWAY_S and comes back: the server, the microphone, the loudspeaker.  Asked is:
is the loss shown, is the device found again, is every fact there, and does the job go on by voice?  The exit status is 1 where not.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from contextlib import ExitStack
from functools import partial
from pathlib import Path

import numpy as np
from bench_kills import GOING_ON, chained, run
from tries import ROOT, Tally, told

sys.path.insert(0, str(ROOT / "tests/speech"))

from listening import read_recording
from site_noise import noise_bed
from virtual_devices import LOUDSPEAKER, MICROPHONE, VirtualRoom

from assistant import cli
from assistant.record.store import Store
from assistant.speech.wav import SAMPLE_RATE

KINDS = ((16_000, 1), (8_000, 1), (44_100, 2), (48_000, 6))
AWAY_S = 3.0
BACK_S = 20.0
"""A device that is there once more has to be found in this time."""
SERVER = "sound server"
LOSSES = (SERVER, MICROPHONE, LOUDSPEAKER)
BETWEEN = 2
"""Times that something is kept between two losses."""
ANSWERS = (
    ("wide is a picket", "ninety millimetres"),
    ("is the largest gap", "one hundred"),
    ("bottom opening", "eighteen fifteen"),
    ("top opening", "the same"),
    ("picket", "ninety millimetres"),
    ("largest gap", "one hundred"),
    ("bottom", "eighteen fifteen"),
    ("top", "eighteen fifteen"),
)
"""What is asked or doubted, and the line of the recording that answers it."""
SAID_AGAIN = 6
"""Times that a line is spoken at most: a busy machine chops the sound."""
SILENT_S = 1.2
MOST_TALK_S = 25.0


def lose(room: VirtualRoom, what: str) -> None:
    """It is gone, and after a while it is there once more."""
    room.kill() if what == SERVER else room.take_away(what)
    time.sleep(AWAY_S)
    room.start() if what == SERVER else room.give_back(what)
    if what == SERVER:
        room.hum()


class Tape:
    """What the loudspeaker plays, so that nobody talks while the assistant does."""

    def __init__(self, room: VirtualRoom, path: Path) -> None:
        self._room, self._path = room, path
        self._running = ExitStack()
        self.anew()

    def anew(self) -> None:
        """Begins once more, behind a loss."""
        self._running.close()
        self._running = ExitStack()
        self._running.enter_context(self._room.recording(self._path))

    def wait(self) -> None:
        """Until the assistant has been silent for a moment, and its ears are open."""
        deadline = time.monotonic() + MOST_TALK_S
        while time.monotonic() < deadline:
            time.sleep(0.2)
            sound = np.fromfile(self._path, dtype=np.int16)[-round(SILENT_S * SAMPLE_RATE) :]
            if len(sound) and not (np.abs(sound.astype(np.int32)) > 50).any():
                return

    def close(self) -> None:
        """No more of it."""
        self._running.close()


def shown(screen: Path, since: int, words: str, seconds: float) -> str:
    """What was shown since then, once these words are among it or the time is over."""
    deadline = time.monotonic() + seconds
    while words not in (seen := screen.read_text()[since:]) and time.monotonic() < deadline:
        time.sleep(0.2)
    return seen


def answer(screen: str) -> str:
    """What a builder says to the last that the assistant said."""
    said = screen.rsplit("assistant  ", 1)[-1].lower()
    return next((words for asked, words in ANSWERS if asked in said), "next bay")


def job(folder: Path, rate: int, channels: int) -> Tally:
    """One job on devices of one kind."""
    kind, tally = f"{rate} Hz, {channels} channels", Tally()
    room = VirtualRoom(folder, rate, channels)
    room.start()
    os.environ.update(room.environment)
    room.hum(np.rint(noise_bed(20, seed=1) * 100).astype(np.int16))
    recording = read_recording()
    home, screen = folder / "home", folder / "screen.log"
    running = run(partial(cli.main, ["listen", "--home", str(home), "--mic", MICROPHONE, "--speaker", LOUDSPEAKER]), screen)
    tape = Tape(room, folder / "tape")
    shown(screen, 0, "How wide", 60.0)
    lines = {line.words: line for line in recording.lines}
    for what in (None, *LOSSES):
        if what is not None:
            before = len(screen.read_text())
            lose(room, what)
            tape.anew()
            seen = shown(screen, before, "are there", BACK_S)
            found = "gone" in seen and "are there" in seen
            tally.add(f"{kind}: {what} lost, told and found" if found else f"broken: {kind}, {what} not told", what=repr(seen[-600:]))
        wanted = len(running.kept) + BETWEEN
        for _ in range(SAID_AGAIN * BETWEEN):
            tape.wait()
            line = lines[answer(screen.read_text())]
            sound = recording.clean[round((line.start - 0.1) * SAMPLE_RATE) : round((line.end + 0.1) * SAMPLE_RATE)]
            room.speak(sound)
            known = len(running.kept)
            running.until(lambda known=known: len(running.kept) > known, time.monotonic() + len(sound) / SAMPLE_RATE + 4.0)
            if len(running.kept) >= wanted:
                break
        gone_on = len(running.kept) >= wanted
        behind = f"behind the {what}" if what else "at the start"
        tally.add(f"{kind}: gone on with by voice" if gone_on else f"broken: {kind}, nothing kept {behind}", what=screen.read_text()[-600:])
    tape.close()
    running.end(kill=True)
    room.kill()
    count, chain = running.kept[-1][1:] if running.kept else (0, chained(()))
    facts = Store(home).facts(1)
    again = run(partial(cli.main, ["resume", "--type", "--home", str(home)]), folder / "again.log", GOING_ON).end(kill=False)
    whole = not again and chained(facts[:count]) == chain
    tally.add(f"{kind}: {count} facts kept, gone on with" if whole else f"broken: {kind}, facts lost", what=str(count))
    return tally


def main(rounds: int) -> int:
    """Every kind, so many times; the exit status."""
    everything = Tally()
    for _ in range(rounds):
        for rate, channels in KINDS:
            with tempfile.TemporaryDirectory() as name:
                everything.times += job(Path(name), rate, channels).times
    return told(everything)


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 1))
