"""What a person sees while the assistant listens: the current mark large, what comes after it, how far along, and the level.

On a terminal one block is redrawn in place, nothing scrolls and nothing flickers; in a pipe every sentence is a plain line.
"""

from __future__ import annotations

import sys
from types import TracebackType
from typing import TextIO

from rich.console import Console, Group
from rich.live import Live
from rich.text import Text

from assistant.display.big_figures import LINES, big
from assistant.display.lines import cut, wrapped
from assistant.display.rail_line import rail_line
from assistant.display.view import View, view_of
from assistant.events import Utterance
from assistant.job import Job

FULL_SCALE = 32768.0
LEVEL_BARS = 20
SAID_LETTERS = 200
"""Letters of what is said for which there is always room."""
WIDEST = 100
"""Letters that the block takes of a wider terminal."""
REDRAWS = 8
"""Times a second the block is redrawn at most."""


class PlainScreen:
    """One line a sentence, for a pipe or a log."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def __enter__(self) -> PlainScreen:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        return None

    def heard(self, utterance: Utterance) -> None:
        """What was recognised."""
        self._line("heard", f"{' '.join(utterance.words) or '…'}{'' if utterance.understood else '   (not for us)'}")

    def said(self, text: str) -> None:
        """What the assistant says."""
        self._line("assistant", text)

    def level(self, level: float, speech: bool) -> None:
        """The level is for eyes only."""

    def notice(self, text: str) -> None:
        """What happened to the devices."""
        self._line("notice", text)

    def show(self, job: Job) -> None:
        """The mark is in what is said."""

    def _line(self, who: str, text: str) -> None:
        print(f"{who:10} {text}", file=self._stream, flush=True)


class BigScreen:
    """One block on a terminal, redrawn in place."""

    def __init__(self, stream: TextIO) -> None:
        self._console = Console(file=stream)
        self._live = Live(console=self._console, auto_refresh=False, transient=False)
        self._view = View("")
        self._heard = self._said = self._notice = ""
        self._level = 0.0
        self._speech = False
        self._skipped = 0

    def __enter__(self) -> BigScreen:
        self._live.start()
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self._live.stop()

    def heard(self, utterance: Utterance) -> None:
        """What was recognised."""
        self._heard = f"{' '.join(utterance.words)}{'' if utterance.understood else '   (not for us)'}"
        self._draw()

    def said(self, text: str) -> None:
        """What the assistant says."""
        self._said = text
        self._draw()

    def level(self, level: float, speech: bool) -> None:
        """The microphone's level, 20 times a second; redrawn less often."""
        self._level, self._speech = level, speech
        self._skipped = (self._skipped + 1) % max(1, 20 // REDRAWS)
        if self._skipped == 0:
            self._draw()

    def notice(self, text: str) -> None:
        """What happened to the devices."""
        self._notice = text
        self._draw()

    def show(self, job: Job) -> None:
        """Where the job is."""
        self._view = view_of(job, "")
        self._draw()

    def _draw(self) -> None:
        self._live.update(block(self._view, self._heard, self._said, self._notice, self._meter(), self._console.width), refresh=True)

    def _meter(self) -> str:
        bars = meter(self._level)
        return f"{'█' * bars}{'·' * (LEVEL_BARS - bars)} {'speech' if self._speech else ''}"


def meter(level: float) -> int:
    """Bars for a level of sound (root mean square of 16-bit samples): one for each 3 dB above -60 dBFS."""
    bars = 0
    threshold = FULL_SCALE / 1000
    while bars < LEVEL_BARS and level > threshold:
        bars += 1
        threshold *= 2**0.5
    return bars


def block(seen: View, heard: str, said: str, notice: str, level: str, width: int) -> Group:
    """The whole block, on a width always of the same height, so that it stays where it is; no word is broken."""
    width = min(width, WIDEST)
    where = ", ".join(part for part in (seen.count, seen.left, seen.gap) if part)
    unit = "" if any(letter.isalpha() for letter in seen.mark) else seen.unit
    lines = [
        Text(cut(seen.place, width), style="bold"),
        Text(cut(where, width)),
        Text(""),
        *(Text(line, style="bold") for line in (big(seen.mark, width) if seen.mark else [""] * LINES)),
        Text(cut("    ".join(part for part in (unit, seen.next) if part), width)),
        Text(rail_line(seen.picture, width), style="bold"),
        Text(cut(f"heard      {heard}", width)),
        *map(Text, _said(f"assistant  {said}", width)),
        Text(cut(f"level      {level}", width)),
        Text(cut(notice, width)),
    ]
    for line in lines:
        line.no_wrap = True
    return Group(*lines)


def _said(text: str, width: int) -> list[str]:
    """What is said, on as many lines as SAID_LETTERS take."""
    room = -(-SAID_LETTERS // max(1, width - len("assistant  ")))
    lines = wrapped(text, width).split("\n")
    if len(lines) > room:
        lines = [*lines[: room - 1], cut(lines[room - 1] + " …", width)]
    return lines + [""] * (room - len(lines))


def screen(stream: TextIO = sys.stdout) -> PlainScreen | BigScreen:
    """The screen that suits where the output goes."""
    return BigScreen(stream) if stream.isatty() else PlainScreen(stream)
