"""What is confirmed stands on paper: settings said later change no mark that is drawn, printed or exported."""

from __future__ import annotations

import io
import json
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader
from sample_jobs import FROM_RIGHT, INCH, METRIC, SHARED, bay, confirmed, slipped

from assistant.fold import apply
from assistant.job import Job, SettingsChanged
from assistant.measured import Gate, Slip
from assistant.numbers import say_length
from assistant.paper.elevation import picture
from assistant.paper.exports import job_json, marks_csv, marks_text
from assistant.paper.sheet_content import sheet
from assistant.paper.sheet_html import sheet_html
from assistant.paper.sheet_pdf import sheet_pdf
from assistant.paper.strips import strips
from assistant.plan import marking_at, preview, set_out_of, to_mark
from assistant.setout.ends import GAP, HALF_GAP, PICKET, set_gap
from assistant.setout.lengths import Resolution, Unit, inches
from assistant.setout.marks import Edge, Origin
from assistant.setout.run import Likeness
from assistant.solve_command import Request, solved, text

ENDS = (GAP, PICKET, HALF_GAP, set_gap(Fraction(20)))

EVERY = confirmed(METRIC, 3, 4, 5, 6, 7, 10)
"""Everything that can be set out is."""

CHANGES: dict[str, dict[str, Any]] = {
    "origin": {"origin": Origin.RIGHT},
    "edge": {"edge": Edge.CENTRE},
    "ends": {"left": PICKET, "right": HALF_GAP},
    "lean": {"share_lean": True},
    "resolution": {"resolution": Resolution.MM_HALF},
    "unit": {"unit": Unit.CM},
    "inches": {"unit": Unit.INCH, "resolution": Resolution.INCH_16},
    "likeness": {"likeness": Likeness.MOST_ALIKE},
    "picket": {"picket": Fraction(70)},
}


def changed(job: Job, **settings: object) -> Job:
    return apply(job, SettingsChanged(replace(job.settings, **settings)))


def papers(job: Job) -> dict[str, object]:
    """Everything drawn, printed or exported of the bays that are set out."""
    standing = [index for index, one in enumerate(job.bays) if job.standing_of(one.number)]
    exported = json.loads(job_json(job, "t", "d"))
    pdf = PdfReader(io.BytesIO(sheet_pdf(replace(job, bays=tuple(job.bays[index] for index in standing)), "t", "d")))
    alone = replace(job, bays=tuple(job.bays[index] for index in standing))
    blocks = sheet(job, "t", "d").bays
    return {
        "sheet": [blocks[index] for index in standing],
        "page": sheet_html(alone, "t", "d"),
        "pdf": [page.extract_text() for page in pdf.pages],
        "drawing": [picture(set_out_of(job, index)) for index in standing],
        "strips": strips(alone),
        "csv": marks_csv(alone),
        "text": marks_text(alone),
        "json": [exported["bays"][index] for index in standing],
    }


@pytest.mark.parametrize("name", CHANGES)
@pytest.mark.parametrize("job", [EVERY, confirmed(INCH, 1, 2)], ids=["metric", "inch"])
def test_a_setting_changed_after_the_set_out_changes_nothing_on_paper(job: Job, name: str) -> None:
    before, after = papers(job), papers(changed(job, **CHANGES[name]))
    for kind, made in before.items():
        assert after[kind] == made, kind


@pytest.mark.parametrize("name", sorted(set(CHANGES) - {"likeness", "picket"}))
def test_a_bay_that_is_not_set_out_follows_that_setting_at_once(name: str) -> None:
    """Otherwise the test above could not fail."""
    job = Job(METRIC.settings, METRIC.bays[:3])
    assert marks_text(changed(job, **CHANGES[name])) != marks_text(job)


@given(
    st.fixed_dictionaries(
        {
            "unit": st.sampled_from(Unit),
            "resolution": st.sampled_from(Resolution),
            "left": st.sampled_from(ENDS),
            "right": st.sampled_from(ENDS),
            "edge": st.sampled_from(Edge),
            "origin": st.sampled_from(Origin),
            "share_lean": st.booleans(),
        }
    )
)
def test_no_setting_at_all_moves_a_mark_of_a_slipped_bay(settings: dict[str, object]) -> None:
    for every in (METRIC, FROM_RIGHT):
        job = replace(every, bays=every.bays[7:8])
        other = changed(job, **settings)
        assert strips(other) == strips(job)
        assert sheet(other, "t", "d") == sheet(job, "t", "d")
        assert marks_csv(other) == marks_csv(job)


def test_each_bay_has_its_own_origin_edge_and_unit_in_every_export() -> None:
    job = confirmed(Job(METRIC.settings, METRIC.bays[:2]), 1)
    job = changed(job, origin=Origin.RIGHT, edge=Edge.CENTRE, unit=Unit.INCH, resolution=Resolution.INCH_32)
    first, second = json.loads(job_json(job, "t", "d"))["bays"]
    own = ("edge", "origin", "resolution", "unit")
    assert [first[name] for name in own] == ["LEFT", "LEFT", "MM_1", "MM"]
    assert [second[name] for name in own] == ["CENTRE", "RIGHT", "INCH_32", "INCH"]
    assert "left post,left edge,98,mm,98," in marks_csv(job)
    # 13 pickets of 90 in 2412: the gap of 621/7 and half a picket are 133.714 mm, 5.264 in.
    assert "right post,centre,5 1/4,inches," in marks_csv(job)
    assert "; left edges from the left post, mm\n" in marks_text(job)
    assert "; centres from the right post, inches\n" in marks_text(job)
    hows = [block.rails[0].how for block in sheet(job, "t", "d").bays]
    assert hows == ["Left edges from the left post, in mm; boxes for bottom, top", "Centres from the right post, in inches"]
    assert [strip.how for strip in strips(job)] == [
        "left edges of pickets, numbers from the left post in mm",
        "centres of pickets, numbers from the right post in inches",
    ]


def test_marks_of_a_gate_are_measured_from_the_edge_of_its_leaf() -> None:
    for job, edge in ((METRIC, "left"), (FROM_RIGHT, "right")):
        gates = [block.rails[0].how for block in sheet(job, "t", "d").bays if block.name.startswith("Gate")]
        assert len(gates) == 2
        assert all(f" from the {edge} edge of the leaf, in mm" in how for how in gates)
        assert f" from the {edge} edge of the leaf, mm\n" in marks_text(job)


def test_the_gap_is_confirmed_on_paper_until_a_picket_slips() -> None:
    said = [dict(block.facts).get("Gap confirmed aloud") for block in sheet(METRIC, "t", "d").bays]
    assert said == ["97.5 mm", "≈ 88.714 mm", *["not yet"] * 6, None, "not yet"]
    exported = json.loads(job_json(METRIC, "t", "d"))["bays"]
    assert [one["confirmed"] for one in exported] == [True, True, *[False] * 8]
    assert exported[7]["called"] == [{"rail": "bottom", "mark": 4}]


# Slips ----------------------------------------------------------------------------------------------------------------


def test_every_slipped_picket_is_told_with_the_gap_from_there_on() -> None:
    """By hand: 11 pickets of 90 in 2160 with the fourth at 650, and then the eighth at 1420 where 1405 was its mark."""
    again = slipped(METRIC, 8, Slip(8, (("bottom", Fraction(1420)),)))
    over, first, second = sheet(again, "t", "d").bays[7].warnings
    # Three pitches of 188.75 behind 650 and a picket end at 1306.25.
    assert over == "Over the limit: the largest space is 113.75 mm, but it must be under 100 mm (England guard)."
    assert first == "Picket 4 is fixed at 650 mm on the bottom rail. From there on the gap is 98.75 mm."
    # 2160 - 1510 leaves 650 for three pickets and four gaps.
    assert second == "Picket 8 is fixed at 1420 mm on the bottom rail. From there on the gap is 95 mm."


def test_slips_are_told_from_the_post_the_marks_are_measured_from() -> None:
    job = slipped(confirmed(Job(FROM_RIGHT.settings, (bay(1, 2160),)), 1), 1, Slip(8, (("bottom", Fraction(1450)),)))
    (told,) = sheet(job, "t", "d").bays[0].warnings
    # The centre of the eighth at 1450 from the right: 2160 - 1495 for three pickets and four gaps.
    assert told == "Picket 8 is fixed at 1450 mm on the bottom rail. From there on the gap is 98.75 mm."


def test_a_slip_on_two_rails_and_on_a_gate_names_each_place() -> None:
    job = confirmed(Job(SHARED.settings, (bay(1, 2412, 2400), bay(2, 1000, gate=Gate(Fraction(6), Fraction(12))))), 1, 2)
    job = slipped(job, 1, Slip(3, (("bottom", Fraction(500)), ("top", Fraction(490)))))
    job = slipped(job, 2, Slip(5, (("leaf", Fraction(750)),)))
    two, gate = (block.warnings[-1] for block in sheet(job, "t", "d").bays)
    assert two.startswith("Picket 3 is fixed at 500 mm on the bottom rail and 490 mm on the top rail. From there on the gap is ")
    # 2412 - 590 for 10 pickets and 11 gaps, 2400 - 580 for as many.
    assert two.endswith("gap is ≈ 83.818 mm on the bottom rail and ≈ 83.636 mm on the top rail.")
    assert gate.startswith("Picket 5 is fixed at 750 mm on the leaf. ")


def test_the_last_picket_off_its_mark_leaves_a_space_to_the_end() -> None:
    job = slipped(confirmed(Job(METRIC.settings, (bay(1, 2160),)), 1), 1, Slip(11, (("bottom", Fraction(1970)),)))
    *_, told = sheet(job, "t", "d").bays[0].warnings
    assert told == "Picket 11 is fixed at 1970 mm on the bottom rail. From there on the space to the end is 100 mm."


def test_a_strip_shows_a_slipped_picket_where_it_is() -> None:
    (strip,) = (one for one in strips(METRIC) if one.title.startswith("Bay 8"))
    assert strip.pickets[3] == (650.0, 740.0)
    assert (strip.marks[3].at, strip.marks[3].text) == (650.0, "650")


# One unit for one mark ------------------------------------------------------------------------------------------------

UNITS = [(unit, resolution) for unit in Unit for resolution in Resolution]


@pytest.mark.parametrize(("unit", "resolution"), UNITS)
def test_a_mark_is_called_in_one_unit_by_voice_paper_and_command(unit: Unit, resolution: Resolution) -> None:
    """A graduation of the tape is exact in the unit it is called in, and that unit is the same everywhere."""
    job = confirmed(Job(replace(METRIC.settings, unit=unit, resolution=resolution), (bay(1, 2160),)), 1)
    made = set_out_of(job, 0)
    name = {Unit.INCH: "inches", Unit.FOOT_INCH: "feet and inches"}.get(made.unit, made.unit.value)
    assert sheet(job, "t", "d").bays[0].rails[0].how.endswith(f", in {name}")
    assert all(strip.how.endswith(f"in {name}") for strip in strips(job))
    rows = [row.split(",") for row in marks_csv(job).splitlines()[1:]]
    assert {row[6] for row in rows} == {name}
    written = [row[5] for row in rows]
    assert not any("≈" in one for one in written)
    at = marking_at(job, to_mark(job, 0)[1])
    assert at is not None
    said = say_length(at.rail.values()[1], at.set_out.unit, job.settings.numbers)
    spoken_name = {Unit.INCH: "inches", Unit.FOOT_INCH: "inches", Unit.MM: "millimetres", Unit.CM: "centimetres", Unit.M: "metres"}
    assert said.endswith(spoken_name[made.unit]), said


def test_marks_to_a_sixteenth_are_inches_in_a_metric_job() -> None:
    request = Request(("2160",), "90", "100", True, "mm", "1/16", "gap", "gap", "left", "left")
    made = solved(request)
    lines = text(made).split("\n")
    # 97.5 mm is 3.8386 in: to the sixteenth 3 13/16.
    assert "    1  3 13/16 in" in lines
    assert not any(" mm" in line for line in lines)
    assert made.rails[0].values()[0] == inches("3.8125")


def test_a_length_measured_in_millimetres_stays_exact_beside_an_inch_tape() -> None:
    job = Job(replace(METRIC.settings, resolution=Resolution.INCH_16), (bay(1, 2160),))
    facts = dict(sheet(job, "t", "d").bays[0].facts)
    assert facts["Opening, bottom"] == "2160 mm"
    assert facts["Gap"] == "must be under 100 mm (England guard)"
    assert preview(job, 0).unit is Unit.INCH
