"""Sheet, board and the phone's page, judged by axe-core in a real browser: nothing serious or critical, in sun and at night.

axe-core is no part of this project; `AXE_CORE` names its `axe.min.js`, as `npm install axe-core` leaves it.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import asdict
from pathlib import Path

import pytest
from browser import CHROMIUM, Browser
from sample_jobs import FEET, METRIC, called, confirmed

from assistant.display.board import Board
from assistant.display.view import View, view_of
from assistant.job import Job
from assistant.paper.sheet_html import sheet_html
from assistant.phone.certificate import own
from assistant.phone.phone_card import PhoneCard
from assistant.phone.phone_server import PhoneServer
from assistant.serving import LOOPBACK
from assistant.speech.player import Player

AXE = Path(os.environ.get("AXE_CORE", ""))

pytestmark = [
    pytest.mark.skipif(CHROMIUM is None, reason="no Chromium: install the Debian package chromium"),
    pytest.mark.skipif(not AXE.is_file(), reason="no axe-core: npm install axe-core, and name its axe.min.js in AXE_CORE"),
]

_RUN = """axe.run(document, {preload: false, rules: {'color-contrast-enhanced': {enabled: true}}}).then(found =>
  [...found.violations.map(one => [one.impact, one.id, one.nodes.map(node => node.html).slice(0, 5)]), [found.passes.length]])"""


@contextmanager
def _board(view: View) -> Iterator[str]:
    with Board() as board:
        board.show(view)
        yield board.url


@contextmanager
def _sheet(job: Job, folder: Path) -> Iterator[str]:
    page = folder / "sheet.html"
    page.write_text(sheet_html(job, "The yard", "2026-01-02"), encoding="utf-8")
    yield page.as_uri()


@contextmanager
def _phone(folder: Path) -> Iterator[str]:
    with PhoneServer(PhoneCard(Player()), LOOPBACK, own(folder / "certificate", LOOPBACK)) as server:
        yield server.origin + "/"


FOURTH = view_of(called(METRIC, 1, "bottom", 4), "yard")
PAGES: dict[str, tuple[Callable[[Path], object], str]] = {
    "board": (lambda folder: _board(FOURTH), ""),
    "board in feet": (lambda folder: _board(view_of(called(confirmed(FEET, 1), 1, "bottom", 3), "yard")), ""),
    "board before the first mark": (lambda folder: _board(View("yard", "No mark called yet")), ""),
    "board that lost its connection": (lambda folder: _board(FOURTH), "stale(true)"),
    "phone before it begins": (_phone, ""),
    "phone with a mark": (
        _phone,
        f"document.getElementById('begin').hidden = true; show({json.dumps(asdict(FOURTH))})",
    ),
    "sheet": (lambda folder: _sheet(METRIC, folder), ""),
    "sheet in feet": (lambda folder: _sheet(confirmed(FEET, 1), folder), ""),
}
"""How each page is served, and what is done on it before it is looked at."""


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with Browser("--ignore-certificate-errors") as started:
        yield started


@pytest.mark.parametrize("name", PAGES)
def test_nothing_serious_stands_in_anyones_way(browser: Browser, name: str, tmp_path: Path) -> None:
    served, script = PAGES[name]
    browser.size(390, 844, phone=True)
    with served(tmp_path) as address:  # type: ignore[attr-defined]
        for scheme in ("light", "dark"):
            browser.scheme(scheme)
            browser.open(address)
            if name.startswith("board"):
                browser.wait_for("document.getElementById('place').textContent !== ''")
            if script:
                browser.ask(f"{script}; 0")
            browser.ask(AXE.read_text(encoding="utf-8") + "; 0")
            *found, (passed,) = browser.ask(_RUN)
            assert passed > 5
            assert [one for one in found if one[0] in ("serious", "critical")] == []
