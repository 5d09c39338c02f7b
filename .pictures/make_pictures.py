"""The pictures of the README, made from the demo job: python .pictures/make_pictures.py

Needs Chromium.  The job is the bundled recording's; sheet, page and console are what the program makes of it.
"""

from __future__ import annotations

import io
import json
import sys
import tempfile
from contextlib import redirect_stdout
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent), str(HERE.parent / "tests")]

from browser import Browser  # noqa: E402
from rich.console import Console  # noqa: E402

from assistant import colours  # noqa: E402
from assistant.cli import main  # noqa: E402
from assistant.display.board import Board  # noqa: E402
from assistant.display.console import block  # noqa: E402
from assistant.display.view import View, view_of  # noqa: E402
from assistant.fold import replay  # noqa: E402
from assistant.job import MarkCalled, Position  # noqa: E402
from assistant.record.store import Store  # noqa: E402

AT = Position(1, "bottom", 5)
"""The mark that is shown."""
PHONE = 390, 780
COLUMNS, TERMINAL = 80, (700, 322)
CONSOLE = f"<!DOCTYPE html><meta charset=utf-8><style>body {{ margin: 0; background: {colours.INK}; color: {colours.PAPER}; }}"
CONSOLE += "pre { margin: 10px 12px; font: 14px/16px 'DejaVu Sans Mono', monospace; }</style><pre>"


@dataclass(frozen=True)
class Moment:
    """What was shown and said at AT."""

    view: View
    said: str


def demo(folder: Path) -> Moment:
    """Plays the demo into a folder."""
    with redirect_stdout(io.StringIO()):
        assert main(["demo", "--out", str(folder)]) == 0
    facts = [entry.fact for entry in Store(folder / "record").entries(1)]
    until = next(place for place, fact in enumerate(facts) if isinstance(fact, MarkCalled) and fact.position == AT)
    replies = json.loads((folder / "replies.json").read_text(encoding="utf-8"))
    said = next(reply["text"] for reply in replies if reply["text"].startswith("Mark five: "))
    return Moment(view_of(replay(facts[: until + 1]), "demo job"), said)


def console(moment: Moment) -> str:
    """The console as a page."""
    screen = Console(file=io.StringIO(), width=COLUMNS, record=True)
    screen.print(block(moment.view, "next", moment.said, "", "█████···············", COLUMNS))
    return CONSOLE + screen.export_html(inline_styles=True, code_format="{code}")


def make(folder: Path) -> None:
    """All pictures."""
    moment = demo(folder)
    page = folder / "console.html"
    page.write_text(console(moment), encoding="utf-8")
    with Browser() as browser, Board() as board:
        browser.size(*PHONE, phone=True)
        browser.open((folder / "sheet.html").as_uri())
        browser.picture(HERE / "sheet.png", *PHONE)
        board.show(moment.view)
        browser.open(board.url)
        browser.wait_for(f"document.getElementById('value').textContent === '{moment.view.mark}'")
        browser.picture(HERE / "board.png", *PHONE)
        browser.size(*TERMINAL)
        browser.open(page.as_uri())
        browser.picture(HERE / "console.png", *TERMINAL)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        make(Path(made))
