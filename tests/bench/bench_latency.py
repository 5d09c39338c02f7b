"""A whole job by voice through virtual devices: delays stage by stage, barge-in, a device lost in the middle, processor and memory.

Run as a script from the repository root:

    python tests/bench/bench_latency.py [--decibels 10] [--lines 12] [--interruptions 10] [--idle 20] [--no-loss]

Needed: pulseaudio, pulseaudio-utils, libasound2-plugins.  The person is the committed recording, line by line, with site noise
so many decibels below the speech; a line that gets the wrong answer or none is said again (up to three times) and counted.
The end of the last word is found by correlating the recording with what the microphone gave, the first sound of the reply on
a tape of the loudspeaker, so nothing here trusts the session's own clock; its own stages are printed beside.
Aims: reply begins 0.7 s (p95) after the last word, 0.15 s of it ours; speech stops 0.1 s after a recognised word; idle
processor at most 15 % of a core.
"""

from __future__ import annotations

import argparse
import os
import resource
import sys
import tempfile
import threading
import time
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "audio_fixtures"))
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "speech"))
sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from listening import Line, Recording, read_recording
from live_partner import LONG, Marks, Notes
from site_noise import noise_bed
from virtual_devices import LOUDSPEAKER, MICROPHONE, TAPE, VirtualRoom, missing_tools

from assistant.conversation import Conversation
from assistant.job import Fact
from assistant.record.store import Store, Writer
from assistant.speech.devices import Block, SoundCard, choose, refresh, sound_library
from assistant.speech.live import LiveSession, Partner
from assistant.speech.models import find_model
from assistant.speech.player import Player
from assistant.speech.recogniser import Recogniser
from assistant.speech.synthesiser import Synthesiser
from assistant.speech.wav import SAMPLE_RATE, Samples

MARGIN_S = 0.05
"""Left before and after each line when it is cut from the recording."""
SOUND = 300
"""A sample of the tape above this is the assistant's voice."""
TRIES = 3


class Track:
    """Sound with the time at which each block had come in."""

    def __init__(self) -> None:
        self.blocks: list[tuple[float, Samples]] = []

    def since(self, moment: float) -> tuple[float, NDArray[np.float64]]:
        """(time of the first sample, samples) of what came in after a moment."""
        kept = [(at, samples) for at, samples in list(self.blocks) if at > moment]
        if not kept:
            return moment, np.zeros(0)
        return kept[0][0] - len(kept[0][1]) / SAMPLE_RATE, np.concatenate([samples for _, samples in kept]).astype(float)


class TappedCard(SoundCard):
    """A sound card whose microphone is also kept on a track."""

    def __init__(self, player: Player, track: Track) -> None:
        super().__init__(MICROPHONE, LOUDSPEAKER, player)
        self._track = track

    def read(self, seconds: float) -> Block | None:
        block = super().read(seconds)
        if block is not None:
            self._track.blocks.append((block.at, block.samples))
        return block


class Run:
    """One session, the person who talks to it, and the tape."""

    def __init__(self, room: VirtualRoom, recording: Recording, partner: Partner, synthesiser: Synthesiser) -> None:
        self.room, self.recording = room, recording
        self.microphone, self.tape = Track(), Track()
        self.player, self.notes = Player(), Notes()
        self.session = LiveSession(
            partner,
            recogniser=Recogniser(find_model()),
            synthesiser=synthesiser,
            card=TappedCard(self.player, self.microphone),
            player=self.player,
            screen=self.notes,
        )
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self.session.run, args=(self._stop.is_set,))
        self._thread.start()
        self.open_tape()
        self.settle()

    def open_tape(self) -> None:
        """Records the loudspeaker from now on."""
        time.sleep(1.0)
        self._stream = sound_library().InputStream(
            samplerate=SAMPLE_RATE, channels=1, dtype="int16", blocksize=800, device=choose(TAPE, True),
            callback=lambda data, frames, times, status: self.tape.blocks.append((time.monotonic(), data[:, 0].copy())),
        )
        self._stream.start()

    def settle(self) -> None:
        """Until the assistant is silent and its ears are open."""
        time.sleep(0.2)
        while self.player.speaking(time.monotonic()):
            time.sleep(0.02)
        time.sleep(0.6)

    def speak(self, line: Line) -> tuple[float, Samples]:
        """Says a line; when it was begun, and its sound."""
        cut = slice(round((line.start - MARGIN_S) * SAMPLE_RATE), round((line.end + MARGIN_S) * SAMPLE_RATE))
        sound = self.recording.clean[cut]
        begun = time.monotonic()
        self.room.speak(sound)
        return begun, sound

    def last_word(self, begun: float, sound: Samples) -> float:
        """When the line was over, on the microphone's track."""
        start, heard = self.microphone.since(begun)
        size = 1 << (len(heard) + len(sound)).bit_length()
        match = np.fft.irfft(np.fft.rfft(heard, size) * np.conj(np.fft.rfft(sound.astype(float), size)), size)
        return start + (int(np.argmax(match[: len(heard)])) + len(sound)) / SAMPLE_RATE - MARGIN_S

    def close(self) -> None:
        """Ends the session."""
        self._stop.set()
        self._thread.join()
        self._stream.close()


def table(name: str, seconds: list[float]) -> None:
    """One line of figures in milliseconds."""
    if seconds:
        values = np.array(seconds) * 1000
        middle, high = np.percentile(values, [50, 95])
        print(f"{name:46} n {len(values):3}   median {middle:6.0f}   p95 {high:6.0f}   max {values.max():6.0f} ms")


def whole_job(run: Run, conversation: Conversation, lines: tuple[Line, ...], lose_at: int | None) -> None:
    """Speaks the lines; a shadow of the conversation, typed, tells what should come of each."""
    shadow = Conversation(Forgetful())
    shadow.open()
    delays, wrong, given_up = [], 0, 0
    for number, line in enumerate(lines):
        if number == lose_at:
            lose(run)
        if line.words:
            shadow.typed(line.words)
        attempt = 0
        while attempt < TRIES:
            attempt += 1
            before, said = conversation.state, len(run.notes.texts)
            begun, sound = run.speak(line)
            deadline = begun + len(sound) / SAMPLE_RATE + 3.0
            while len(run.notes.texts) == said and time.monotonic() < deadline:
                time.sleep(0.01)
            run.settle()
            if len(run.notes.texts) > said:
                over = run.last_word(begun, sound)
                start, tape = run.tape.since(over)
                loud = np.flatnonzero(np.abs(tape) > SOUND)
                if len(loud):
                    delays.append(start + loud[0] / SAMPLE_RATE - over)
            if not line.words or same(conversation, shadow):
                break
            wrong += 1
            conversation.state = before  # the person would say “undo”
        else:
            given_up += 1
            conversation.state = shadow.state
        print(f"  {line.words or '(off topic)':45} {'' if attempt == 1 else f'said {attempt} times'}", flush=True)
    print(f"{len(lines)} lines, {wrong} said again, {given_up} given up; job as typed: {conversation.state.job == shadow.state.job}")
    table("last word to first sound (microphone, tape)", delays)
    done = [e for e in run.session.exchanges if e.begun is not None]
    table("  last word to endpoint (session)", [e.endpoint - e.word_end for e in done])
    table("  endpoint to answer kept on the disk", [e.decided - e.endpoint for e in done])
    table("  answer to first sentence rendered", [e.rendered - e.decided for e in done])
    table("  rendered to first sample heard", [e.begun - e.rendered for e in done])
    table("  ours: endpoint to first sample", [e.begun - e.endpoint for e in done])


def same(one: Conversation, other: Conversation) -> bool:
    """Whether two conversations stand at the same place of the same job."""
    return one.state.job == other.state.job and one.state.focus == other.state.focus


class Forgetful:
    """A keeper that keeps nothing."""

    def append(self, facts: object, heard: str = "") -> None:
        """Nothing."""


class Kept:
    """The real record, opened by the thread that writes it."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._writer: Writer | None = None

    def append(self, facts: Sequence[Fact], heard: str = "") -> None:
        """On the disk when it returns."""
        if self._writer is None:
            self._writer = self._store.open(self._store.create("bench"))
        self._writer.append(facts, heard)


def lose(run: Run) -> None:
    """The sound server dies and comes back after two seconds."""
    died = time.monotonic()
    run.room.kill()
    time.sleep(2.0)
    run.room.start()
    run.room.hum()
    back = time.monotonic()
    while not any(at > back and "are there" in text for at, text in run.notes.notices):
        time.sleep(0.02)
    told = min(at for at, _ in run.notes.notices if at > died)
    found = max(at for at, text in run.notes.notices if "are there" in text)
    print(f"  (sound server killed: told after {told - died:.2f} s; open again {found - back:.2f} s after it came back)")
    run.open_tape()
    run.settle()


def interruptions(run: Run, count: int) -> None:
    """“stop” in the middle of a long sentence, on a headset."""
    lines = {line.words: line for line in run.recording.lines}
    stops, missed = [], 0
    for _ in range(count):
        said = len(run.notes.texts)
        run.speak(lines["how many left"])
        while len(run.notes.texts) == said or run.notes.texts[-1][1] != LONG:
            time.sleep(0.01)
        time.sleep(0.8)
        begun, sound = run.speak(lines["stop"])
        time.sleep(2.0)
        over = run.last_word(begun, sound)
        start, tape = run.tape.since(begun)
        quiet = np.convolve(np.abs(tape) > SOUND, np.ones(1600), "valid") == 0
        first = next((i for i in np.flatnonzero(quiet) if start + i / SAMPLE_RATE > over - 0.6), None)
        if first is None or start + first / SAMPLE_RATE > over + 1.0:
            missed += 1
        else:
            stops.append(start + first / SAMPLE_RATE - over)
        run.settle()
    table("end of “stop” to silence on the tape", stops)
    print(f"interruptions not taken: {missed} of {count}")


def idle(seconds: float) -> None:
    """The processor while nobody speaks."""
    def used() -> float:
        usage = resource.getrusage(resource.RUSAGE_SELF)
        return usage.ru_utime + usage.ru_stime

    begun, before = time.monotonic(), used()
    time.sleep(seconds)
    share = (used() - before) / (time.monotonic() - begun)
    memory = int(next(x for x in Path("/proc/self/status").read_text().splitlines() if x.startswith("VmRSS")).split()[1]) / 1024
    print(f"idle: {share:.1%} of a core (this script's tape included), {memory:.0f} MiB resident")


def main() -> None:
    """Prints one line a figure."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--decibels", type=float, default=10.0)
    parser.add_argument("--lines", type=int, default=1000)
    parser.add_argument("--interruptions", type=int, default=10)
    parser.add_argument("--idle", type=float, default=20.0)
    parser.add_argument("--no-loss", action="store_true")
    options = parser.parse_args()
    if missing_tools():
        sys.exit(f"install {', '.join(missing_tools())}")
    recording = read_recording()
    lines = recording.lines[: options.lines]
    speech = np.concatenate([recording.clean[round(x.start * SAMPLE_RATE) : round(x.end * SAMPLE_RATE)] for x in lines])
    level = float(np.sqrt((speech.astype(float) ** 2).mean())) / 10 ** (options.decibels / 20)
    with tempfile.TemporaryDirectory() as name, Synthesiser() as synthesiser:
        room = VirtualRoom(Path(name))
        room.start()
        os.environ.update(room.environment)
        refresh()
        room.hum(np.rint(noise_bed(30, seed=3) * level).astype(np.int16))
        try:
            conversation = Conversation(Kept(Store(Path(name) / "record")))
            run = Run(room, recording, conversation, synthesiser)
            whole_job(run, conversation, lines, None if options.no_loss else len(lines) // 2)
            idle(options.idle)
            run.close()
            run = Run(room, read_recording("phrases"), Marks(on_headset=True), synthesiser)
            interruptions(run, options.interruptions)
            run.close()
        finally:
            room.kill()


if __name__ == "__main__":
    main()
