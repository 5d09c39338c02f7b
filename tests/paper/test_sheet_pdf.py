"""The marking sheet as a PDF: its text is read back and compared with the exact marks."""

import io
from fractions import Fraction

import pytest
from pypdf import PdfReader
from sample_jobs import JOBS, METRIC, bay

from assistant.dialogue.cautions import CAUTIONS
from assistant.job import Job
from assistant.paper.pages import Paper, plain
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
        "The long side", "2026-05-04", "8 bays, 2 gates", "11 pickets, 12 gaps of 97.5 mm", "Before nailing",
        "must be under 100 mm (England guard)", "Mark the bottom rail only", "Timber list", "6 posts.",
        "gaps of about 88.714 mm", "page 1 of",
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


def test_a_rail_longer_than_a_page_goes_on_on_the_next() -> None:
    long = Job(METRIC.settings, (bay(1, 40_000),))
    found, at = words(long), 0
    count = set_out_of(long, 0).count
    assert count > 200
    for number in range(1, count + 1):
        at = take(found, at, [str(number)])
    for page in PdfReader(io.BytesIO(sheet_pdf(long, "t", "d"))).pages:
        assert page.extract_text().strip()


def test_letters_the_typeface_lacks_do_not_stop_the_paper() -> None:
    reader = PdfReader(io.BytesIO(sheet_pdf(METRIC, "Zaun “Nord” – Ω\n≈ 3 €", "d")))
    assert 'Zaun "Nord" - ? about 3 ?' in reader.pages[0].extract_text()
