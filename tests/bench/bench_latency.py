"""Whole jobs by voice alone through virtual devices: delays stage by stage, a device lost in the middle, barge-in, processor, memory.

Run as a script from the repository root:

    python tests/bench/bench_latency.py [--decibels 30 10] [--voice ash] [--no-loss] [--interruptions 20] [--idle 20] [--transcript FILE]

Needed: pulseaudio, pulseaudio-utils, libasound2-plugins, and what audio_fixtures/make_fixtures.py needs.  The person is the builder of
tests/builder.py: he knows the job, speaks into the virtual microphone with site noise so many decibels below his voice, and decides
what to say from what the assistant says, nothing else.  Once, while he says a length, the sound server dies for two seconds.  A job
counts when every mark was called and every number on the record is his; nothing is set right from outside.

The end of the last word is found by correlating what was played with what the microphone gave, the first sound of the reply on a tape
of the loudspeaker, so nothing here trusts the session's own clock; its own stages are printed beside.  Aims: the reply begins 0.7 s
(p95) after the last word, 0.15 s of it ours; speech stops 0.1 s after a recognised word; idle processor at most 15 % of a core.
"""

from __future__ import annotations

import argparse
import os
import resource
import sys
import tempfile
import threading
import time
from collections import deque
from collections.abc import Callable, Sequence
from fractions import Fraction
from pathlib import Path
from random import Random

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "speech"))
sys.path.insert(0, str(Path(__file__).resolve().parents[0]))
sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from builder import Builder, Wanted, Words, wrong_values
from live_partner import LONG, Marks, Notes
from site_voices import VOICES, Site
from virtual_devices import LOUDSPEAKER, MICROPHONE, TAPE, VirtualRoom, missing_tools

from assistant.conversation import Conversation
from assistant.events import Utterance
from assistant.fold import standing
from assistant.job import Fact, Job, MarkCalled
from assistant.plan import is_confirmed, set_out_of
from assistant.record.store import Store, Writer
from assistant.setout.lengths import Unit
from assistant.speech.devices import Block, SoundCard, choose, refresh, sound_library
from assistant.speech.live import LiveSession, Partner
from assistant.speech.models import find_model
from assistant.speech.player import Player
from assistant.speech.recogniser import Recogniser
from assistant.speech.secondear import open_second_ear
from assistant.speech.synthesiser import Synthesiser
from assistant.speech.wav import SAMPLE_RATE, Samples

SOUND = 300
"""A sample of the tape above this is the assistant's voice."""
KEPT_S = 60
PATIENCE_S = 3.0
"""So long after his last word he waits for a reply."""
AWAY_S = 2.0
LOSS_AT = "two thousand one hundred and forty five"
"""While he says this for the first time, in whatever wording, the sound server dies."""

THREE_BAYS_AND_A_GATE = Wanted(
    Unit.MM,
    (
        (("picket", Fraction(90)), ("limit", Fraction(100))),
        (("bottom", Fraction(1815)), ("top", Fraction(1815))),
        (("bottom", Fraction(2145)), ("top", Fraction(2138))),
        (("opening", Fraction(1000)), ("hinge", Fraction(20)), ("latch", Fraction(20)), ("leaves", Fraction(1))),
        (("bottom", Fraction(1640)), ("top", Fraction(1652))),
    ),
)


class Track:
    """The last minute of a sound, with the time at which each block had come in."""

    def __init__(self) -> None:
        self.blocks: deque[tuple[float, Samples]] = deque(maxlen=KEPT_S * SAMPLE_RATE // 800)

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


class WatchedPlayer(Player):
    """A player that notes when it was stopped."""

    def __init__(self) -> None:
        super().__init__()
        self.stopped: list[float] = []

    def stop(self, now: float) -> None:
        self.stopped.append(now)
        super().stop(now)


class Ears(Notes):
    """A screen that also notes what was made of the words, for the transcript."""

    def __init__(self) -> None:
        super().__init__()
        self.utterances: list[Utterance] = []

    def heard(self, utterance: Utterance) -> None:
        self.utterances.append(utterance)


class Run:
    """One session, the room it is in, and the tape."""

    def __init__(self, room: VirtualRoom, partner: Partner, synthesiser: Synthesiser, model: str | None) -> None:
        self.room = room
        self.microphone, self.tape = Track(), Track()
        self.player, self.notes = WatchedPlayer(), Ears()
        self.session = LiveSession(
            partner,
            recogniser=Recogniser(find_model(model)),
            second=open_second_ear(print),
            synthesiser=synthesiser,
            card=TappedCard(self.player, self.microphone),
            player=self.player,
            screen=self.notes,
        )
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self.session.run, args=(self._stop.is_set,))
        self._thread.start()
        time.sleep(1.0)
        self.open_tape()

    def open_tape(self) -> None:
        """Records the loudspeaker from now on."""
        self._stream = sound_library().InputStream(
            samplerate=SAMPLE_RATE,
            channels=1,
            dtype="int16",
            blocksize=800,
            device=choose(TAPE, True),
            callback=lambda data, frames, times, status: self.tape.blocks.append((time.monotonic(), data[:, 0].copy())),
        )
        self._stream.start()

    def settle(self) -> None:
        """Until the assistant has fallen silent."""
        time.sleep(0.1)
        while self.player.speaking(time.monotonic()):
            time.sleep(0.02)

    def speak(self, sound: Samples) -> float:
        """Lets somebody speak; when it was begun."""
        begun = time.monotonic()
        self.room.speak(sound)
        return begun

    def last_word(self, begun: float, sound: Samples) -> float:
        """When what was said was over, on the microphone's track."""
        start, heard = self.microphone.since(begun)
        size = 1 << (len(heard) + len(sound)).bit_length()
        match = np.fft.irfft(np.fft.rfft(heard, size) * np.conj(np.fft.rfft(sound.astype(float), size)), size)
        return start + (int(np.argmax(match[: len(heard)])) + len(sound)) / SAMPLE_RATE

    def first_sound(self, after: float) -> float | None:
        """When the loudspeaker first gave a sound after a moment, on the tape."""
        start, tape = self.tape.since(after)
        loud = np.flatnonzero(np.abs(tape) > SOUND)
        return start + loud[0] / SAMPLE_RATE if len(loud) else None

    def close(self) -> None:
        """Ends the session."""
        self._stop.set()
        self._thread.join()
        self._stream.close()


class ThroughDevices:
    """The assistant as somebody on the site has it: it speaks from the loudspeaker, and hears by the microphone (`builder.Assistant`)."""

    def __init__(self, run: Run, conversation: Conversation, site: Site, random: Random, lose: bool) -> None:
        self.run, self.site, self.random = run, site, random
        self.made_of_it: Words | None = None
        self.delays: list[float] = []
        self.delays_right: list[float] = []
        """Those of words that were heard as they were said."""
        self.early = 0
        """Replies that began before he had finished."""
        self.silent = 0
        """Phrases that nothing was said to."""
        self.log: list[str] = []
        self._conversation = conversation
        self._read = 0
        self._lose = lose
        self._loss: threading.Thread | None = None

    @property
    def job(self) -> Job:
        return self._conversation.state.job

    def begin(self) -> str:
        return self._listen()

    def unasked(self) -> str:
        time.sleep(0.55 + self.random.uniform(0.1, 0.5))  # the tone has sounded, he draws breath
        return self._listen() if len(self.run.notes.texts) > self._read else ""

    def answer(self, said: Words, number: bool) -> str:
        sound = self.site.say(" ".join(said), self.random)
        heard = len(self.run.notes.utterances)
        begun = self.run.speak(sound)
        lost = self._lose and self._loss is None and said in LOSS_WORDS
        if lost:
            time.sleep(0.4)
            self._loss = threading.Thread(target=self._fail)
            self._loss.start()
        deadline = begun + len(sound) / SAMPLE_RATE + PATIENCE_S
        while len(self.run.notes.texts) == self._read and time.monotonic() < deadline:
            time.sleep(0.01)
        answered = len(self.run.notes.texts) > self._read
        reply = self._listen()
        now = self.run.notes.utterances[heard:]
        self.made_of_it = now[-1].words if now and now[-1].understood else None
        self.silent += not answered
        if answered and not lost and now:
            self._time(begun, sound, self.made_of_it == said)
        return reply

    def _time(self, begun: float, sound: Samples, right: bool) -> None:
        over = self.run.last_word(begun, sound)
        first = self.run.first_sound(begun + 0.1)
        if first is None:
            return
        self.early += first < over
        if first >= over:
            self.delays.append(first - over)
            if right:
                self.delays_right.append(first - over)

    def _listen(self) -> str:
        """Hears the assistant out; everything it has said."""
        self.run.settle()
        texts = self.run.notes.texts[self._read :]
        self._read += len(texts)
        return " ".join(text for _, text in texts)

    def _fail(self) -> None:
        """The sound server dies and comes back; what the console shows meanwhile goes into the log."""
        run, died = self.run, time.monotonic()
        shown = len(run.notes.notices)
        run.room.kill()
        time.sleep(AWAY_S)
        run.room.start()
        run.room.hum()
        back = time.monotonic()
        while not any("are there" in text for _, text in run.notes.notices[shown:]):
            time.sleep(0.02)
        (told, text), (found, _) = run.notes.notices[shown], run.notes.notices[-1]
        self.log.append(f"(the sound server dies while he speaks; the console after {told - died:.2f} s: {text};")
        self.log.append(f" the server is back after {back - died:.2f} s, the devices are open {found - back:.2f} s after that)")
        run.open_tape()

    def lost(self) -> bool:
        """Whether a device was lost."""
        return self._loss is not None


LOSS_WORDS = tuple(
    tuple(words.split())
    for words in (LOSS_AT, LOSS_AT.replace(" and", ""), "twenty one forty five", "two one four five")
    for words in (words, f"{words} millimetres")
)


def table(name: str, seconds: Sequence[float]) -> None:
    """One line of figures in milliseconds."""
    if seconds:
        values = np.array(seconds) * 1000
        middle, high = np.percentile(values, [50, 95])
        print(f"{name:46} n {len(values):3}   median {middle:6.0f}   p95 {high:6.0f}   max {values.max():6.0f} ms", flush=True)


class Kept:
    """The real record, opened by the thread that writes it."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._writer: Writer | None = None
        self.number = store.create("bench")

    def append(self, facts: Sequence[Fact], heard: str = "") -> None:
        """On the disk when it returns."""
        if self._writer is None:
            self._writer = self._store.open(self.number)
        self._writer.append(facts, heard)


def whole_job(room: VirtualRoom, synthesiser: Synthesiser, site: Site, given: argparse.Namespace, home: Path) -> list[str]:
    """The job from the first question to the last mark; gives the transcript."""
    store = Store(home)
    kept = Kept(store)
    conversation = Conversation(kept)
    run = Run(room, conversation, synthesiser, given.model)
    random = Random(given.seed)
    assistant = ThroughDevices(run, conversation, site, random, not given.no_loss)
    builder = Builder(THREE_BAYS_AND_A_GATE, assistant, random)
    assistant.log = builder.log
    begun = time.monotonic()
    tally = builder.build()
    seconds = time.monotonic() - begun
    run.close()
    facts = standing(store.facts(kept.number))
    job = store.job(kept.number)
    called = {fact.position for fact in facts if isinstance(fact, MarkCalled)}
    marks = sum(to_call(job, bay) for bay in range(len(job.bays)))
    wrong = list(wrong_values(THREE_BAYS_AND_A_GATE, job))
    done = not tally.stuck and not wrong and len(called) == marks and all(is_confirmed(job, index) for index in range(len(job.bays)))
    print(
        f"job {'done' if done else 'NOT done'} in {seconds / 60:.1f} min: {len(called)} of {marks} marks called, "
        f"wrong on the record {wrong}, device lost {assistant.lost()}"
    )
    print(
        f"{tally.turns} turns, {tally.length_turns} for {tally.lengths} lengths, words wrong in lengths "
        f"{tally.misheard} of {tally.said}, no reply to {assistant.silent}, reply too early {assistant.early}, "
        f"words spoken {tally.spoken}, overruns {run.session._overruns}"
    )
    table("last word to first sound (microphone, tape)", assistant.delays)
    table("  the same, where the words were heard right", assistant.delays_right)
    done_ones = [e for e in run.session.exchanges if e.begun is not None]
    table("  last word to endpoint (session)", [e.endpoint - e.word_end for e in done_ones])
    table("  endpoint to answer kept on the disk", [e.decided - e.endpoint for e in done_ones])
    table("  answer to first sentence rendered", [e.rendered - e.decided for e in done_ones])
    table("  rendered to first sample heard", [e.begun - e.rendered for e in done_ones if e.begun])
    table("  ours: endpoint to first sample", [e.begun - e.endpoint for e in done_ones if e.begun])
    return builder.log


def to_call(job: Job, bay: int) -> int:
    """Marks of a bay: those of one rail where all rails have the same."""
    rails = [[mark.value for mark in rail.marks] for rail in set_out_of(job, bay).rails]
    return len(rails[0]) if all(rail == rails[0] for rail in rails) else sum(map(len, rails))


def interruptions(run: Run, site: Site, count: int) -> None:
    """“stop” in the middle of a long sentence, on a headset."""
    words, silences, stops, missed = Random(2), [], [], 0
    for _ in range(count):
        said = len(run.notes.texts)
        until(
            lambda said=said: len(run.notes.texts) > said and run.notes.texts[-1][1] == LONG,
            lambda: run.speak(site.say("how many left", words)),
        )
        time.sleep(0.8 + words.uniform(0, 0.5))
        sound, stopped = site.say("stop", words), len(run.player.stopped)
        begun = run.speak(sound)
        time.sleep(2.0)
        over = run.last_word(begun, sound)
        start, tape = run.tape.since(begun)
        recognised = next(iter(run.player.stopped[stopped:]), None)
        if recognised is None:
            missed += 1
        else:
            quiet = np.convolve(np.abs(tape) > SOUND, np.ones(1600), "valid") == 0
            silent = next(at for i in np.flatnonzero(quiet) if (at := start + i / SAMPLE_RATE) >= recognised)
            silences.append(silent - over)
            stops.append(silent - recognised)
        run.settle()
        time.sleep(0.6)
    table("end of “stop” to silence on the tape", silences)
    table("  “stop” recognised to silence on the tape", stops)
    print(f"interruptions not taken: {missed} of {count}")


def until(happened: Callable[[], bool], attempt: Callable[[], object]) -> None:
    """Tries until it happens."""
    while True:
        attempt()
        deadline = time.monotonic() + 5
        while time.monotonic() < deadline:
            if happened():
                return
            time.sleep(0.01)


def idle(seconds: float) -> None:
    """The processor while nobody speaks."""

    def used() -> float:
        usage = resource.getrusage(resource.RUSAGE_SELF)
        return usage.ru_utime + usage.ru_stime

    begun, before = time.monotonic(), used()
    time.sleep(seconds)
    share = (used() - before) / (time.monotonic() - begun)
    print(f"idle: {share:.1%} of a core (this script's tape included), {resident():.0f} MiB resident")


def resident() -> float:
    """MiB of memory of this process."""
    return int(next(x for x in Path("/proc/self/status").read_text().splitlines() if x.startswith("VmRSS")).split()[1]) / 1024


def main() -> None:
    """Prints one line a figure."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--decibels", type=float, nargs="+", default=[30.0, 10.0])
    parser.add_argument("--voice", choices=sorted(VOICES), default="ash")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--interruptions", type=int, default=20)
    parser.add_argument("--idle", type=float, default=20.0)
    parser.add_argument("--no-job", action="store_true")
    parser.add_argument("--no-loss", action="store_true")
    parser.add_argument("--model")
    parser.add_argument("--transcript", type=Path)
    given = parser.parse_args()
    if missing_tools():
        sys.exit(f"install {', '.join(missing_tools())}")
    transcript: list[str] = []
    with tempfile.TemporaryDirectory() as name, Synthesiser() as synthesiser:
        room = VirtualRoom(Path(name))
        room.start()
        os.environ.update(room.environment)
        refresh()
        try:
            for turn, decibels in enumerate(given.decibels):
                print(f"\n{decibels:g} dB, voice {given.voice}, load {os.getloadavg()[0]:.1f}")
                site = Site.of(given.voice, decibels, given.seed + 3, 30)
                room.hum(site.noise)
                if not given.no_job:
                    log = whole_job(room, synthesiser, site, given, Path(name) / f"record{turn}")
                    transcript += [f"# {decibels:g} dB, voice {given.voice}", *log, ""]
                    if given.transcript:
                        given.transcript.write_text("\n".join(transcript), encoding="utf-8")
                run = Run(room, Marks(on_headset=True), synthesiser, given.model)
                run.settle()
                if given.idle:
                    idle(given.idle)
                interruptions(run, site, given.interruptions)
                run.close()
        finally:
            room.kill()


if __name__ == "__main__":
    main()
