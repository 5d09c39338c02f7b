"""What the screen shows while the assistant listens."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from rich.console import Console
from sample_jobs import METRIC

from assistant.display.console import LEVEL_BARS, Glance, PlainScreen, block, glance, meter
from assistant.events import Utterance
from assistant.job import Job, Position


def test_nothing_is_shown_before_marking() -> None:
    assert glance(Job()) == Glance()


def test_the_glance_is_the_mark_called_and_the_one_after() -> None:
    seen = glance(replace(METRIC, position=Position(0, 0, 2)))
    # 11 pickets of 90 in 2160: gap 97.5, marks at 97.5 + 187.5 (k - 1): 285 and 472.5, to the even millimetre.
    assert (seen.mark, seen.after) == ("285 mm", "472 mm")
    assert seen.place == "bay 1, bottom: mark 2 of 11"
    assert glance(replace(METRIC, position=Position(0, 0, 11))).after == "last on this rail"


@pytest.mark.parametrize("width", [40, 80, 200])
def test_the_block_keeps_its_height(width: int) -> None:
    """It is redrawn in place, so it must not grow or shrink with what it shows."""
    heights = set()
    for seen in (Glance(), Glance("bay 1, bottom: mark 2 of 11", "285 mm", "472 mm", 0.2)):
        text = io.StringIO()
        Console(file=text, width=width).print(block(seen, "next", "Mark two.", "", "", width))
        heights.add(text.getvalue().count("\n"))
    assert len(heights) == 1


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
