"""Facts and their written form."""

import dataclasses
import json
from fractions import Fraction
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import given
from strategies import facts

from assistant import job, measured
from assistant.errors import RecordError
from assistant.numbers import styles
from assistant.record.migrations import SCHEMA_VERSION, migrate
from assistant.record.written_facts import VALUES, from_json, to_json
from assistant.setout.ends import HALF_GAP, set_gap
from assistant.setout.lengths import Resolution, Unit
from assistant.setout.limits import GapLimit
from assistant.setout.marks import Edge, Origin
from assistant.setout.run import Likeness
from assistant.setout.taper import Lean

FROZEN = Path(__file__).parent / "frozen_version_1.json"
"""Facts as version 1 writes them; never changed, so that old records stay readable."""

FROZEN_FACTS: list[job.Fact] = [
    job.SettingsChanged(
        job.Settings(
            Unit.FOOT_INCH,
            Resolution.INCH_16,
            Fraction(889, 10),
            GapLimit(Fraction(508, 5), True, "guard", "a code"),
            set_gap(Fraction(381, 10)),
            HALF_GAP,
            Edge.CENTRE,
            Origin.RIGHT,
            True,
            Likeness.MOST_ALIKE,
            False,
            styles.NumberStyle.DIGITS,
            True,
        )
    ),
    job.DraftChanged(job.Draft("gate", (("hinge", Fraction(6)), ("latch", Fraction(12))))),
    job.DraftChanged(None),
    job.BaySet(
        0,
        measured.Bay(1, (("bottom", Fraction(2160)), ("top", Fraction(4315, 2))), Fraction(90), GapLimit(Fraction(100), False)),
    ),
    job.BaySet(
        1,
        measured.Bay(
            2,
            (("bottom", Fraction(1800)),),
            Fraction(90),
            GapLimit(Fraction(100), True),
            9,
            measured.Gate(Fraction(6), Fraction(12), 2, Fraction(10)),
            measured.Slope.RAKED,
            Fraction(700),
            Fraction(2400),
            measured.Slip(3, (("bottom", Fraction(601, 2)),)),
            Lean.RIGHT,
        ),
    ),
    job.BayChosen(0),
    job.ConfirmedByIndex(0),
    job.CautionAcknowledged("nailing"),
    job.CalledByIndex(0, 1, 12),
    job.PostsSet(job.Posts(Fraction(10000), Fraction(100), Fraction(2400))),
    job.NoteMade(job.Note("posts", ("5 posts", "2490 mm apart"))),
    job.Undone(1),
    job.BayRemoved(1),
]

UNDO = '{"schema_version":2,"fact":{"kind":"undone","count":1}}'


@given(facts)
def test_any_fact_comes_back_as_it_was_written(fact: job.Fact) -> None:
    assert from_json(to_json(fact)) == fact


@given(facts)
def test_writing_what_was_read_gives_the_same_text(fact: job.Fact) -> None:
    text = to_json(fact)
    assert to_json(from_json(text)) == text


def test_a_length_is_written_exactly() -> None:
    third = measured.Slip(1, (("top", Fraction(1, 3)),))
    bay = measured.Bay(1, (("top", Fraction(2000)),), Fraction(90), GapLimit(Fraction(100), True), slip=third)
    written = json.loads(to_json(job.BaySet(0, bay)))
    assert written["fact"]["bay"]["slip"]["places"] == [["top", "1/3"]]
    assert written["fact"]["bay"]["openings"] == [["top", "2000/1"]]


def test_records_of_version_1_are_read_for_ever() -> None:
    entries = json.loads(FROZEN.read_text(encoding="utf-8"))
    assert [from_json(json.dumps(entry)) for entry in entries] == FROZEN_FACTS
    later = {job.SetOutConfirmed, job.PicketSlipped, job.BayReopened, job.MarkCalled, job.RunMeasured, job.HeardUnsure, job.BoardsSet}
    assert {type(fact) for fact in FROZEN_FACTS} == set(get_args(job.Fact)) - later


def test_every_field_of_every_value_is_written() -> None:
    """A field added to the core and not to its model would be lost in silence."""
    for model in VALUES:
        core = {field.name for field in dataclasses.fields(model.core)}
        assert set(model.model_fields) - ({"kind"} - core) == core, model.core
    assert set(get_args(job.Fact)) <= {model.core for model in VALUES}


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "null",
        "[]",
        "[" * 20_000,
        "{}",
        '{"schema_version":1}',
        UNDO.replace("2,", '"2",'),
        UNDO.replace("2,", "0,"),
        UNDO.replace("undone", "unknown"),
        UNDO.replace('"count":1', '"count":1.0'),
        UNDO.replace('"count":1', '"count":"1"'),
        UNDO.replace('"count":1', '"count":1,"extra":2'),
        UNDO.replace('"fact"', '"extra":0,"fact"'),
        UNDO + UNDO,
    ],
)
def test_what_is_not_a_fact_is_refused(text: str) -> None:
    with pytest.raises(RecordError):
        from_json(text)


@pytest.mark.parametrize("length", ["2160", "1/0", "1/00", "21.5/1", "1e9/1", " 1/1", "1/-2", "", 2160, 2160.0, None])
def test_a_length_that_is_not_p_over_q_is_refused(length: object) -> None:
    entry = json.loads(FROZEN.read_text(encoding="utf-8"))[3]
    entry["fact"]["bay"]["picket"] = length
    with pytest.raises(RecordError):
        from_json(json.dumps(entry))


def test_an_unknown_name_is_refused() -> None:
    entry = json.loads(FROZEN.read_text(encoding="utf-8"))[0]
    entry["fact"]["settings"]["unit"] = "FURLONG"
    with pytest.raises(RecordError):
        from_json(json.dumps(entry))


def test_a_newer_version_is_refused_by_name() -> None:
    newer = UNDO.replace('"schema_version":2', f'"schema_version":{SCHEMA_VERSION + 1}')
    with pytest.raises(RecordError, match="newer site-assistant"):
        from_json(newer)


def test_migrations_run_one_after_the_other() -> None:
    """Version 7 counted from one; version 8 called the count `steps`; version 9 is current."""
    steps = {7: lambda fact: {"steps": fact["count"] - 1}, 8: lambda fact: {**fact, "kind": "undone"}}
    assert migrate({"count": 3}, 7, steps, current=9) == {"steps": 2, "kind": "undone"}
    assert migrate({"steps": 3}, 8, steps, current=9) == {"steps": 3, "kind": "undone"}
    assert migrate({"steps": 3}, 9, steps, current=9) == {"steps": 3}
    with pytest.raises(RecordError, match="version 6"):
        migrate({}, 6, steps, current=9)
    with pytest.raises(RecordError, match="newer"):
        migrate({}, 10, steps, current=9)
