"""The page of the mark beside the conversation: it follows each typed line; by voice nobody is sent to it before there is sound."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Sequence
from http.client import HTTPConnection
from pathlib import Path

import pytest

from assistant import app, live_wiring
from assistant.cli import main
from assistant.errors import AudioError
from assistant.live_wiring import Wiring
from assistant.record.store import Store
from assistant.speech.devices import SoundCard

TO_THE_FIRST_MARK = ("90", "100", "2160 both", "that's all", "start marking", "yes", "gap confirmed", "understood")


def on_the_page(address: str) -> str:
    """The mark that a page would show now."""
    connection = HTTPConnection(address.removeprefix("http://").rstrip("/"), timeout=30)
    connection.request("GET", "/events")
    stream = connection.getresponse()
    line = b""
    while not line.startswith(b"data: "):
        line = stream.readline()
    stream.close()
    connection.close()
    return str(json.loads(line[6:])["mark"])


class Typist(io.StringIO):
    """Looks at the page before each line that he types, and once more at the end."""

    def __init__(self, lines: Sequence[str], shown: list[str]) -> None:
        super().__init__()
        self.marks: list[str] = []
        self._lines, self._shown = [*lines], shown

    def readline(self, size: int | None = -1, /) -> str:
        found = re.search(r"The mark is shown at (\S+)", "\n".join(self._shown))
        assert found is not None
        self.marks.append(on_the_page(found[1]))
        return self._lines.pop(0) + "\n" if self._lines else ""


def test_the_page_follows_the_lines_that_are_typed_and_those_of_a_job_gone_on_with(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # 11 pickets of 90 in 2160: gap 97.5, marks at 97.5 + 187.5 (k - 1), to the even millimetre: 98, 285, 472, 660.
    shown: list[str] = []
    typist = Typist((*TO_THE_FIRST_MARK, "next", "next"), shown)
    monkeypatch.setattr("sys.stdin", typist)
    app.type_job(tmp_path, "fence", None, shown.append, board=True)
    assert typist.marks[-3:] == ["98", "285", "472"], "\n".join(shown)
    shown.clear()
    typist = Typist(("carry on", "understood", "next"), shown)
    monkeypatch.setattr("sys.stdin", typist)
    app.resume_typing(tmp_path, None, None, shown.append, board=True)
    assert (typist.marks[0], typist.marks[-1]) == ("472", "660"), "\n".join(shown)


def test_without_being_asked_nothing_is_served(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("90\n"))
    monkeypatch.setattr("assistant.app.Board", lambda lan: pytest.fail("served"))
    app.type_job(tmp_path, "fence", None, lambda text: None)


def listen(home: Path) -> None:
    """By voice, until the first word was said."""
    store = Store(home)
    live_wiring._listen(store, store.create("fence"), Wiring(board=True), lambda: True)


def test_by_voice_the_address_is_told_once_the_sound_card_is_open(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(SoundCard, "open", lambda self: print("open now"))
    listen(tmp_path)
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "open now"
    assert lines[1].startswith("The mark is shown at http://127.0.0.1:")


def test_by_voice_nobody_is_sent_to_a_page_when_there_is_no_sound_card(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def missing(card: SoundCard) -> None:
        raise AudioError("no sound device")

    monkeypatch.setattr(SoundCard, "open", missing)
    with pytest.raises(AudioError):
        listen(tmp_path)
    assert "shown at" not in capsys.readouterr().out


@pytest.mark.parametrize("command", ["listen", "resume", "type"])
def test_every_way_of_talking_offers_the_page(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main([command, "--help"])
    assert {"--board", "--lan"} <= set(capsys.readouterr().out.split())
