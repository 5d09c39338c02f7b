"""A whole job through the page: a real browser, real sound both ways, the real ears; and the connection cut in the middle."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import soxr
from browser import CHROMIUM
from listening import Recording, read_recording
from numpy.typing import NDArray

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parents[1] / "audio_fixtures")]

from phone_in_hand import PhoneInHand  # noqa: E402
from phone_session import PhoneSession  # noqa: E402
from poor_network import PoorNetwork  # noqa: E402
from site_noise import noise_bed  # noqa: E402

from assistant.live_wiring import PHONE_GONE  # noqa: E402
from assistant.plan import is_marked, set_out_of  # noqa: E402
from assistant.speech.live import FOUND, RATES  # noqa: E402
from assistant.speech.synthesiser import Synthesiser  # noqa: E402
from assistant.speech.wav import SAMPLE_RATE, Samples  # noqa: E402

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no Chromium: install the Debian package chromium")

BED_LEVEL = 100.0
"""Root mean square of the site noise at the microphone, in 16-bit steps: about 35 dB under the speech."""
PIECE = SAMPLE_RATE * 2 // 5
BEFORE_MARKING = (
    "ninety millimetres", "one hundred", "nine hundred and sixty two", "the same", "no more bays", "start marking", "gap confirmed",
    "understood",
)  # fmt: skip
"""The smallest bay that the lines of the recorded job make."""


@pytest.fixture(scope="module")
def recording() -> Recording:
    return read_recording("job")


@pytest.fixture(scope="module")
def synthesiser() -> Iterator[Synthesiser]:
    with Synthesiser() as running:
        running.voice = replace(running.voice, rate=RATES[-1])  # the fastest that it can be told to speak
        yield running


@pytest.fixture
def session(tmp_path: Path, synthesiser: Synthesiser) -> Iterator[PhoneSession]:
    with PhoneSession(tmp_path, synthesiser) as running:
        yield running


HUM = np.rint(noise_bed(20, seed=1) * BED_LEVEL).astype(np.int16)


class Person:
    """Somebody with the phone in the pocket."""

    def __init__(self, session: PhoneSession, phone: PhoneInHand, recording: Recording) -> None:
        self.session, self.phone, self.recording = session, phone, recording

    def sound(self, words: str) -> Samples:
        line = next(line for line in self.recording.lines if line.words == words)
        return self.recording.clean[round((line.start - 0.05) * SAMPLE_RATE) : round((line.end + 0.05) * SAMPLE_RATE)]

    def say(self, words: str) -> str:
        """Says a line and hears the reply out; says it again when none comes (a busy machine chops the sound)."""
        before = len(self.session.notes.texts)
        for _ in range(3):
            self.phone.say(self.sound(words))
            if self.session.until(lambda: len(self.session.notes.texts) > before, 6):
                self.session.quiet()
                return " ".join(self.session.notes.texts[before:])
        raise AssertionError(f"no reply to {words!r}; heard {self.session.notes.heards[-3:]}")


def test_a_whole_job_by_the_page_ends_with_every_mark_called_and_right(
    session: PhoneSession, recording: Recording, synthesiser: Synthesiser
) -> None:
    with PhoneInHand(session.server.link, HUM) as phone:
        phone.begin()
        assert phone.browser.ask("window.asked.audio.echoCancellation")
        assert session.server.pairing.code not in phone.browser.ask("location.href")
        session.quiet()
        person = Person(session, phone, recording)
        for words in BEFORE_MARKING:
            person.say(words)
        made = set_out_of(session.job, 0)
        assert made is not None and [rail.opening for rail in made.rails] == [962, 962]
        shown = []
        for _ in range(60):
            if is_marked(session.job, 0):
                break
            shown.append(phone.text("value"))
            phone.keep()
            reply = person.say("next")
        assert is_marked(session.job, 0)
        shown.append(phone.text("value"))
        # Six gaps and five pickets of 90 in 962: a gap of 256/3, marks at the left edges, rounded once (reckoned by hand).
        wanted = ["85", "261", "436", "611", "787"]
        assert [value for value in shown if value.isdigit()] == wanted
        heard, rate = phone.kept()
    tape = soxr.resample(heard.astype(np.float32) / 32768, rate, SAMPLE_RATE)
    sound = synthesiser.render(reply.split(". ")[0] + ".")
    sound = sound[np.flatnonzero(np.abs(sound.astype(int)) > 300)[0] :]
    # Piece by piece, since a busy machine drops a moment now and then; pieces of other words come to 0.45 at most.
    pieces = [sound[at : at + PIECE] for at in range(0, len(sound) - PIECE, PIECE)]
    spoken = [piece for piece in pieces if np.abs(piece.astype(int)).max() > 3000]
    assert np.median([likeness(tape, piece) for piece in spoken]) > 0.6


def likeness(tape: NDArray[np.float32], sound: Samples) -> float:
    """How like a sound some part of a tape is: the highest normalised correlation, 1 for the same but for its loudness."""
    wanted = sound.astype(float)
    size = 1 << (len(tape) + len(wanted)).bit_length()
    match = np.fft.irfft(np.fft.rfft(tape, size) * np.conj(np.fft.rfft(wanted, size)), size)[: len(tape)]
    energy = np.concatenate([[0.0], np.cumsum(tape.astype(float) ** 2)])
    ends = np.minimum(np.arange(len(tape)) + len(wanted), len(tape))
    under = np.sqrt(np.maximum(energy[ends] - energy[: len(tape)], 1e-3)) * np.linalg.norm(wanted)
    return float((match / under).max())


def test_a_connection_cut_in_mid_sentence_is_told_and_the_job_goes_on_where_it_was(session: PhoneSession, recording: Recording) -> None:
    port = int(session.server.origin.rsplit(":", 1)[1])
    with PoorNetwork(port) as network, PhoneInHand(session.server.link, HUM, network.flag) as phone:
        phone.begin()
        session.quiet()
        person = Person(session, phone, recording)
        person.say("ninety millimetres")
        kept = session.job
        before = len(session.notes.texts)
        phone.say(person.sound("one hundred"))
        time.sleep(0.3)
        network.cut()
        phone.keep()
        assert session.until(lambda: phone.says_lost, 8)
        assert session.until(lambda: any("the phone is gone" in notice for notice in session.notes.notices), 8)
        time.sleep(2.5)
        gone, _ = phone.kept()
        assert np.abs(gone.astype(int)).max() > 3000, f"the page did not say {PHONE_GONE!r}"
        assert session.job == kept
        network.mend()
        assert session.until(lambda: not phone.says_lost, 15)
        assert session.until(lambda: FOUND in session.notes.texts[before:], 10)
        session.quiet()
        assert session.notes.texts[before:] == [FOUND]  # what had been heard is not said twice
        person.say("one hundred")
        assert session.job.settings.limit is not None


def test_a_second_phone_is_told_in_words_and_the_first_goes_on(session: PhoneSession, recording: Recording) -> None:
    with PhoneInHand(session.server.link, HUM) as phone:
        phone.begin()
        session.quiet()
        with PhoneInHand(session.server.link, HUM) as second:
            second.begin()
            assert "has its phone already" in second.text("trouble")
        assert Person(session, phone, recording).say("ninety millimetres").startswith("Picket width")


def test_the_page_fits_a_phone_and_says_what_it_does_before_it_asks(session: PhoneSession) -> None:
    with PhoneInHand(session.server.link) as phone:
        for width, height in ((320, 568), (390, 844), (844, 390)):
            phone.browser.size(width, height, phone=True)
            whole = "(({scrollWidth, scrollHeight}) => scrollWidth <= innerWidth && scrollHeight <= innerHeight)(document.documentElement)"
            assert phone.browser.ask(whole)
        assert "microphone" in phone.text("begin") and phone.browser.ask("window.asked === undefined")
        phone.begin()
        session.quiet()
        assert "80 ms" in phone.text("sound")
