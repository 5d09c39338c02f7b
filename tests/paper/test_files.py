"""One maker for every file of a job."""

from __future__ import annotations

import io

import pytest
from pypdf import PdfReader
from sample_jobs import EMPTY, METRIC

from assistant.paper.exports import job_json, marks_csv, marks_text
from assistant.paper.files import Kind, kind_named, kinds_of, make
from assistant.paper.pages import Paper
from assistant.paper.pole_svg import pole_svg
from assistant.paper.sheet_html import sheet_html
from assistant.paper.strips import strips


def pages(made: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(made))


def test_text_kinds_are_what_the_exports_write() -> None:
    made = {kind: make(kind, METRIC, "Zaun", "2026-05-04").decode() for kind in Kind if kind.is_text}
    assert made == {
        Kind.JSON: job_json(METRIC, "Zaun", "2026-05-04"),
        Kind.CSV: marks_csv(METRIC),
        Kind.TXT: marks_text(METRIC),
        Kind.HTML: sheet_html(METRIC, "Zaun", "2026-05-04"),
        Kind.SVG: pole_svg(strips(METRIC), "Zaun", "2026-05-04"),
    }


@pytest.mark.parametrize(("paper", "size"), [(Paper.A4, (210.0, 297.0)), (Paper.LETTER, (215.9, 279.4)), (None, (210.0, 297.0))])
def test_the_sheet_is_on_the_paper_asked_for_and_a_roll_makes_no_difference(paper: Paper | None, size: tuple[float, float]) -> None:
    box = pages(make(Kind.PDF, METRIC, "t", "d", paper)).pages[0].mediabox
    assert (float(box.width) * 25.4 / 72, float(box.height) * 25.4 / 72) == pytest.approx(size, abs=0.01)


def test_the_pole_is_on_sheets_or_on_one_page_for_a_roll() -> None:
    on_sheets, on_roll = (pages(make(Kind.POLE, METRIC, "t", "d", paper)) for paper in (Paper.LETTER, None))
    box = on_sheets.pages[0].mediabox
    assert sorted(float(side) * 25.4 / 72 for side in (box.width, box.height)) == pytest.approx([215.9, 279.4], abs=0.01)
    assert len(on_roll.pages) == 1


def test_there_is_no_pole_without_a_bay() -> None:
    assert kinds_of(METRIC) == tuple(Kind)
    assert set(Kind) - set(kinds_of(EMPTY)) == {Kind.POLE, Kind.SVG}


def test_every_kind_has_a_name_and_a_file_of_its_own() -> None:
    assert [kind_named(kind.asked) for kind in Kind] == list(Kind)
    assert len({kind.file_name for kind in Kind}) == len(Kind)
    assert [kind.file_name.rpartition(".")[2] for kind in Kind] == ["json", "csv", "txt", "html", "pdf", "pdf", "svg"]
