"""Story-pole strips, measured on the paper: every mark within a tenth of a millimetre of where it belongs.

The lines are read from the drawing operators of the PDF itself and put together as they would be with scissors and tape.
"""

import io
import re
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import sqrt

import pytest
from fpdf import FPDF
from hypothesis import example, given, settings
from hypothesis import strategies as st
from pypdf import PdfReader
from pypdf.generic import ContentStream
from sample_jobs import EMPTY, FEET, FROM_RIGHT, INCH, METRIC, SHARED, bay

from assistant.job import Job
from assistant.paper.pages import Paper
from assistant.paper.pole_print import pole_pdf
from assistant.paper.pole_svg import pole_svg
from assistant.paper.strip_drawing import MARK, RULE
from assistant.paper.strip_pages import BAND, ROLL_HEIGHT, on_sheets
from assistant.paper.strips import CLEAR, OVERLAP, Strip, StripMark, pieces, strips
from assistant.plan import set_out_of
from assistant.setout.lengths import MM_PER_INCH
from assistant.setout.marks import Origin

MM = 25.4 / 72
WITHIN = 0.1
JOBS = {"metric": METRIC, "shared": SHARED, "from right": FROM_RIGHT, "inch": INCH, "feet": FEET}
PAPERS = {"A4": Paper.A4, "Letter": Paper.LETTER, "roll": None}
NAME = re.compile(r"(?:< [a-z ]+\. )?(.+), piece (\d+) of (\d+), page (\d+)")


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


@dataclass(frozen=True)
class Text:
    """A text on a page: where it begins, in mm, and how wide it is set."""

    page: int
    x: float
    y: float
    text: str
    width: float


@dataclass(frozen=True)
class Found:
    """A piece as it is drawn: its name, from where to where it goes, and the marks and texts on it, all from its own left end."""

    name: str
    number: int
    of: int
    length: float
    closed: bool
    marks: list[float]
    texts: list[tuple[float, float, str]]
    """(from, to, text) of what stands over the name."""
    tape: float
    """What is drawn beyond its join."""


@lru_cache
def printed(name: str, paper: Paper | None) -> bytes:
    """The strips of a job."""
    return pole_pdf(strips(JOBS[name]), "The long side", "2026-05-04", paper)


@lru_cache
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


@lru_cache
def texts(pdf: bytes) -> list[Text]:
    """Every text, where it is drawn, with its width by the widths of the typeface."""
    measure = FPDF(unit="mm")
    found = []
    for number, page in enumerate(PdfReader(io.BytesIO(pdf)).pages):

        def seen(text: str, cm: list[float], tm: list[float], font: dict[str, str], size: float, at: int = number) -> None:
            if not text.strip() or font is None:
                return
            measure.set_font("Helvetica", "B" if "Bold" in font["/BaseFont"] else "", size)
            found.append(Text(at, tm[4] * MM, tm[5] * MM, text.strip(), measure.get_string_width(text.strip())))

        page.extract_text(visitor_text=seen)
    return found


@lru_cache
def drawn(pdf: bytes) -> list[Found]:
    """Every piece of every page, found by its name, which stands inside it."""
    lines_of: dict[int, list[Line]] = {}
    for line in lines(pdf):
        lines_of.setdefault(line.page, []).append(line)
    said = texts(pdf)
    made = []
    for name in said:
        told = NAME.match(name.text)
        if not told:
            continue
        assert int(told[4]) == name.page + 1, "the page named on a piece is the one that it lies on"
        here = lines_of[name.page]
        bottom = max((line.y1 for line in here if not line.upright and line.y1 < name.y and line.x1 <= name.x <= line.x2), default=0.0)
        edge = next(line for line in here if not line.upright and abs(line.y1 - bottom) < 0.01 and line.x1 <= name.x <= line.x2)
        upright = [line for line in here if line.upright and abs(line.top - bottom - BAND) < 0.05]
        inside = [line for line in upright if edge.x1 - 0.01 <= line.x1 <= edge.x2 + 0.01]
        ends = sorted((line for line in inside if abs(line.length - BAND) < 0.05), key=lambda line: line.x1)
        begin, close = ends[0], ends[1]
        marks = [line.x1 - begin.x1 for line in inside if abs(line.length - MARK) < 0.05]
        # Reading operators loses which texts were drawn bold or small, but not where they stand.
        over = [one for one in said if one.page == name.page and edge.x1 - 40 < one.x < edge.x2 and bottom + 4.6 < one.y < bottom + BAND]
        words = [(one.x - begin.x1, one.x + one.width - begin.x1, one.text) for one in over if edge.x1 <= one.x + one.width / 2 <= edge.x2]
        tape = edge.x2 - close.x1
        assert (begin.width > 0.5) is (told[2] == "1") and (close.width > 0.5) is (told[2] == told[3])
        made.append(Found(told[1], int(told[2]), int(told[3]), close.x1 - begin.x1, close.width > 0.5, sorted(marks), words, tape))
    return made


def taped(pdf: bytes) -> dict[str, tuple[float, list[float]]]:
    """(length, marks) of every strip, by its name, once its pieces are cut out and laid join on join."""
    by_name: dict[str, list[Found]] = {}
    for piece in drawn(pdf):
        by_name.setdefault(piece.name, []).append(piece)
    made = {}
    for name, own in by_name.items():
        own.sort(key=lambda piece: piece.number)
        assert [piece.number for piece in own] == list(range(1, own[0].of + 1)), "every piece is there once"
        length, marks = 0.0, []
        for piece in own:
            marks += [length + mark for mark in piece.marks]
            length += piece.length
        made[name] = (length, marks)
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
    made = strips(job)
    found = taped(printed(name, paper))
    wanted = expected(job)
    assert len(found) == len(made) == len(wanted)
    measured = [found[strip.title] for strip in made]
    for (length, marks), (true_length, true_marks) in zip(measured, wanted, strict=True):
        assert abs(length - true_length) <= WITHIN
        assert len(marks) == len(true_marks)
        assert max(abs(mark - true) for mark, true in zip(marks, true_marks, strict=True)) <= WITHIN


def test_pieces_do_not_add_up_an_error() -> None:
    """Forty metres in more than a hundred and fifty pieces end within a hundredth of a millimetre."""
    job = Job(METRIC.settings, (bay(1, 40_000),))
    ((length, marks),) = taped(pole_pdf(strips(job), "t", "d", Paper.A4)).values()
    assert abs(length - 40_000) <= 0.01
    assert abs(marks[-1] - expected(job)[0][1][-1]) <= 0.01


@pytest.mark.parametrize("paper", PAPERS.values(), ids=PAPERS)
def test_every_page_has_a_rule_in_both_units(paper: Paper | None) -> None:
    pdf = printed("metric", paper)
    pages = PdfReader(io.BytesIO(pdf)).pages
    for number, page in enumerate(pages):
        own = [line for line in lines(pdf) if line.page == number and abs(line.width - 0.25) < 0.01 and line.length < 3 and line.upright]
        (rule,) = [line for line in lines(pdf) if line.page == number and not line.upright and abs(line.width - 0.25) < 0.01]
        assert rule.length == pytest.approx(RULE, abs=0.01)
        above = sorted(line.x1 - rule.x1 for line in own if line.top > rule.y1 + 0.01)
        below = sorted(line.x1 - rule.x1 for line in own if line.top <= rule.y1 + 0.01)
        assert above == pytest.approx([10.0 * k for k in range(11)], abs=0.01)
        assert below == pytest.approx([float(MM_PER_INCH) * k for k in range(5)], abs=0.01)
        text = page.extract_text()
        assert "100 mm above, 4 in below" in text
        assert f"page {number + 1} of {len(pages)}" in text


@pytest.mark.parametrize("paper", [Paper.A4, Paper.LETTER])
@pytest.mark.parametrize("name", JOBS)
def test_everything_lies_on_the_paper_inside_its_margin(name: str, paper: Paper) -> None:
    pdf = printed(name, paper)
    sizes = [(float(page.mediabox.width) * MM, float(page.mediabox.height) * MM) for page in PdfReader(io.BytesIO(pdf)).pages]
    for size in sizes:
        assert sorted(size) == pytest.approx([paper.width, paper.height], abs=0.01)
    for line in lines(pdf):
        width, height = sizes[line.page]
        assert min(line.x1, line.x2) >= 11.9 and max(line.x1, line.x2) <= width - 11.9
        assert min(line.y1, line.y2) >= 11.9 and line.top <= height - 11.9
    for text in texts(pdf):
        assert text.x >= 11.9 and text.x + text.width <= sizes[text.page][0] - 11.9, text


@pytest.mark.parametrize("paper", PAPERS.values(), ids=PAPERS)
@pytest.mark.parametrize("name", JOBS)
def test_no_mark_and_no_number_crosses_a_join(name: str, paper: Paper | None) -> None:
    for piece in drawn(printed(name, paper)):
        closes, begins = piece.closed, piece.number == 1
        for mark in piece.marks:
            assert (0 if begins else 1) <= mark + 0.01 and mark <= piece.length - (0 if closes else 1) + 0.01
        for start, end, text in piece.texts:
            if text != "TAPE":
                assert start >= 0 and end <= piece.length, (piece.name, piece.number, text)
        assert piece.tape == pytest.approx(0 if closes else OVERLAP, abs=0.02)


@pytest.mark.parametrize("paper", PAPERS.values(), ids=PAPERS)
@pytest.mark.parametrize("name", JOBS)
def test_each_number_stands_beside_its_mark_and_they_are_the_ones_called(name: str, paper: Paper | None) -> None:
    made = strips(JOBS[name])
    found: dict[str, list[str]] = {}
    for piece in sorted(drawn(printed(name, paper)), key=lambda one: one.number):
        for mark in piece.marks:
            beside = [text for start, end, text in piece.texts if abs(start - mark - 1) < 0.1 or -6 < end - mark < 0]
            assert len(beside) == 2, (piece.name, mark, piece.texts)
            found.setdefault(piece.name, []).append(max(beside, key=piece_order(piece)))
    wanted = {strip.title: [mark.text for mark in sorted(strip.marks, key=lambda mark: mark.at)] for strip in made}
    assert found == wanted


def piece_order(piece: Found):  # type: ignore[no-untyped-def]
    """By where a text stands in the drawing order: the distance is drawn before the number of the picket."""
    order = [text for _, _, text in piece.texts]
    return lambda text: -order.index(text)


# By hand before: 4 rows of 37.5 mm on a sheet laid sideways took 28 and 29 sheets for this job.
@pytest.mark.parametrize(("paper", "most"), [(Paper.A4, 11), (Paper.LETTER, 11)])
def test_rails_lie_side_by_side_and_use_little_paper(paper: Paper, most: int) -> None:
    pages = on_sheets(strips(METRIC), paper)
    assert len(pages) <= most
    room = (pages[0].height - 24 - 19) // BAND * (pages[0].width - 24) * len(pages)
    assert sum(one.piece.length for page in pages for one in page.placed) >= 0.8 * room
    for page in pages:
        for one in page.placed:
            for other in page.placed:
                apart = one.top != other.top or one.left + one.piece.length <= other.left or other.left + other.piece.length <= one.left
                assert one is other or apart


def test_paper_is_turned_the_way_that_takes_less_of_it() -> None:
    """140 mm fit across either way; beside each other more go on an upright sheet."""
    short = [Strip(f"{n}", "", 150.0, ("left post", "right post"), (StripMark(1, 10.0, "10"),), ()) for n in range(15)]
    assert len(on_sheets(short, Paper.A4)) == 1 and on_sheets(short, Paper.A4)[0].height == 297.0
    long = [Strip(f"{n}", "", 250.0, ("left post", "right post"), (StripMark(1, 10.0, "10"),), ()) for n in range(10)]
    assert len(on_sheets(long, Paper.A4)) == 1 and on_sheets(long, Paper.A4)[0].width == 297.0


@settings(max_examples=60, deadline=None)
@example(steps=[60, 122], rest=80, room=261.0, text="18 ft 6 5/8 in")  # a whole point further left lies on the number
@given(
    steps=st.lists(st.integers(8, 300), min_size=1, max_size=40),
    rest=st.integers(0, 200),
    room=st.sampled_from([160.0, 186.0, 261.0, 273.0]),
    text=st.sampled_from(["98", "1035.5", "18 ft 6 5/8 in"]),
)
def test_a_strip_is_cut_only_where_nothing_lies_and_nothing_of_it_is_lost(steps: list[int], rest: int, room: float, text: str) -> None:
    places = [sum(steps[: k + 1]) for k in range(len(steps))]
    strip = Strip("t", "", float(places[-1] + rest), ("l", "r"), tuple(StripMark(k, float(at), text) for k, at in enumerate(places, 1)), ())
    cut = pieces(strip, room)
    assert (cut[0].start, cut[-1].end) == (0.0, strip.length)
    assert all(before.end == after.start for before, after in pairwise(cut))
    assert [mark for piece in cut for mark in piece.marks()] == list(strip.marks)
    for piece in cut:
        assert 0 < piece.length <= room + 1e-6
        assert piece.is_last or (piece.end / MM) == pytest.approx(round(piece.end / MM), abs=1e-6)
    if min(steps) >= 60:
        for low, high in map(strip.covered, strip.marks):
            assert all(piece.is_last or not low - CLEAR + 1e-6 < piece.end < high + CLEAR - 1e-6 for piece in cut)


def test_a_roll_is_one_long_page_unless_it_is_wider_than_a_roll() -> None:
    """A page of a PDF is at most 14,400 points long (ISO 32000-1, Annex C): 5080 mm."""
    made = strips(METRIC)
    (page,) = PdfReader(io.BytesIO(pole_pdf(made, "t", "d", None))).pages
    assert float(page.mediabox.width) <= 14_400
    assert float(page.mediabox.height) * MM <= ROLL_HEIGHT
    many = PdfReader(io.BytesIO(pole_pdf(made * 3, "t", "d", None)))
    assert all(float(page.mediabox.height) * MM <= ROLL_HEIGHT + 0.01 for page in many.pages)


@pytest.mark.parametrize("name", JOBS)
def test_a_plotter_gets_every_strip_whole_within_a_tenth_of_a_millimetre(name: str) -> None:
    made = strips(JOBS[name])
    svg = pole_svg(made, "Zaun & Tor", "d")
    size = re.search(r'width="([\d.]+)mm" height="([\d.]+)mm" viewBox="0 0 ([\d.]+) ([\d.]+)"', svg)
    assert size and size.groups()[:2] == size.groups()[2:], "a unit is a millimetre"
    assert "rect" not in svg and "Zaun &amp; Tor" in svg
    pattern = r'<line x1="([\d.]+)" y1="([\d.]+)" x2="([\d.]+)" y2="([\d.]+)" stroke-width="([\d.]+)"'
    every = [tuple(map(float, found)) for found in re.findall(pattern, svg)]
    uprights = [line for line in every if line[0] == line[2]]
    rows: dict[float, list[float]] = {}
    for x, top, _, bottom, _ in uprights:
        if abs(bottom - top - MARK) < 0.001:
            rows.setdefault(top, []).append(x)
    posts = sorted((line[1], line[0]) for line in uprights if line[4] == 0.6)
    found = []
    for (top, left), (_, right) in zip(posts[::2], posts[1::2], strict=True):
        found.append((right - left, sorted(x - left for x in rows[top] if left - 0.01 <= x <= right + 0.01)))
    wanted = expected(JOBS[name])
    for length, marks in wanted:
        close = [
            one
            for one in found
            if abs(one[0] - length) <= WITHIN
            and len(one[1]) == len(marks)
            and max(abs(a - b) for a, b in zip(one[1], marks, strict=True)) <= WITHIN
        ]
        assert close, length
    assert len(found) == len(wanted)


def test_rails_that_are_alike_share_a_strip() -> None:
    titles = [strip.title for strip in strips(METRIC)]
    assert titles[:3] == ["Bay 1, bottom and top rail", "Bay 2, bottom rail", "Bay 3, bottom rail"]
    assert [strip.title for strip in strips(SHARED)][1:3] == ["Bay 2, bottom rail", "Bay 2, top rail"]


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
    assert "Measure the rule" in reader.pages[0].extract_text()
