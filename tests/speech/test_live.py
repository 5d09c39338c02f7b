"""A whole session on real audio devices without hardware: a sound server of our own with a virtual microphone and loudspeaker."""

from __future__ import annotations

import os
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import pytest
from listening import Recording, hear
from talk import TO_REACH, Kept

from assistant.conversation import Conversation, Reply
from assistant.language.vocabulary import Stage
from assistant.speech import live, tones
from assistant.speech.devices import SoundCard, refresh
from assistant.speech.doctor import checks
from assistant.speech.live import LiveSession, Partner
from assistant.speech.models import find_model, second_ear
from assistant.speech.player import Player
from assistant.speech.recogniser import Grammar, Recogniser
from assistant.speech.secondear import SecondEar
from assistant.speech.synthesiser import Synthesiser
from assistant.speech.wav import SAMPLE_RATE, Samples

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parents[1] / "audio_fixtures")]

from live_partner import LONG, Marks, Notes  # noqa: E402
from site_noise import noise_bed  # noqa: E402
from virtual_devices import LOUDSPEAKER, MICROPHONE, VirtualRoom, missing_tools  # noqa: E402

pytestmark = pytest.mark.skipif(bool(missing_tools()), reason=f"no sound server to test with: install {', '.join(missing_tools())}")

BED_LEVEL = 100.0
"""Root mean square of the site noise in the virtual room, in 16-bit steps: about 35 dB under the speech."""


@pytest.fixture(scope="module")
def room(tmp_path_factory: pytest.TempPathFactory) -> Iterator[VirtualRoom]:
    room = VirtualRoom(tmp_path_factory.mktemp("room"))
    before = {name: os.environ.get(name) for name in room.environment}
    room.start()
    os.environ.update(room.environment)
    refresh()
    room.hum(np.rint(noise_bed(20, seed=1) * BED_LEVEL).astype(np.int16))
    yield room
    room.kill()
    for name, value in before.items():
        os.environ.pop(name) if value is None else os.environ.update({name: value})


class Tape(Player):
    """A loudspeaker that remembers what it was given, in order."""

    def __init__(self) -> None:
        super().__init__()
        self.played: list[Samples] = []

    def play(self, samples: Samples) -> None:
        self.played.append(samples)
        super().play(samples)


class Person:
    """Somebody who speaks to a running session, line by line, and waits for the reply."""

    def __init__(
        self, room: VirtualRoom, recording: Recording, synthesiser: Synthesiser, headset: bool, partner: Partner | None = None
    ) -> None:
        self.room, self.recording = room, recording
        self.player, self.marks, self.notes = Tape(), Marks(on_headset=headset), Notes()
        self.session = LiveSession(
            partner or self.marks,
            recogniser=Recogniser(find_model("site-en")),
            second=None if partner is None else SecondEar(second_ear()),
            synthesiser=synthesiser,
            card=SoundCard(MICROPHONE, LOUDSPEAKER, self.player),
            player=self.player,
            screen=self.notes,
        )
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self.session.run, args=(self._stop.is_set,))
        self._thread.start()
        self.until(lambda: self.player.begun is not None)
        self.wait()

    def leave(self) -> None:
        self._stop.set()
        self._thread.join(10)
        assert not self._thread.is_alive()

    def until(self, happened: Callable[[], bool], seconds: float = 10.0) -> bool:
        deadline = time.monotonic() + seconds
        while not happened():
            if time.monotonic() > deadline:
                return False
            time.sleep(0.01)
        return True

    def wait(self) -> None:
        """Until the assistant is silent and its ears are open."""
        self.until(lambda: not self.player.speaking(time.monotonic()), 20)
        time.sleep(0.65)

    def speak(self, words: str) -> float:
        """Says a line of the recording; when it will be over."""
        line = next(line for line in self.recording.lines if line.words == words)
        sound = self.recording.clean[round((line.start - 0.05) * SAMPLE_RATE) : round((line.end + 0.05) * SAMPLE_RATE)]
        self.room.speak(sound)
        return time.monotonic() + len(sound) / SAMPLE_RATE

    def said(self) -> list[str]:
        """What the assistant said, but for what it says again when a busy machine's sound was gone for a while."""
        texts = [text for _, text in self.notes.texts]
        again = {at for at in range(2, len(texts)) if texts[at - 1] == live.FOUND and texts[at] == texts[at - 2]}
        return [text for at, text in enumerate(texts) if text != live.FOUND and at not in again]

    def hear_it_begin(self, words: str, reply: str) -> None:
        """Says a line until the reply to it begins (a busy machine chops the sound)."""
        for _ in range(3):
            self.speak(words)
            if self.until(lambda: self.said()[-1] == reply, 5):
                return
        raise AssertionError(f"no reply to {words!r}")

    def ask(self, words: str) -> None:
        """Says a line and hears the reply out; says it again when none comes (a busy machine chops the sound)."""
        heard = len(self.said())
        for _ in range(3):
            self.speak(words)
            if self.until(lambda: len(self.said()) > heard, 4):
                self.wait()
                return
        raise AssertionError(f"no reply to {words!r}")


@pytest.fixture
def person(request: pytest.FixtureRequest, room: VirtualRoom, recording: Recording, synthesiser: Synthesiser) -> Iterator[Person]:
    person = Person(room, recording, synthesiser, headset=request.param == "headset")
    yield person
    person.leave()


on_loudspeaker = pytest.mark.parametrize("person", ["loudspeaker"], indirect=True)
on_headset = pytest.mark.parametrize("person", ["headset"], indirect=True)


@on_loudspeaker
def test_marks_are_called_and_can_be_heard_in_the_room(person: Person, tmp_path: Path) -> None:
    for first, second in (("one", "two"), ("three", "four"), ("five", "six")):  # a busy machine drops moments of a tape
        with person.room.recording(tmp_path / "tape"):
            person.ask("next")
            person.ask("next")
            time.sleep(0.5)  # the end of what was played is still on its way to the tape
        tape = np.fromfile(tmp_path / "tape", dtype=np.int16)
        marks = tuple(f"mark {number}" for number in ("one", "two", "three", "four", "five", "six", "ten"))
        heard = hear(Recogniser(find_model("site-en")), tape, Grammar(marks))
        said = [" ".join(u.words) for u in heard if u.understood]
        if said == [f"mark {first}", f"mark {second}"]:
            break
    assert person.marks.words() == ["next"] * person.marks.mark
    assert said == [f"mark {first}", f"mark {second}"]


@on_loudspeaker
def test_on_a_loudspeaker_nothing_said_meanwhile_counts(person: Person) -> None:
    person.hear_it_begin("how many left", LONG)
    time.sleep(0.5)
    person.speak("stop")
    time.sleep(1.5)
    assert person.player.speaking(time.monotonic())
    person.wait()
    assert person.marks.words() == ["how many left"]


@on_headset
def test_on_a_headset_an_armed_word_stops_the_speech(person: Person) -> None:
    person.hear_it_begin("how many left", LONG)
    time.sleep(0.7)
    over = person.speak("stop")
    assert person.until(lambda: not person.player.speaking(time.monotonic()), 3)
    assert time.monotonic() < over + 0.7  # the sentence takes more than six seconds
    assert person.until(lambda: person.marks.words() == ["how many left", "stop"], 3)


@on_headset
def test_on_a_headset_any_other_talk_lets_the_speech_go_on(person: Person) -> None:
    person.hear_it_begin("how many left", LONG)
    time.sleep(0.7)
    person.speak("all measured")
    time.sleep(2.0)
    assert person.player.speaking(time.monotonic()) or [text for _, text in person.notes.texts].count(LONG) == 2
    person.wait()
    assert person.marks.words() == ["how many left"]


@on_loudspeaker
def test_a_dead_sound_server_is_told_at_once_and_nothing_is_lost(person: Person) -> None:
    person.ask("next")
    died = time.monotonic()
    person.room.kill()
    assert person.until(lambda: bool(person.notes.notices), 3)
    told, text = person.notes.notices[0]
    assert "gone" in text and told - died < 1.5
    time.sleep(0.5)
    person.room.start()
    person.room.hum()
    assert person.until(lambda: any("are there" in text for _, text in person.notes.notices), 15)
    person.until(lambda: person.notes.texts[-1][1] == "mark one", 10)
    person.wait()
    person.ask("next")
    assert person.marks.mark == 2 and person.notes.texts[-1][1] == "mark two"


@on_loudspeaker
def test_a_microphone_that_gives_only_zeros_is_recognised_as_such(person: Person, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(live, "ALL_ZERO_S", 1.0)
    assert not person.notes.notices
    person.room.hush()
    assert person.until(lambda: any("gives no sound" in text for _, text in person.notes.notices), 6)
    person.room.hum()


@on_loudspeaker
def test_marks_are_called_at_a_steady_pace_until_held(person: Person) -> None:
    person.session._pace = 1
    assert person.until(lambda: person.marks.mark >= 2, 12)
    person.session._pace = None
    first, second = (at for at, text in person.notes.texts if text.startswith("mark"))
    assert 1.0 < second - first < 4.0


@on_loudspeaker
def test_silence_is_told_to_the_partner_once_when_it_has_nothing_to_say(person: Person, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(live, "SILENCE_S", 0.8)
    assert person.until(lambda: bool(person.marks.taken), 4)
    time.sleep(1.5)
    assert [type(event).__name__ for event in person.marks.taken] == ["NothingHeard"]


class UnderWay(Conversation):
    """A conversation that is where some lines have brought it."""

    def __init__(self, *lines: str) -> None:
        super().__init__(Kept())
        super().open()
        for line in lines:
            self.typed(line)

    def open(self) -> Reply:
        return Reply(("ready",))


@contextmanager
def builder(room: VirtualRoom, recording: Recording, synthesiser: Synthesiser, *lines: str) -> Iterator[tuple[Person, UnderWay]]:
    """A person who talks with the dialogue itself, both ears open, from where the lines lead."""
    conversation = UnderWay(*lines)
    person = Person(room, recording, synthesiser, headset=False, partner=conversation)
    person.player.played.clear()
    try:
        yield person, conversation
    finally:
        person.leave()


def signals(person: Person) -> list[str]:
    """The short signals that were played, but for the one that says whose turn it is."""
    named = {"got it": tones.GOT_IT, "not caught": tones.NOT_CAUGHT}
    return [name for one in person.player.played for name, tone in named.items() if one is tone]


TALK = ("my brother bought a green car yesterday evening", "we could have lunch over there under the trees", "did your daughter call")
"""What two people say to each other."""


def chat(person: Person, synthesiser: Synthesiser, text: str) -> None:
    """Somebody says something to somebody else."""
    sound = synthesiser.render(text)
    person.room.speak(sound)
    time.sleep(len(sound) / SAMPLE_RATE + 1.5)
    person.wait()


def test_talk_between_two_people_while_marking_is_met_with_silence(
    room: VirtualRoom, recording: Recording, synthesiser: Synthesiser
) -> None:
    with builder(room, recording, synthesiser, *TO_REACH[Stage.WALK]) as (person, _):
        said = len(person.said())
        for text in TALK:
            chat(person, synthesiser, text)
        assert person.said()[said:] == []
        assert signals(person).count("not caught") == len(signals(person)) <= 1, "what sounded like a command may get a tone"
        person.ask("next")
        assert person.said()[-1].startswith("Mark two")


def test_after_three_misses_it_waits_with_a_falling_tone_and_goes_on_with_the_next_word(
    room: VirtualRoom, recording: Recording, synthesiser: Synthesiser
) -> None:
    with builder(room, recording, synthesiser, *TO_REACH[Stage.ASK]) as (person, conversation):
        for at in range(10):  # a busy machine may hear nothing of some
            chat(person, synthesiser, TALK[at % len(TALK)])
            if signals(person):
                break
        assert conversation.state.misses >= 3
        assert set(signals(person)) == {"not caught"}
        said = len(person.said())
        person.ask("two thousand one hundred and sixty")
        assert person.said()[said].startswith("Bottom: ") and conversation.state.misses == 0


def test_repeat_after_slower_says_the_mark_again_and_slower(room: VirtualRoom, recording: Recording, synthesiser: Synthesiser) -> None:
    rate = synthesiser.voice.rate
    with builder(room, recording, synthesiser, *TO_REACH[Stage.WALK], "next") as (person, conversation):
        person.ask("repeat")
        words = person.said()[-1]
        person.session._answer(conversation.typed("slower"))
        person.wait()
        person.ask("repeat")
        assert person.said()[-1] == words
    assert synthesiser.voice.rate < rate


def test_the_doctor_finds_a_good_room_and_a_dead_microphone(room: VirtualRoom, tmp_path: Path) -> None:
    good = {check.name: check for check in checks(tmp_path, None, MICROPHONE, LOUDSPEAKER)}
    assert list(good) == ["disk", "speech model", "second ear", "voice", "microphone", "delay"]
    assert all(check.passed for check in good.values()), good
    room.hush()
    time.sleep(0.5)
    dead = {check.name: check for check in checks(tmp_path, None, MICROPHONE, LOUDSPEAKER)}
    room.hum()
    assert not dead["microphone"].passed and "nothing but zeros: switch it on" in dead["microphone"].text
    assert dead["delay"].passed
