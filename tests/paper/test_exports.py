"""A job as JSON, CSV and text."""

import csv
import io
import json
from fractions import Fraction

import pytest
from sample_jobs import EMPTY, FEET, INCH, JOBS, LIMIT, METRIC

from assistant.job import Job, Settings
from assistant.measured import Bay
from assistant.paper.exports import COLUMNS, job_json, marks_csv, marks_text
from assistant.plan import set_out_of
from assistant.setout.limits import GapLimit
from assistant.setout.trouble import ImpossibleError

# eHow.co.uk 7766646: 300 cm, pickets 5 cm, largest gap 10 cm; 20 pickets, gap 9.5 cm (exactly 2000/21 mm).
PUBLISHED = Job(
    settings=Settings(),
    bays=(Bay(1, (("bottom", Fraction(3000)),), Fraction(50), GapLimit(Fraction(100), strict=False)),),
)


def rows(job: Job) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(marks_csv(job))))


def test_the_published_bay_is_exported_exactly() -> None:
    expected = [k * Fraction(2000, 21) + (k - 1) * 50 for k in range(1, 21)]
    exported = json.loads(job_json(PUBLISHED, "long bay", "2026-05-04"))
    (rail,) = exported["bays"][0]["rails"]
    assert rail["gap"] == "2000/21"
    assert [Fraction(mark["exact"]) for mark in rail["marks"]] == expected
    assert [int(mark["set_out"]) for mark in rail["marks"]] == [round(value) for value in expected]
    assert [Fraction(row["exact_mm"]) for row in rows(PUBLISHED)] == expected
    assert [row["value_mm"] for row in rows(PUBLISHED)] == [str(round(value)) for value in expected]
    assert marks_text(PUBLISHED).split()[-4:] == ["19", "2710", "20", "2855"]


@pytest.mark.parametrize("job", JOBS.values(), ids=JOBS)
def test_every_mark_of_every_bay_is_there_once(job: Job) -> None:
    expected = []
    for index in range(len(job.bays)):
        try:
            made = set_out_of(job, index)
        except ImpossibleError:
            continue
        expected += [(made.bay.name, rail.name, mark.index, mark.value) for rail in made.rails for mark in rail.marks]
    found = [(row["bay"], row["rail"], int(row["mark"]), Fraction(row["value_mm"])) for row in rows(job)]
    assert found == expected
    exported = json.loads(job_json(job, "t", "d"))
    in_json = [
        (bay["name"], rail["rail"], mark["mark"], Fraction(mark["value"]))
        for bay in exported["bays"]
        for rail in bay.get("rails", [])
        for mark in rail["marks"]
    ]
    assert in_json == expected


def test_a_mark_along_a_slope_gives_the_square_of_its_distance() -> None:
    """Run 2400, rise 700 is 2500 along the rail: the squares are in the ratio 25^2 to 24^2."""
    exported = json.loads(job_json(METRIC, "t", "d"))
    raked = exported["bays"][3]["rails"][0]
    level = Fraction(raked["left_space"])
    assert Fraction(raked["marks"][0]["exact_squared"]) == level**2 * Fraction(25**2, 24**2)
    assert [row["exact_mm"] for row in rows(METRIC) if row["bay"] == "bay 4"] == [""] * len(raked["marks"])


def test_a_bay_that_cannot_be_set_out_says_why() -> None:
    exported = json.loads(job_json(METRIC, "t", "d"))
    assert "60 mm" in exported["bays"][8]["problem"]
    assert exported["bays"][8]["problem"] in marks_text(METRIC)


def test_the_whole_job_is_in_the_json() -> None:
    exported = json.loads(job_json(METRIC, "Zaun für Ω", "2026-05-04"))
    assert (exported["title"], exported["date"]) == ("Zaun für Ω", "2026-05-04")
    assert exported["settings_of_bays_not_set_out"]["limit"]["value"] == f"{LIMIT.value.numerator}/1"
    assert exported["bays"][0]["measured"]["openings"] == [["bottom", "2160/1"], ["top", "2160/1"]]
    assert [bay["confirmed"] for bay in exported["bays"][:3]] == [True, True, False]
    assert exported["bays"][0]["called"] == [{"rail": "bottom", "mark": mark} for mark in (1, 2, 3)]
    assert exported["bays"][1]["called"] == []
    assert exported["position"] == {"bay": 1, "rail": "bottom", "mark": 3}
    assert exported["cautions_acknowledged"] == ["nailing"]
    assert exported["notes"][0]["lines"][1] == "Six posts."


def test_inches_are_written_as_on_a_tape() -> None:
    first = rows(INCH)[1]
    assert (first["value"], first["unit"], first["value_mm"]) == ("11 1/4", "inches", "285.75")
    third = rows(FEET)[2]
    assert (third["value"], third["unit"]) == ("1 ft 6 5/8 in", "feet and inches")


def test_an_empty_job_is_exported_too() -> None:
    assert marks_csv(EMPTY) == ",".join(COLUMNS) + "\n"
    assert marks_text(EMPTY) == ""
    assert json.loads(job_json(EMPTY, "", ""))["bays"] == []
