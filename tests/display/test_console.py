"""What the screen shows while the assistant listens."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.console import Console
from sample_jobs import METRIC, called

from assistant.display.big_figures import LINES, big
from assistant.display.console import LEVEL_BARS, BigScreen, PlainScreen, block, meter
from assistant.display.lines import cut, wrapped
from assistant.display.rail_line import AHEAD, DONE, NOW, POSTS, RAIL, rail_line
from assistant.display.view import WHOLE, Picture, View
from assistant.events import Utterance
from assistant.job import Job

PICTURE = Picture(((45, 87), (132, 174), (219, 260), (800, 840)), 1, 132)
SECOND = View(
    "", "Bay 1, bottom rail", "285", "mm", "mark 2 of 11", "next 472", done=2, total=11, left="9 left", gap="gap 97.5 mm", picture=PICTURE
)
FEET_AND_INCHES = replace(SECOND, mark="12 ft 11 15/16 in", unit="feet and inches", next="next 13 ft 2 1/16 in")
LONG = (
    "Caution. Glasses, earmuffs, dust mask. Sequential trigger. Hand clear of the nail. Nobody near, nothing behind it. Battery or air off "
    "before clearing or adjusting. When that is done, say: understood. After that, next gives each mark in turn."
)
HEARD = "bottom twenty one sixty top twenty one fifty eight and a half"
NOTICE = "the microphone is gone: I look for it until it is there"
WIDTHS = (40, 44, 80, 200)


def drawn(seen: View, width: int, said: str = "Mark two.") -> list[str]:
    """The lines of the block."""
    text = io.StringIO()
    Console(file=text, width=width).print(block(seen, HEARD, said, NOTICE, "", width))
    return text.getvalue().split("\n")


def test_the_screen_shows_the_mark_of_the_view_and_the_one_after() -> None:
    stream = io.StringIO()
    with BigScreen(stream) as screen:
        screen.show(Job())
        screen.show(called(METRIC, 1, "bottom", 2))
    text = stream.getvalue()
    # 11 pickets of 90 in 2160: gap 97.5, marks at 97.5 + 187.5 (k - 1): 285 and 472.5, to the even millimetre.
    for part in ("Bay 1, bottom rail", "mark 2 of 11, 9 left, gap 97.5 mm", "mm    next 472", NOW, *big("285", 80)):
        assert part.rstrip() in text


@pytest.mark.parametrize("width", WIDTHS)
def test_the_block_keeps_its_height(width: int) -> None:
    """It is redrawn in place, so it must not grow or shrink with what it shows."""
    assert len({len(drawn(seen, width, said)) for seen in (View(""), SECOND, FEET_AND_INCHES) for said in ("", LONG)}) == 1


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("seen", [View("", "No mark called yet"), SECOND, FEET_AND_INCHES])
def test_no_line_is_longer_than_the_screen_and_no_word_is_broken(seen: View, width: int) -> None:
    shown = f"{LONG} {HEARD} {NOTICE} {seen.place} {seen.count}, {seen.left}, {seen.gap} {seen.next} {seen.mark}"
    words = {*shown.split(), "heard", "assistant", "level", "mm", "ft", "in"}
    for line in drawn(seen, width, LONG):
        assert len(line) <= width
        assert {word for word in line.split() if any(letter.isalnum() for letter in word)} <= words


@pytest.mark.parametrize("width", [44, 80, 200])
def test_a_fraction_is_built_up_beside_its_figures(width: int) -> None:
    lines = big("12 ft 11 15/16 in", width)
    assert len(lines) == LINES and max(map(len, lines)) <= width
    bar = lines[LINES // 2].index("━")
    assert all(lines[row][bar:].strip() for row in range(LINES))  # something over the bar and under it
    assert lines[-1].endswith(" in") and " ft " in lines[-1]


def test_a_mark_that_fits_in_no_figures_stays_whole_in_letters() -> None:
    """Half of “12 ft 11 15/16 in” is another mark."""
    assert [line for line in big("12 ft 11 15/16 in", 20) if line] == ["12 ft 11 15/16 in"]


@given(st.integers(0, 10**6))
def test_no_two_numbers_look_alike(number: int) -> None:
    shown = {tuple(big(str(other), 200)) for other in (number, number + 1, number * 10)}
    assert len(shown) == len({number, number + 1, number * 10})


@given(st.data(), st.sampled_from((38, 44, 80)), st.integers(1, 60), st.booleans())
def test_the_line_of_the_rail_shows_where_the_mark_is(data: st.DataObject, width: int, count: int, from_left: bool) -> None:
    now = data.draw(st.integers(0, count - 1))
    step = WHOLE / (count + 1)
    pickets = tuple((round(step * (place + 1)) - 3, round(step * (place + 1)) + 3) for place in range(count))
    line = rail_line(Picture(pickets, now, pickets[now][0], from_left), width)
    assert len(line) == width and line[0] == POSTS[0] and line[-1] == POSTS[1]
    assert line.count(NOW) == 1
    assert abs((line.index(NOW) - 0.5) / (width - 2) - (now + 1) / (count + 1)) <= 1 / (width - 2)
    done, ahead = line.split(NOW) if from_left else reversed(line.split(NOW))
    assert AHEAD not in done and DONE not in ahead
    if count < width // 3:
        assert line.count(DONE) + line.count(AHEAD) == count - 1
        assert line.count(RAIL) == width - 2 - count


def test_without_a_picture_there_is_no_line() -> None:
    assert rail_line(Picture(), 44) == ""


@given(st.text("ab ,.", min_size=1, max_size=200), st.integers(8, 60))
def test_wrapping_loses_no_word_and_breaks_none(text: str, width: int) -> None:
    lines = wrapped(f"assistant  {text}", width + 12).split("\n")
    assert " ".join(lines).split() == f"assistant  {text}".split()
    assert all(len(line) <= width + 12 or " " not in line.strip() for line in lines)


def test_a_wrapped_line_goes_on_under_what_it_says() -> None:
    assert wrapped("assistant  one two three", 18) == "assistant  one two\n           three"
    assert wrapped("Job 1: yard\n  1  285 mm", 80) == "Job 1: yard\n  1  285 mm"


def test_what_is_cut_ends_behind_a_word() -> None:
    assert cut("one two three", 13) == "one two three"
    assert cut("one two three", 12) == "one two …"


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
