"""Story-pole strips, measured on the paper: every mark within a tenth of a millimetre of where it belongs.

The lines are read from the drawing operators of the PDF itself and put together as they would be with scissors and tape.
"""

import io
from dataclasses import dataclass
from math import sqrt

import pytest
from pypdf import PdfReader
from pypdf.generic import ContentStream
from sample_jobs import EMPTY, FEET, FROM_RIGHT, INCH, METRIC, SHARED, bay

from assistant.job import Job
from assistant.paper.pages import Paper
from assistant.paper.pole_print import BAND, CHECKS, JOIN, _step, pole_pdf
from assistant.paper.strips import Strip, StripMark, pieces, strips
from assistant.plan import set_out_of
from assistant.setout.lengths import MM_PER_INCH
from assistant.setout.marks import Origin

MM = 25.4 / 72
WITHIN = 0.1
JOBS = {"metric": METRIC, "shared": SHARED, "from right": FROM_RIGHT, "inch": INCH, "feet": FEET}
PAPERS = {"A4": Paper.A4, "Letter": Paper.LETTER, "roll": None}


@dataclass(frozen=True)
class Line:
    """A straight line on a page, in mm; y counts up."""

    page: int
    width: float
    x1: float
    y1: float
    x2: float
    y2: float

    @property
    def upright(self) -> bool:
        return abs(self.x1 - self.x2) < 0.001

    @property
    def top(self) -> float:
        return max(self.y1, self.y2)

    @property
    def length(self) -> float:
        return abs(self.x1 - self.x2) + abs(self.y1 - self.y2)


def lines(pdf: bytes) -> list[Line]:
    """Every line, page by page, from the operators that draw it, under the scale that is in force."""
    found = []
    reader = PdfReader(io.BytesIO(pdf))
    for number, page in enumerate(reader.pages):
        scale, width, start = MM, 0.0, (0.0, 0.0)
        stack: list[float] = []
        for operands, operator in ContentStream(page.get_contents(), reader).operations:
            if operator == b"q":
                stack.append(scale)
            elif operator == b"Q":
                scale = stack.pop()
            elif operator == b"cm":
                assert [float(value) for value in operands[1:3]] == [0, 0]
                scale *= float(operands[0])
            elif operator == b"w":
                width = float(operands[0]) * scale
            elif operator == b"m":
                start = (float(operands[0]) * scale, float(operands[1]) * scale)
            elif operator == b"l":
                end = (float(operands[0]) * scale, float(operands[1]) * scale)
                found.append(Line(number, width, *start, *end))
                start = end
    return found


def taped(pdf: bytes) -> list[tuple[float, list[float]]]:
    """(length, marks) of every strip once its pieces are cut out and laid join on join."""
    uprights = [line for line in lines(pdf) if line.upright]
    ends = [line for line in uprights if abs(line.length - JOIN) < 0.05]
    rows: dict[tuple[int, int], list[Line]] = {}
    for line in ends:
        rows.setdefault((line.page, -round(line.top)), []).append(line)
    made: list[tuple[float, list[float]]] = []
    open_strip, done = False, 0.0
    for (page, _), both in sorted(rows.items()):
        left, right = sorted(both, key=lambda line: line.x1)
        begins, closes = left.width > 0.5, right.width > 0.5
        assert begins is not open_strip, "a strip goes on where it was joined"
        if begins:
            made.append((0.0, []))
            done = 0.0
        across = [line for line in uprights if line.page == page and abs(line.length - BAND) < 0.05]
        here = sorted(line.x1 for line in across if left.top - JOIN < line.top < left.top)
        # What lies beyond a join is glued under the next piece, which shows it again.
        inside = [x for x in here if x < right.x1 - 0.01 or closes]
        made[-1][1].extend(done + x - left.x1 for x in inside)
        done += right.x1 - left.x1
        made[-1] = (done, made[-1][1])
        open_strip = not closes
    assert not open_strip
    return made


def expected(job: Job) -> list[tuple[float, list[float]]]:
    """(length, marks) of every rail from the left, alike rails of a bay once."""
    found = []
    for index in range(len(job.bays)):
        if job.bays[index].number == 9:
            continue
        made = set_out_of(job, index)
        own = []
        for rail in made.rails:
            level = dict(job.bays[index].openings).get(rail.name, rail.layout.bay.opening)
            length = float(level) * (2500 / 2400 if job.bays[index].number == 4 else 1)
            true = [
                float(mark.true) if hasattr(mark, "true") else sqrt(mark.true_squared)  # type: ignore[union-attr]
                for mark in rail.marks
            ]
            if job.settings.origin is Origin.RIGHT:
                true = [length - distance for distance in reversed(true)]
            own.append((length, true))
        found += own[:1] if all(one == own[0] for one in own) else own
    return found


@pytest.mark.parametrize("paper", PAPERS.values(), ids=PAPERS)
@pytest.mark.parametrize("name", JOBS)
def test_every_mark_on_paper_is_within_a_tenth_of_a_millimetre(name: str, paper: Paper | None) -> None:
    job = JOBS[name]
    measured = taped(pole_pdf(strips(job), "The long side", "2026-05-04", paper))
    wanted = expected(job)
    assert len(measured) == len(wanted)
    for (length, marks), (true_length, true_marks) in zip(measured, wanted, strict=True):
        assert abs(length - true_length) <= WITHIN
        assert len(marks) == len(true_marks)
        assert max(abs(mark - true) for mark, true in zip(marks, true_marks, strict=True)) <= WITHIN


def test_pieces_do_not_add_up_an_error() -> None:
    """Forty metres in more than a hundred and fifty pieces end within a hundredth of a millimetre."""
    job = Job(METRIC.settings, (bay(1, 40_000),))
    ((length, marks),) = taped(pole_pdf(strips(job), "t", "d", Paper.A4))
    assert abs(length - 40_000) <= 0.01
    assert abs(marks[-1] - expected(job)[0][1][-1]) <= 0.01


@pytest.mark.parametrize("paper", PAPERS.values(), ids=PAPERS)
def test_every_page_has_its_scale_check_in_both_units(paper: Paper | None) -> None:
    pdf = pole_pdf(strips(METRIC), "t", "d", paper)
    pages = PdfReader(io.BytesIO(pdf)).pages
    drawn = [line for line in lines(pdf) if not line.upright and line.width > 0.2]
    for number, page in enumerate(pages):
        level = sorted(line.length for line in drawn if line.page == number)
        assert level == pytest.approx([100.0, 4 * float(MM_PER_INCH)], abs=0.01)
        text = page.extract_text()
        assert "Before use, measure these two lines." in text
        assert all(name in text for _, name in CHECKS)
        assert f"page {number + 1} of {len(pages)}" in text


@pytest.mark.parametrize("paper", [Paper.A4, Paper.LETTER])
def test_everything_lies_on_the_paper_inside_its_margin(paper: Paper) -> None:
    pdf = pole_pdf(strips(METRIC), "t", "d", paper)
    for page in PdfReader(io.BytesIO(pdf)).pages:
        assert float(page.mediabox.width) * MM == pytest.approx(paper.height, abs=0.01)
        assert float(page.mediabox.height) * MM == pytest.approx(paper.width, abs=0.01)
    for line in lines(pdf):
        assert min(line.x1, line.x2) >= 11.9 and max(line.x1, line.x2) <= paper.height - 11.9
        assert min(line.y1, line.y2) >= 11.9 and line.top <= paper.width - 11.9


def test_pieces_and_joins_are_numbered() -> None:
    reader = PdfReader(io.BytesIO(pole_pdf(strips(METRIC)[:1], "t", "d", Paper.A4)))
    text = " ".join(page.extract_text() for page in reader.pages)
    for number in range(1, 10):
        assert f"piece {number} of 9" in text
    for join in range(1, 9):
        assert text.count(f"join {join}") == 2
    assert "left post" in text and "right post" in text


def test_a_roll_is_one_page_a_strip_unless_a_page_cannot_be_so_long() -> None:
    """A page of a PDF is at most 14,400 points long (ISO 32000-1, Annex C): 5080 mm."""
    made = strips(METRIC)
    reader = PdfReader(io.BytesIO(pole_pdf(made, "t", "d", None)))
    long = [strip for strip in made if strip.length > 5000]
    assert len(long) == 1
    assert len(reader.pages) == len(made) + 1
    assert max(float(page.mediabox.width) for page in reader.pages) <= 14_400


def test_rails_that_are_alike_share_a_strip() -> None:
    titles = [strip.title for strip in strips(METRIC)]
    assert titles[:3] == ["Bay 1, bottom and top rail", "Bay 2, bottom rail", "Bay 3, bottom rail"]
    assert [strip.title for strip in strips(SHARED)][1:3] == ["Bay 2, bottom rail", "Bay 2, top rail"]


def test_numbers_on_a_strip_are_the_ones_that_are_called() -> None:
    reader = PdfReader(io.BytesIO(pole_pdf(strips(INCH)[:1], "t", "d", Paper.LETTER)))
    words = " ".join(page.extract_text() for page in reader.pages)
    for text in ("3 7/8", "11 1/4", "18 5/8"):
        assert text in words


def test_pickets_are_shaded_where_they_will_stand() -> None:
    for strip, opening in zip(strips(METRIC)[:2], (2160, 2412), strict=True):
        assert [end - start for start, end in strip.pickets] == pytest.approx([90] * len(strip.pickets))
        assert strip.pickets[0][0] == pytest.approx(strip.marks[0].at)
        assert strip.pickets[-1][1] < opening


def test_centres_from_the_right_lie_in_the_middle_of_the_pickets() -> None:
    for strip in strips(FROM_RIGHT):
        assert [mark.at for mark in strip.marks][::-1] == pytest.approx([(left + right) / 2 for left, right in strip.pickets])


def test_a_job_without_bays_is_a_page_with_its_check() -> None:
    reader = PdfReader(io.BytesIO(pole_pdf(strips(EMPTY), "t", "d")))
    assert len(reader.pages) == 1
    assert "measure these two lines" in reader.pages[0].extract_text()


def test_a_mark_on_a_join_is_on_both_pieces_and_counted_once() -> None:
    strip = strips(Job(METRIC.settings, (bay(1, 2160),)))[0]
    join = next(iter(pieces(strip, _step(Paper.A4)))).end
    at_join = Strip(
        strip.title,
        strip.how,
        2 * join,
        strip.ends,
        tuple(StripMark(number, at, str(at)) for number, at in ((1, 100.0), (2, join), (3, 2 * join))),
        (),
    )
    ((length, marks),) = taped(pole_pdf([at_join], "t", "d", Paper.A4))
    assert length == pytest.approx(2 * join, abs=0.01)
    assert marks == pytest.approx([100, join, 2 * join], abs=0.01)
