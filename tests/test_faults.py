"""A mistake of the program is kept where the user finds it, and the conversation goes on."""

from __future__ import annotations

import errno
import io
import stat
from pathlib import Path

import pytest

from assistant import app, cli
from assistant.conversation import MISTAKE
from assistant.dialogue import manager
from assistant.errors import RecordError, SynthesisError
from assistant.faults import FILE, LARGEST, keep_fault
from assistant.record.journal import Journal
from assistant.record.store import Store
from assistant.speech.synthesiser import Synthesiser
from assistant.speech.wav import Samples, silence


def fault() -> Exception:
    """An exception that was raised."""
    try:
        raise ValueError("123456 is not between 0 and 99999")
    except ValueError as error:
        return error


def test_a_fault_is_kept_with_its_traceback_for_its_owner_alone(tmp_path: Path) -> None:
    said = keep_fault(tmp_path / "home", fault(), "four \udcff")
    path = tmp_path / "home" / FILE
    assert str(path) in said
    text = path.read_text(encoding="utf-8")
    assert "at: four ?" in text and "in fault" in text and "ValueError: 123456 is not between" in text
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    keep_fault(tmp_path / "home", fault(), "again")
    assert path.read_text(encoding="utf-8").count("Traceback") == 2


def test_the_file_of_faults_does_not_grow_for_ever(tmp_path: Path) -> None:
    (tmp_path / FILE).write_bytes(b"x" * (LARGEST + 1))
    keep_fault(tmp_path, fault(), "")
    assert (tmp_path / FILE).stat().st_size < 10_000
    assert (tmp_path / f"{FILE}.old").stat().st_size == LARGEST + 1


def test_a_fault_that_cannot_be_kept_is_told_all_the_same(tmp_path: Path) -> None:
    (tmp_path / "home").write_text("a file in the way")
    assert "ValueError: 123456 is not" in keep_fault(tmp_path / "home", fault(), "")


def test_a_typed_conversation_goes_on_behind_a_mistake(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    sound = manager.understand
    monkeypatch.setattr(manager, "understand", lambda words, *rest: 1 / 0 if "hundred" in words else sound(words, *rest))
    monkeypatch.setattr("sys.stdin", io.StringIO("ninety\none hundred\nninety five\n"))
    shown: list[str] = []
    app.type_job(tmp_path, "job", None, shown.append)
    assert f"assistant  {MISTAKE}" in shown
    assert any(str(tmp_path / FILE) in line for line in shown)
    assert "Largest gap: nine five" in shown[-1]
    assert len(Store(tmp_path).facts(1)) >= 2


def test_a_mistake_outside_a_conversation_is_one_line_and_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("assistant.job_commands.list_jobs", lambda *_: 1 / 0)
    assert cli.main(["jobs", "--home", str(tmp_path)]) == 70
    said = capsys.readouterr().err
    assert said.count("\n") == 1 and str(tmp_path / FILE) in said
    assert "ZeroDivisionError" in (tmp_path / FILE).read_text(encoding="utf-8")


def test_a_sentence_that_cannot_be_spoken_is_shown_and_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    def render(_: Synthesiser, text: str) -> Samples:
        if text == "two":
            raise SynthesisError("the speech driver wrote no sound")
        return silence(0.5)

    monkeypatch.setattr(Synthesiser, "render", render)
    shown: list[str] = []
    with Synthesiser() as synthesiser:
        replies = app.Replies(synthesiser)
        for text in ("one", "two", "three"):
            replies.add(text, shown.append)
        assert [entry["text"] for entry in replies.index] == ["one", "two", "three"]
        assert replies.index[1]["start"] == replies.index[1]["end"]
        assert shown == ["notice     not spoken: the speech driver wrote no sound"]
        with pytest.raises(SynthesisError):  # the first of all: there is no voice here
            app.Replies(synthesiser).add("two", shown.append)


class Terminal(io.StringIO):
    """Lines that a person types."""

    def isatty(self) -> bool:
        return True


def test_what_cannot_be_kept_is_said_to_a_person_who_goes_on_and_ends_a_script(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    add, shown, lines = Journal.add, [], "ninety\nninety\none hundred\n"
    full = iter([False, True, False, False])

    def once_full(journal: Journal, content: bytes) -> None:
        if next(full, False):
            raise OSError(errno.ENOSPC, "No space left on device")
        add(journal, content)

    monkeypatch.setattr("sys.stdin", Terminal(lines))
    store = Store(tmp_path / "person")
    store.create("job")
    monkeypatch.setattr(Journal, "add", once_full)
    app.resume_typing(tmp_path / "person", 1, None, shown.append)
    assert "assistant  This was not saved. The disk is full. Free some space, then try again." in shown
    assert "Pickets ninety millimetres, gaps up to one hundred" in shown[-1]
    monkeypatch.setattr("sys.stdin", io.StringIO(lines))
    full = iter([False, False, True])
    with pytest.raises(RecordError, match="The disk is full"):
        app.type_job(tmp_path / "script", "job", None, shown.append)
    assert len(Store(tmp_path / "script").facts(1)) == 1
