"""What the screen shows while the assistant listens."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from pyfiglet import Figlet
from rich.console import Console
from sample_jobs import METRIC, called

from assistant.display.console import LEVEL_BARS, BigScreen, PlainScreen, block, meter
from assistant.display.view import View
from assistant.events import Utterance
from assistant.job import Job

SECOND = View("", "Bay 1, bottom rail", "285", "mm", "mark 2 of 11", "next 472", done=2, total=11)
FEET_AND_INCHES = replace(SECOND, mark="12 ft 11 15/16 in", unit="feet and inches")


def drawn(seen: View, width: int) -> list[str]:
    """The lines of the block."""
    text = io.StringIO()
    Console(file=text, width=width).print(block(seen, "next", "Mark two.", "", "", width))
    return text.getvalue().split("\n")


def test_the_screen_shows_the_mark_of_the_view_and_the_one_after() -> None:
    stream = io.StringIO()
    with BigScreen(stream) as screen:
        screen.show(Job())
        screen.show(called(METRIC, 1, "bottom", 2))
    text = stream.getvalue()
    # 11 pickets of 90 in 2160: gap 97.5, marks at 97.5 + 187.5 (k - 1): 285 and 472.5, to the even millimetre.
    assert "Bay 1, bottom rail: mark 2 of 11" in text
    assert "next 472" in text
    assert Figlet(font="banner3", width=80).renderText("285").replace("#", "█").split("\n")[0].rstrip() in text


@pytest.mark.parametrize("width", [40, 80, 200])
def test_the_block_keeps_its_height(width: int) -> None:
    """It is redrawn in place, so it must not grow or shrink with what it shows."""
    assert len({len(drawn(seen, width)) for seen in (View(""), SECOND, FEET_AND_INCHES)}) == 1


@pytest.mark.parametrize("width", [40, 80, 200])
def test_no_mark_is_cut_off_at_the_edge_of_the_screen(width: int) -> None:
    """Half of “12 ft 11 15/16 in” is another mark."""
    big = [line.rstrip() for line in drawn(FEET_AND_INCHES, width)[1:8]]
    whole = Figlet(font="banner3", width=1000).renderText(FEET_AND_INCHES.mark).replace("#", "█").split("\n")
    assert big[0] == FEET_AND_INCHES.mark or big == [line.rstrip() for line in whole[:7]]


def test_the_meter_rises_with_the_level_and_stops_at_its_end() -> None:
    bars = [meter(level) for level in (0, 40, 400, 4000, 30000, 1e9)]
    assert bars == sorted(bars)
    assert bars[0] == 0
    assert bars[-1] == LEVEL_BARS


def test_in_a_pipe_every_sentence_is_a_plain_line() -> None:
    text = io.StringIO()
    with PlainScreen(text) as screen:
        screen.said("Ready.")
        screen.heard(Utterance(("next",), 0, 1))
        screen.heard(Utterance(("half",), 0, 1, understood=False))
    assert text.getvalue().splitlines() == ["assistant  Ready.", "heard      next", "heard      half   (not for us)"]
