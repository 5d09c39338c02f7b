"""The jobs on record from the command line: one maker and one date for what is exported and what is left behind."""

from __future__ import annotations

import errno
import io
import json
import re
import time
from collections.abc import Callable
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest
from pypdf import PdfReader
from sample_jobs import METRIC

from assistant.cli import main
from assistant.errors import RecordError
from assistant.job import BaySet, Fact, SettingsChanged
from assistant.job_commands import ROOM, export_job, latest, leave, list_jobs, named, ready, show_job
from assistant.paper.files import Kind
from assistant.record.store import Store

LAST = datetime(2026, 5, 4, 12, tzinfo=timezone.utc)
"""When the job was last worked on."""

FACTS: tuple[Fact, ...] = (SettingsChanged(METRIC.settings), *(BaySet(index, bay) for index, bay in enumerate(METRIC.bays[:3])))


def shown(_: str) -> None:
    """Nobody looks."""


def kept(home: Path, facts: tuple[Fact, ...] = FACTS) -> Store:
    """A record with one job, and these facts."""
    now = [LAST - timedelta(days=2)]
    store = Store(home, clock=lambda: now[0])
    with store.open(store.create("The long side")) as writer:
        writer.append(facts[:1])
        now[0] = LAST
        writer.append(facts[1:] or facts)
    return store


def content(path: Path) -> str:
    """What a file says; of a PDF its text, for the file itself holds the time it was made."""
    if path.suffix == ".pdf":
        return "\f".join(page.extract_text() for page in PdfReader(io.BytesIO(path.read_bytes())).pages)
    return path.read_text(encoding="utf-8")


def test_an_export_is_the_very_file_that_a_job_leaves_behind(tmp_path: Path) -> None:
    store = kept(tmp_path / "home")
    leave(store, 1, tmp_path / "out", shown)
    assert {path.name for path in (tmp_path / "out").iterdir()} == {kind.file_name for kind in Kind}
    for kind in Kind:
        export_job(tmp_path / "home", 1, kind.asked, "a4", tmp_path / "alone", shown)
        (tmp_path / "alone").rename(tmp_path / kind.file_name)
        assert content(tmp_path / kind.file_name) == content(tmp_path / "out" / kind.file_name)


def test_the_date_is_the_day_the_job_was_last_worked_on(tmp_path: Path) -> None:
    leave(kept(tmp_path / "home"), 1, tmp_path / "out", shown)
    day = LAST.astimezone().date().isoformat()
    assert json.loads(content(tmp_path / "out" / "marks.json"))["date"] == day
    assert f"Marking sheet, {day}" in content(tmp_path / "out" / "sheet.html")
    assert f"The long side, {day}" in content(tmp_path / "out" / "pole.pdf")


def test_a_list_and_a_job_are_shown_in_a_builders_words(tmp_path: Path) -> None:
    kept(tmp_path)
    lines: list[str] = []
    list_jobs(tmp_path, lines.append)
    show_job(tmp_path, 1, lines.append)
    when = f"{LAST.astimezone():%Y-%m-%d %H:%M}"
    assert lines[0] == f"   1  The long side  (3 bays, 0 with the gap confirmed; last {when})"
    assert f"{when}  Bay 1 measured: bottom 2160 mm, top 2160 mm" in lines
    assert not any(name in line for line in lines for name in ("BaySet", "SettingsChanged", "+00:00"))


def test_a_job_without_bays_leaves_no_pole_and_a_pole_is_refused(tmp_path: Path) -> None:
    leave(kept(tmp_path / "home", FACTS[:1]), 1, tmp_path / "out", shown)
    assert not (tmp_path / "out" / "pole.pdf").exists()
    with pytest.raises(RecordError, match="no bay to make a pole for"):
        export_job(tmp_path / "home", 1, "pole", "a4", tmp_path / "pole.pdf", shown)


def test_text_goes_to_the_screen_and_a_pdf_asks_for_a_file(tmp_path: Path) -> None:
    kept(tmp_path / "home")
    said: list[str] = []
    export_job(tmp_path / "home", None, "csv", "a4", None, said.append)
    assert said[0].startswith("bay,rail,mark,")
    with pytest.raises(RecordError, match="Say where it goes with --out FILE"):
        export_job(tmp_path / "home", None, "pdf", "a4", None, said.append)


def test_a_place_that_cannot_be_written_is_a_plain_sentence(tmp_path: Path) -> None:
    store = kept(tmp_path / "home")
    (tmp_path / "file").write_text("in the way")
    for attempt in (
        lambda: export_job(tmp_path / "home", 1, "csv", "a4", tmp_path / "file" / "marks.csv", shown),
        lambda: leave(store, 1, tmp_path / "file", shown),
    ):
        with pytest.raises(RecordError, match="cannot be written"):
            attempt()


def test_the_command_line_offers_every_kind_there_is(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["export", "--help"])
    assert "{" + ",".join(kind.asked for kind in Kind) + "}" in capsys.readouterr().out


def test_after_the_clock_was_set_back_the_job_begun_last_is_gone_on_with_and_named(tmp_path: Path) -> None:
    kept(tmp_path)
    store = Store(tmp_path, clock=lambda: LAST - timedelta(days=400))
    with store.open(store.create("The short side")) as writer:
        writer.append(FACTS)
    assert latest(store, None) == 2
    assert latest(store, 1) == 1
    assert named(store, 2) == "Going on with job 2: The short side"


@pytest.mark.parametrize("where", ["file", "file/under"])
def test_a_folder_that_cannot_be_written_is_refused_before_the_conversation(where: str, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    home = tmp_path / "home"
    for command in (["type"], ["resume", "--type"]):
        assert main([*command, "--home", str(home), "--out", str(tmp_path / where)]) == 2
    assert not home.exists()


def test_trying_a_folder_leaves_nothing_in_it(tmp_path: Path) -> None:
    ready(tmp_path / "out")
    assert list((tmp_path / "out").iterdir()) == []


def test_a_trial_that_cannot_be_taken_away_is_trouble_with_the_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_: object, **__: object) -> None:
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(Path, "unlink", refused)
    with pytest.raises(RecordError, match=r"cannot be written: Input/output error\. Choose another place with --out"):
        ready(tmp_path)


def test_a_disk_too_full_for_a_job_is_noticed_before_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Path, "write_bytes", full_above(ROOM - 1))
    with pytest.raises(RecordError, match="No space left"):
        ready(tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_what_can_be_kept_is_kept_and_what_cannot_leaves_no_half_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    store = kept(tmp_path / "home")
    monkeypatch.setattr(Path, "write_bytes", full_above(10_000))
    with pytest.raises(RecordError, match="No space left"):
        leave(store, 1, tmp_path / "out", shown)
    left = {path.name: path.stat().st_size for path in (tmp_path / "out").iterdir()}
    assert {"marks.csv", "marks.txt"} <= left.keys() < {kind.file_name for kind in Kind}
    assert max(left.values()) <= 10_000


def full_above(size: int) -> Callable[[Path, bytes], int]:
    """A disk on which a larger file finds no room, and is left half written."""
    sound = Path.write_bytes

    def write(path: Path, content: bytes) -> int:
        sound(path, content[:size])
        if len(content) > size:
            raise OSError(errno.ENOSPC, "No space left on device")
        return len(content)

    return write


@pytest.mark.parametrize(("zone", "day"), [("UTC-13", "2026-05-05"), ("UTC", "2026-05-04"), ("UTC+13", "2026-05-03")])
def test_everything_made_of_a_job_has_one_day_that_of_the_clock_on_the_wall(
    zone: str, day: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At noon of the fourth, universal time, it is the fifth thirteen hours to the east and the third thirteen hours to the west."""
    monkeypatch.setenv("TZ", zone)
    time.tzset()
    try:
        home = tmp_path / "home"
        leave(kept(home), 1, tmp_path / "out", shown)
        days = {path.name: set(re.findall(r"20\d\d-\d\d-\d\d", content(path))) for path in (tmp_path / "out").iterdir()}
        assert {name: found for name, found in days.items() if found} == {
            name: {day} for name in ("marks.json", "sheet.html", "sheet.pdf", "pole.pdf", "pole.svg")
        }
        lines: list[str] = []
        list_jobs(home, lines.append)
        show_job(home, 1, lines.append)
        assert f"last {day} " in lines[0] and lines[-2].startswith(f"{day} ")
    finally:
        monkeypatch.undo()
        time.tzset()
