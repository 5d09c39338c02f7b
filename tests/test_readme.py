"""The README says what is so: its figures stand in the model card, its pictures and files are there, its commands exist."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from assistant.cli import main

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
CARD = (ROOT / "models" / "second-ear" / "README.md").read_text(encoding="utf-8")
LONGEST = 150
"""Lines; whoever comes by reads no more."""


def card_row(point: str) -> tuple[str, ...]:
    """Right, asked about and taken wrong at this point in noise at 10 dB, both ears together, as the card prints them."""
    row = next(line for line in CARD.splitlines() if line.startswith(f"| {point} | 10 dB |"))
    both = re.sub(r" \([^)]*\)", "", row.rstrip(" |").split("|")[-1])
    right, wrong, asked, _ = (part.strip() for part in both.split("/"))
    return right, asked, wrong


def test_the_figures_are_those_of_the_model_card() -> None:
    told = README.partition("**How sure it is.**")[2].partition("\n\n")[0]
    figures = re.findall(r"\d+\.\d", told)
    points = ("a length in millimetres", "a length in inches", "a command between bays")
    assert figures == [figure for point in points for figure in card_row(point)]


def test_what_was_checked_against_print_is_counted() -> None:
    rows = (ROOT / "tests" / "sources.tsv").read_text(encoding="utf-8").splitlines()[1:]
    libraries = sum(row.endswith("\tlibrary") for row in rows)
    assert f"against {len(rows) - libraries} published examples and values" in README
    assert f"in {libraries}\nplaces against other libraries" in README


def test_every_file_it_shows_or_points_to_is_there() -> None:
    named = re.findall(r'src="([^"]+)"|\]\(([^):]+)\)', README)
    assert len(named) > 5
    for picture, file in named:
        assert (ROOT / (picture or file)).is_file(), (picture, file)


def test_every_picture_says_what_it_shows() -> None:
    pictures = re.findall(r"<img [^>]*>", README)
    assert len(pictures) == 3
    assert all(re.search(r'alt="[^"]{20,}"', picture) for picture in pictures)


@pytest.mark.parametrize("command", sorted(set(re.findall(r"site-assistant ([a-z]+)", README))))
def test_every_command_it_names_is_one(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main([command, "--help"])
    assert ended.value.code == 0
    options = set(re.findall(r"--[a-z]+(?:-[a-z]+)*", capsys.readouterr().out))
    for used in re.findall(rf"site-assistant {command}([^`\n]*)`", README):
        assert set(re.findall(r"--[a-z]+(?:-[a-z]+)*", used)) <= options, used


def test_it_stays_short() -> None:
    assert len(README.splitlines()) <= LONGEST
