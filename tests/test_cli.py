"""The command line, run as a user runs it."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent


def run(*arguments: str, given: str = "", home: Path | None = None) -> subprocess.CompletedProcess[str]:
    """A command in a process of its own; the record goes to `home`."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    if home is not None:
        environment["SITE_ASSISTANT_HOME"] = str(home)
    command = [sys.executable, "-m", "assistant", *arguments]
    return subprocess.run(command, input=given, capture_output=True, text=True, check=False, env=environment, timeout=600)


def test_solve_prints_count_gap_and_marks() -> None:
    # eHow 6210555: opening 72, picket 1.5, largest gap 4 inches: 13 pickets; 52.5 inches of gap over 14 is 3.75.
    done = run("solve", "72", "--unit", "in", "--picket", "1 1/2", "--gap", "4")
    assert done.returncode == 0
    assert done.stdout.startswith("13 pickets, 14 gaps\nbottom rail: gap 3 3/4 in\n")
    assert "  1  3 3/4 in\n" in done.stdout


def test_solve_json_is_exact() -> None:
    # eHow.co.uk 7766646: opening 3000, picket 50, largest gap 100 mm: 20 pickets, gap 2000/21.
    done = run("solve", "3000", "--picket", "50", "--gap", "100", "--json")
    report = json.loads(done.stdout)
    assert report["pickets"] == 20
    assert report["rails"][0]["gap_mm"] == "2000/21"
    assert report["rails"][0]["marks"][:2] == ["95 mm", "240 mm"]


def test_solve_calls_marks_in_the_unit_of_the_tape() -> None:
    """11 pickets of 90 in 2160 mm: gap 97.5; the first two marks are 3.839 and 11.220 in, to the sixteenth 3 13/16 and 11 1/4."""
    arguments = ("solve", "2160", "--picket", "90", "--gap", "100", "--to", "1/16")
    lines = run(*arguments).stdout.splitlines()
    assert lines[:5] == [
        "11 pickets, 12 gaps",
        "bottom rail: gap ≈ 3 27/32 in",
        "  marks at left edges from the left post:",
        "    1  3 13/16 in",
        "    2  11 1/4 in",
    ]
    assert not any(" mm" in line for line in lines)
    (rail,) = json.loads(run(*arguments, "--json").stdout)["rails"]
    assert rail["marks"][:2] == ["3 13/16 in", "11 1/4 in"]
    assert rail["gap_mm"] == "195/2"


def test_solve_in_inches_to_a_millimetre_calls_millimetres() -> None:
    done = run("solve", "72", "--unit", "in", "--picket", "1 1/2", "--gap", "4", "--to", "1")
    assert "    1  95 mm" in done.stdout.splitlines()


def test_solve_treats_two_openings_as_the_conversation_does() -> None:
    """13 pickets of 90 and 14 gaps of 1242/14 in the wider rail; the other is plumbed from it, unless the lean is to be shared."""
    arguments = ("solve", "2412", "2400", "--picket", "90", "--gap", "100")
    lines = run(*arguments).stdout.splitlines()
    assert lines[:4] == [
        "13 pickets, 14 gaps",
        "the openings differ by 12 mm: a post is out of plumb",
        "mark the bottom rail and plumb every picket from it",
        "bottom rail: gap ≈ 88.714 mm",
    ]
    assert not any(line.startswith("top rail") for line in lines)
    shared = run(*arguments, "--share-lean", "--json")
    assert [rail["gap_mm"] for rail in json.loads(shared.stdout)["rails"]] == ["621/7", "615/7"]
    assert json.loads(shared.stdout)["warnings"] == ["the openings differ by 12 mm: a post is out of plumb"]


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("solve", "21x", "--picket", "90", "--gap", "100"), "“x” in “21x” is not a unit I know"),
        (("solve", "80", "--picket", "90", "--gap", "100"), "An opening of 80 mm is too narrow"),
        (("solve", "1/" + "3" * 5000, "--picket", "90", "--gap", "100"), "too long for a length"),
        (("solve", "99999999999", "--picket", "90", "--gap", "100"), "takes over 10000 pickets"),
        (("hear", "nowhere.wav"), "nowhere.wav"),
        (("hear", "README.md"), "README.md"),
        (("demo", "--model", "nowhere"), "nowhere"),
    ],
)
def test_bad_input_is_one_clear_line_and_exit_code_2(arguments: tuple[str, ...], says: str, tmp_path: Path) -> None:
    out = () if arguments[0] == "solve" else ("--out", str(tmp_path))
    done = run(*arguments, *out)
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert done.stderr.startswith("site-assistant: ")
    assert says in done.stderr
    assert "Traceback" not in done.stderr + done.stdout


def test_a_missing_argument_is_exit_code_2() -> None:
    assert run("solve", "80").returncode == 2
    assert run("nonsense").returncode == 2


def test_help_names_every_command_with_examples() -> None:
    text = run("--help").stdout
    for word in ("demo", "hear", "type", "solve", "examples:"):
        assert word in text
    assert run("--version").stdout.startswith("site-assistant ")


def test_typed_lines_from_a_pipe_leave_marks(tmp_path: Path) -> None:
    lines = "90\n100\n2160\nthe same\nstart marking\ngap confirmed\nunderstood\nnext\n"
    done = run("type", "--out", str(tmp_path / "out"), given=lines, home=tmp_path / "home")
    assert done.returncode == 0, done.stderr
    # 11 pickets of 90 leave 1170 for 12 gaps: 97.5; the second mark is 2 * 97.5 + 90 = 285.
    assert "assistant  Mark two: two hundred and eighty five." in done.stdout
    marks = json.loads((tmp_path / "out" / "marks.json").read_text(encoding="utf-8"))
    assert "195/2" in json.dumps(marks)


def test_resume_names_the_job_before_anything_is_said(tmp_path: Path) -> None:
    run("type", "--title", "the long side", given="90\n", home=tmp_path)
    lines = run("resume", "--type", home=tmp_path).stdout.splitlines()
    assert lines[0] == "Going on with job 1: the long side"


def raw(given: bytes | None, *arguments: str | bytes, home: Path) -> subprocess.CompletedProcess[bytes]:
    """A command with bytes that are no text; None closes its standard input."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "SITE_ASSISTANT_HOME": str(home)}
    command = [sys.executable, "-m", "assistant", *arguments]
    if given is None:
        closed = ["sh", "-c", 'exec "$@" <&-', "sh", *command]
        return subprocess.run(closed, capture_output=True, check=False, env=environment, timeout=600)
    return subprocess.run(command, input=given, capture_output=True, check=False, env=environment, timeout=600)


def test_bytes_that_are_no_text_and_a_line_without_end_are_not_understood_and_the_job_goes_on(tmp_path: Path) -> None:
    done = raw(b"90\n\xff\xfe\x80 100\n" + b"two " * 250_000 + b"\n\x00\n100\n", "type", home=tmp_path)
    assert done.returncode == 0, done.stderr
    lines = done.stdout.decode().splitlines()
    assert "Largest gap: one hundred" in done.stdout.decode() and "Bottom opening?" in lines[-1]
    assert max(map(len, lines)) < 1000


@pytest.mark.parametrize("given", [None, b"", b"\xff\n"])
def test_no_answer_to_a_question_keeps_the_job(given: bytes | None, tmp_path: Path) -> None:
    run("type", given="90\n", home=tmp_path)
    done = raw(given, "delete", "1", home=tmp_path)
    assert (done.returncode, done.stderr) == (0, b"")
    assert done.stdout.endswith(b"Kept.\n")
    assert raw(None, "type", home=tmp_path).returncode == 0


def test_a_title_and_a_home_that_are_no_text_are_taken(tmp_path: Path) -> None:
    home = os.fsencode(tmp_path) + b"/h\xff"
    done = raw(b"90\n", "type", "--title", b"fence \xe9", "--home", home, "--out", os.fsencode(tmp_path) + b"/o\xfe", home=tmp_path)
    assert (done.returncode, done.stderr) == (0, b"")
    for command in ("jobs", "show", "export"):
        done = raw(b"", command, "--home", home, home=tmp_path)
        assert (done.returncode, done.stderr) == (0, b"")
        assert b"fence ?" in done.stdout
