"""One mark has one name: said, shown and written in the same unit, from the same post, whatever is said in the middle of a rail."""

from __future__ import annotations

import csv
import io

import pytest
from talk import Talk

from assistant.display.view import view_of
from assistant.numbers import say_length
from assistant.numbers.styles import NumberStyle
from assistant.paper.exports import marks_csv
from assistant.plan import marking

MEASURED = ("90", "100", "2160", "the same", "start marking", "gap confirmed", "understood")


def on_paper(talk: Talk, mark: int) -> tuple[str, str]:
    """(number, unit) of a mark of the first rail in the table of marks."""
    row = list(csv.DictReader(io.StringIO(marks_csv(talk.job))))[mark - 1]
    return row["value"], row["unit"]


@pytest.mark.parametrize(
    ("begun", "first", "second", "unit", "said"),
    [
        # 11 pickets of 90 in 2160: gap 97.5, then 285: 3.839 and 11.220 in.
        ((), "98", "285", "mm", "two hundred and eighty five"),
        (("mark to the sixteenth",), "3 13/16", "11 1/4", "inches", "eleven and a quarter"),
    ],
)
def test_voice_screen_and_paper_give_a_mark_the_same_number(begun: tuple[str, ...], first: str, second: str, unit: str, said: str) -> None:
    talk = Talk(*begun, *MEASURED)
    assert [on_paper(talk, mark) for mark in (1, 2)] == [(first, unit), (second, unit)]
    assert (view_of(talk.job, "t").mark, view_of(talk.job, "t").unit) == (first, unit)
    assert talk.say("next") == f"Mark two: {said}."
    assert (view_of(talk.job, "t").mark, view_of(talk.job, "t").unit) == (second, unit)


@pytest.mark.parametrize("setting", ["mark to the sixteenth", "from the right post", "centres", "picket at both ends", "share the lean"])
def test_a_setting_said_in_the_middle_of_a_rail_renames_no_mark(setting: str) -> None:
    talk = Talk(*MEASURED)
    before = [on_paper(talk, mark) for mark in range(1, 12)]
    talk.say(setting)
    assert [on_paper(talk, mark) for mark in range(1, 12)] == before
    reply = talk.say("next")
    at = marking(talk.job)
    assert at is not None
    number, unit = before[at.mark - 1]
    assert (view_of(talk.job, "t").mark, view_of(talk.job, "t").unit) == (number, unit)
    value = at.rail.values()[at.mark - 1]
    assert reply.endswith(f": {say_length(value, at.set_out.unit, NumberStyle.WHOLE, with_unit=False)}.")
