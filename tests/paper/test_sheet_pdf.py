"""The marking sheet as a PDF: its text is read back and compared with the exact marks."""

import io
from dataclasses import replace
from fractions import Fraction

import pytest
from pypdf import PdfReader
from sample_jobs import FEET, JOBS, METRIC, bay

from assistant.dialogue.cautions import CAUTIONS
from assistant.job import Job
from assistant.paper.density import density_about
from assistant.paper.pages import MARGIN, Paper, plain
from assistant.paper.sheet_content import sheet
from assistant.paper.sheet_pdf import sheet_pdf
from assistant.plan import set_out_of
from assistant.setout.lengths import MM_PER_INCH, Unit
from assistant.setout.trouble import ImpossibleError
from assistant.written import mark_text


def words(job: Job, paper: Paper = Paper.A4) -> list[str]:
    """Everything on the paper, word by word, in the order it was drawn."""
    reader = PdfReader(io.BytesIO(sheet_pdf(job, "The long side", "2026-05-04", paper)))
    return " ".join(page.extract_text() for page in reader.pages).split()


def take(found: list[str], at: int, wanted: list[str]) -> int:
    """Where the words behind the next occurrence of these words begin."""
    return next(k for k in range(at, len(found)) if found[k : k + len(wanted)] == wanted) + len(wanted)


def value(job: Job, text: str) -> Fraction:
    """A written mark in mm, read by rules of its own."""
    if job.settings.resolution.unit is not Unit.INCH:
        return Fraction(text)
    feet, _, rest = text.rpartition("ft")
    inches = sum(Fraction(part) for part in rest.removesuffix("in").split())
    return (12 * Fraction(feet or 0) + inches) * MM_PER_INCH


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("name", JOBS)
def test_the_marks_read_from_the_paper_are_the_exact_ones(name: str, paper: Paper) -> None:
    job = JOBS[name]
    found, at = words(job, paper), 0
    for index in range(len(job.bays)):
        try:
            made = set_out_of(job, index)
        except ImpossibleError:
            continue
        at = take(found, at, made.bay.name.capitalize().split())
        spaces = [rail.spaces for rail in made.rails]
        for rail in (rail for place, rail in enumerate(made.rails) if rail.spaces not in spaces[:place]):
            for mark in rail.marks:
                text = mark_text(made, mark)
                at = take(found, at, [str(mark.index), *text.split()])
                exact = getattr(mark, "true", None)
                if exact is not None:
                    assert abs(value(job, text) - exact) <= job.settings.resolution.step / 2


def test_the_paper_carries_the_cautions_the_counts_and_the_notes() -> None:
    text = " ".join(words(METRIC))
    for needed in (
        "The long side",
        "2026-05-04",
        "8 bays, 2 gates",
        "11 pickets, 12 gaps of 97.5 mm",
        "Before nailing",
        "must be under 100 mm (England guard)",
        "Mark the bottom rail only",
        "Timber list",
        "6 posts.",
        "gaps of about 88.714 mm",
        "page 1 of",
    ):
        assert needed in text, needed
    for caution in CAUTIONS.values():
        for line in (caution.short, *caution.written):
            assert plain(line) in text


@pytest.mark.parametrize("paper", Paper)
def test_pages_have_the_size_of_the_paper(paper: Paper) -> None:
    reader = PdfReader(io.BytesIO(sheet_pdf(METRIC, "t", "d", paper)))
    for page in reader.pages:
        assert float(page.mediabox.width) == pytest.approx(paper.width * 72 / 25.4, abs=0.01)
        assert float(page.mediabox.height) == pytest.approx(paper.height * 72 / 25.4, abs=0.01)


LONG = {
    "metric": METRIC,
    "feet": FEET,
    "three rails": Job(replace(METRIC.settings, share_lean=True), (bay(1, 11_500, 11_506, 11_512), bay(2, 2412, 2406, 2400))),
    "a wall of pickets": Job(METRIC.settings, (bay(1, 40_000),)),
}


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("name", LONG)
def test_a_bay_stands_on_one_page(name: str, paper: Paper) -> None:
    """Three rails of 61 marks each and a rail of 211 too: their marks stand in more columns."""
    job = LONG[name]
    reader = PdfReader(io.BytesIO(sheet_pdf(job, "t", "d", paper)))
    pages = [" ".join(page.extract_text().split()) for page in reader.pages]
    for index, one in enumerate(job.bays):
        try:
            made = set_out_of(job, index)
        except ImpossibleError:
            continue
        marks = [f"{mark.index} {mark_text(made, mark)}" for rail in made.rails for mark in rail.marks]
        wanted = [f"{one.name.capitalize()} {made.pickets} pickets", *marks]
        assert sum(all(text in page for text in wanted) for page in pages) == 1, one.name


def test_marks_can_be_read_from_a_metre() -> None:
    """A figure of 16 points is 4 mm high; a two-hundredth and fiftieth of the distance (common practice, no source)."""
    for job in (METRIC, FEET):
        for block in sheet(job, "t", "d").bays:
            room = Paper.LETTER.height - 2 * MARGIN - 6
            assert block.made is None or density_about(block, 186.0, room).mark >= 16


def test_a_bay_that_no_page_is_long_enough_for_goes_on_on_the_next() -> None:
    long = Job(METRIC.settings, (bay(1, 120_000),))
    found, at = words(long), 0
    count = set_out_of(long, 0).count
    assert count > 600
    for number in range(1, count + 1):
        at = take(found, at, [str(number)])


def test_letters_the_typeface_lacks_do_not_stop_the_paper() -> None:
    reader = PdfReader(io.BytesIO(sheet_pdf(METRIC, "Zaun “Nord” – Ω\n≈ 3 €", "d")))
    assert 'Zaun "Nord" - ? about 3 ?' in reader.pages[0].extract_text()
