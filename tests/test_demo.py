"""The whole job from the bundled recording: real sound, real recogniser, real speech, real files."""

from __future__ import annotations

import json
import re
import socket
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from assistant import app
from assistant.conversation import Conversation
from assistant.fold import replay
from assistant.job import HeardUnsure, Job
from assistant.language.listening import COUNTS
from assistant.numbers import PhraseKind, SpokenCount, number_phrases, parse_count, say_count, say_number
from assistant.numbers.styles import NumberStyle
from assistant.plan import next_to_mark, set_out_of
from assistant.record.store import Store
from assistant.speech.models import data_dir, find_model
from assistant.speech.recogniser import Grammar, Recogniser
from assistant.speech.wav import SAMPLE_RATE, Samples, blocks, read_wav, silence, write_wav

JOB = data_dir("audio_fixtures", "job")
MANIFEST = json.loads((JOB / "manifest.json").read_text(encoding="utf-8"))["utterances"]

MARK = re.compile(r"Mark ((?:\w+ ?)+): ")
"""A reply that is a mark and nothing else."""


class NoNetwork(socket.socket):
    """A socket that refuses to exist."""

    def __init__(self, *args: object, **kwargs: object) -> None:
        raise AssertionError("the demo opened a socket")


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """The demo run once, with sockets forbidden: its folder and what it printed."""
    folder = tmp_path_factory.mktemp("demo")
    lines: list[str] = []
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(socket, "socket", NoNetwork)
        app.demo(False, folder, None, lines.append)
    return folder, "\n".join(lines)


def recorded(folder: Path) -> Job:
    """The job that the record of a run describes."""
    return replay(Store(folder / "record").facts(1))


def test_the_demo_hears_every_line_of_the_recording(demo: tuple[Path, str]) -> None:
    heard = re.findall(r"^heard +(.*)$", demo[1], re.MULTILINE)
    wanted = [entry["words"] for entry in MANIFEST]
    assert [line for line in heard if "(not for us)" not in line] == [words for words in wanted if words]
    assert sum("(not for us)" in line for line in heard) == wanted.count("")


def test_the_demo_job_is_what_was_dictated(demo: tuple[Path, str]) -> None:
    job = recorded(demo[0])
    assert [[opening for _, opening in bay.openings] for bay in job.bays] == [[1815, 1815], [2145, 2133], [1265, 1265], [962]]
    # 10 pickets of 90 leave 915 for 11 gaps in the first bay; worked by hand.
    assert set_out_of(job, 0).rails[0].gap == Fraction(915, 11)
    assert "nailing" in job.cautions


def test_on_a_noisy_site_he_ends_with_every_mark_called_and_right(tmp_path: Path) -> None:
    """10 dB above saw, hammer and generator: what is asked he says again, and the job is the one of the quiet."""
    lines: list[str] = []
    app.demo(True, tmp_path, None, lines.append)
    job = recorded(tmp_path)
    assert [[opening for _, opening in bay.openings] for bay in job.bays] == [[1815, 1815], [2145, 2133], [1265, 1265], [962]]
    assert next_to_mark(job) is None, "a mark was not called"
    assert any("not sure" in line for line in lines), "nothing was asked: is there noise at all?"


def test_the_spoken_marks_heard_back_are_the_exact_marks(demo: tuple[Path, str]) -> None:
    """Every mark of the first bay, cut out of the replies and given to the recogniser, is the exact solution's."""
    folder, _ = demo
    marks = set_out_of(recorded(folder), 0).rails[0].marks
    samples = read_wav(folder / "replies.wav")
    spoken = [reply for reply in json.loads((folder / "replies.json").read_text(encoding="utf-8")) if MARK.match(reply["text"])]
    by_number = {number_of(reply["text"]): reply for reply in reversed(spoken)}
    recogniser = Recogniser(find_model(None))
    for mark in marks:
        reply = by_number[mark.index]
        clip = samples[round(reply["start"] * SAMPLE_RATE) : round(reply["end"] * SAMPLE_RATE)]
        exact = f"mark {say_count(mark.index)} {say_number(mark.value, NumberStyle.WHOLE)}"
        assert exact in " ".join(heard_back(recogniser, clip)), reply["text"]


def number_of(text: str) -> int:
    """The number of the mark that a reply speaks of."""
    found = MARK.match(text)
    assert found is not None
    count = parse_count(found[1].split())
    assert isinstance(count, SpokenCount)
    return count.value


def heard_back(recogniser: Recogniser, clip: Samples) -> tuple[str, ...]:
    """The words the recogniser hears in a reply, listening for marks and what may stand behind them."""
    around = ("last one",)
    marks = tuple(f"mark {say_count(count)}" for count in COUNTS)
    recogniser.listen_for(Grammar((*number_phrases(PhraseKind.MILLIMETRES), *marks, *around), pause=1.0))
    heard: list[str] = []
    for block in blocks(np.concatenate([silence(0.3), clip, silence(1.5)])):
        utterance = recogniser.feed(block)
        heard += utterance.words if utterance is not None else ()
    last = recogniser.flush()
    return (*heard, *(last.words if last is not None else ()))


def test_changing_one_number_in_the_recording_changes_the_marks(demo: tuple[Path, str], tmp_path: Path) -> None:
    """“twelve sixty five” cut out and “one eight one five”, said elsewhere in the recording, put in its place."""
    folder, _ = demo
    samples = read_wav(JOB / "job.flac")
    source = next(entry for entry in MANIFEST if entry["words"] == "one eight one five")
    target = next(entry for entry in MANIFEST if entry["words"] == "twelve sixty five")
    cut = [round(entry[edge] * SAMPLE_RATE) for entry in (source, target) for edge in ("start", "end")]
    changed = np.concatenate([samples[: cut[2]], samples[cut[0] : cut[1]], samples[cut[3] :]])
    write_wav(tmp_path / "changed.wav", changed)
    app.hear([tmp_path / "changed.wav"], tmp_path / "out", None, "changed", lambda text: None)
    before, after = recorded(folder), recorded(tmp_path / "out")
    assert before.bays[2].openings[0][1] == 1265
    assert after.bays[2].openings[0][1] == 1815
    assert set_out_of(after, 2).rails[0].marks != set_out_of(before, 2).rails[0].marks


class Kept(list[object]):
    """A keeper in memory."""

    def append(self, facts: object, heard: str = "") -> None:
        self.extend(facts)  # type: ignore[call-overload]


def test_the_same_job_typed_gives_the_same_record(demo: tuple[Path, str]) -> None:
    """But for what was unsure: what sounds alike is asked about only when it was heard."""
    kept = Kept()
    conversation = Conversation(kept)
    conversation.open()
    for entry in MANIFEST:
        conversation.typed(entry["words"] or "have you seen the football on television")
    heard = Store(demo[0] / "record").facts(1)
    typed, spoken = ([fact for fact in facts if not isinstance(fact, HeardUnsure)] for facts in (kept, heard))
    assert typed == spoken


def test_the_demo_leaves_what_the_readme_promises(demo: tuple[Path, str]) -> None:
    names = {path.name for path in demo[0].iterdir()}
    assert {"replies.wav", "marks.json", "marks.csv", "marks.txt", "sheet.html", "sheet.pdf", "pole.pdf", "record"} <= names
    assert all((demo[0] / name).stat().st_size > 0 for name in names)
