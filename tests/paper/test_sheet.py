"""The marking sheet as a page: what it says, and how it looks in a real browser."""

import io
import re
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from html.parser import HTMLParser
from pathlib import Path

import pytest
from browser import CHROMIUM, Browser
from pypdf import PdfReader
from sample_jobs import EMPTY, FEET, FROM_RIGHT, INCH, JOBS, METRIC, bay

from assistant import colours
from assistant.dialogue.cautions import CAUTIONS
from assistant.job import Job, Settings
from assistant.measured import Bay
from assistant.paper.circumstances import Circumstances
from assistant.paper.elevation import picture
from assistant.paper.pages import Paper
from assistant.paper.sheet_content import sheet
from assistant.paper.sheet_html import sheet_html
from assistant.plan import set_out_of
from assistant.setout.ends import HALF_GAP, set_gap
from assistant.setout.lengths import Resolution, Unit, inches
from assistant.setout.limits import PUBLISHED, GapLimit
from assistant.setout.trouble import ImpossibleError
from assistant.written import mark_text

TITLE = "The long side of the garden behind " + "a" * 80
"""With a word that no phone is wide enough for."""

LONG = {
    "kinds": replace(METRIC, bays=tuple(one for one in METRIC.bays if one.number != 9)),
    "three rails": Job(replace(METRIC.settings, share_lean=True), (bay(1, 11_500, 11_506, 11_512), bay(2, 2412, 2406, 2400))),
    "sixty": Job(METRIC.settings, (bay(1, 11_500),)),
    "feet": FEET,
}
"""Bays that are hard to keep on one page: of every kind, of three rails with 61 marks each, of one with 61."""

needs_browser = pytest.mark.skipif(CHROMIUM is None, reason="no Chromium: install the Debian package chromium")


class Reading(HTMLParser):
    """The text, marks and shapes of a page."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.rails: list[list[str]] = []
        self.shapes: list[list[tuple[str, str]]] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""
        self._in_mark = False
        self._open: list[str] = []
        self.feed(page)
        assert self._open == [], "every tag is closed"

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        values = dict(attrs)
        if tag == "svg":
            self.shapes.append([])
        self.tags.append((tag, values))
        if tag == "ol":
            self.rails.append([])
        self._in_mark = tag == "span" and values.get("class") == "mark"
        if tag in ("polygon", "polyline"):
            self.shapes[-1].append((values["class"] or "", values["points"] or ""))
        elif tag not in ("meta", "path", "rect"):
            self._open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)

    def handle_endtag(self, tag: str) -> None:
        if tag not in ("polygon", "polyline", "path", "rect"):
            assert self._open.pop() == tag
        self._in_mark = False

    def handle_data(self, data: str) -> None:
        self.text += data.replace("\u00a0", " ") + " "
        if self._in_mark:
            self.rails[-1].append(data)


def expected_marks(job: Job) -> list[list[str]]:
    """Every rail's marks as they have to be written."""
    rails = []
    for index in range(len(job.bays)):
        try:
            made = set_out_of(job, index)
        except ImpossibleError:
            continue
        own = [[mark_text(made, mark) for mark in rail.marks] for rail in made.rails]
        # Rails that are alike in everything stand on the sheet once.
        spaces = [rail.spaces for rail in made.rails]
        rails += [marks for at, marks in enumerate(own) if (marks, spaces[at]) not in zip(own[:at], spaces[:at], strict=True)]
    return rails


@pytest.mark.parametrize("job", JOBS.values(), ids=JOBS)
def test_every_mark_of_every_rail_is_on_the_page_in_order(job: Job) -> None:
    assert Reading(sheet_html(job, "t", "d")).rails == expected_marks(job)


def test_a_published_bay_has_its_published_numbers() -> None:
    """eHow 6210555: opening 72, pickets 1-1/2, gap 4 in at most: 13 pickets, gaps of 3-3/4; near edges at 3-3/4 + 5-1/4 k."""
    bay = Bay(1, (("bottom", inches(72)),), inches("1.5"), GapLimit(inches(4), strict=False))
    page = Reading(sheet_html(Job(Settings(Unit.INCH, Resolution.INCH_16), (bay,)), "t", "d"))
    assert "13 pickets, 14 gaps of 3 3/4 in" in page.text
    assert [sum(map(Fraction, mark.split())) for mark in page.rails[0]] == [Fraction(15, 4) + Fraction(21, 4) * k for k in range(13)]


def test_the_drawings_on_the_page_are_the_exact_ones() -> None:
    page = Reading(sheet_html(METRIC, "t", "d"))
    bays = [index for index in range(len(METRIC.bays)) if index != 8]
    # Behind the run each bay is drawn for a phone and for a wide screen and paper.
    drawn = page.shapes[-2 * len(bays) :]
    for place, index in enumerate(bays):
        expected = picture(set_out_of(METRIC, index)).shapes
        for shapes in drawn[2 * place : 2 * place + 2]:
            assert [kind for kind, _ in shapes] == [shape.part.value for shape in expected]
            for (_, points), shape in zip(shapes, expected, strict=True):
                for point, (x, y) in zip(points.split(), shape.points, strict=True):
                    across, down = map(Fraction, point.split(","))
                    # To a thousandth of a millimetre, upside down as SVG counts.
                    assert abs(across - x) <= Fraction(1, 1000) and abs(down + y) <= Fraction(1, 1000)


def test_the_sheet_says_what_another_pair_of_hands_needs() -> None:
    text = Reading(sheet_html(METRIC, "The long side", "2026-05-04")).text
    for needed in (
        "The long side",
        "2026-05-04",
        "8 bays, 2 gates",
        "11 pickets, 12 gaps of 97.5 mm",
        "must be under 100 mm (England guard)",
        "Left edges from the left post, in mm",
        "Mark the bottom rail only, and plumb every picket from it.",
        "along the rail",
        "falls 300 mm in 2400 mm",
        "Width of each leaf",
        "Gap where the leaves meet",
        "Place",
        "Measured by",
        "check against your local rules",
        "Cut list",
        "Picket 4 is fixed at 650 mm on the bottom rail. From there on the gap is 98.75 mm.",
        "97.5 mm, then 98.75 mm",
        "Cannot be set out",
        "60 mm",
        "Timber list",
        "6 posts.",
        "Lengths along the fence are to scale",
    ):
        assert needed in text, needed
    for caution in CAUTIONS.values():
        assert text.count(caution.short) == 1
        for line in caution.written:
            assert text.count(line) == 1
    assert "Centres from the right post" in Reading(sheet_html(FROM_RIGHT, "t", "d")).text
    assert "in feet and inches" in Reading(sheet_html(FEET, "t", "d")).text
    assert "0 bays, 0 pickets" in Reading(sheet_html(EMPTY, "t", "d")).text


def test_a_slope_is_given_as_it_was_measured() -> None:
    bay = replace(METRIC.bays[3], along=Fraction(2500))
    text = Reading(sheet_html(Job(METRIC.settings, (bay,)), "t", "d")).text
    assert "2500 mm along the rail in 2400 mm level" in text
    assert "rises" not in text


def test_each_post_has_its_own_end() -> None:
    settings = replace(METRIC.settings, left=HALF_GAP, right=set_gap(Fraction(20)))
    text = Reading(sheet_html(Job(settings, METRIC.bays[:1]), "t", "d")).text
    assert re.search(r"At the left post\s+half a gap\s+At the right post\s+a set gap of 20 mm", text)


def test_what_the_record_knows_is_on_the_sheet() -> None:
    known = Circumstances(
        "Garden", "A. B.", "UTC+02:00", ((1, "2026-05-04 14:32"),), ((2, "bottom opening 2412 mm, before 2402 mm, 2026-05-04 14:38"),)
    )
    first, second, *_ = sheet(METRIC, "t", "d", known).bays
    assert ("Gap confirmed aloud", "97.5 mm, 2026-05-04 14:32") in first.facts
    assert first.changes == () and second.changes == ("bottom opening 2412 mm, before 2402 mm, 2026-05-04 14:38",)
    text = " ".join(Reading(sheet_html(METRIC, "t", "2026-05-04", known)).text.split())
    for needed in ("Garden", "A. B.", "times in UTC+02:00", "Changed: bottom opening 2412 mm, before 2402 mm,"):
        assert needed in text, needed


def test_a_limit_is_named_with_code_edition_and_clause() -> None:
    published = next(one for one in PUBLISHED if one.region == "England")
    one = Job(METRIC.settings, (replace(METRIC.bays[0], limit=published.limit),))
    text = " ".join(Reading(sheet_html(one, "t", "d")).text.split())
    assert f"(England guard), {published.where}; check against your local rules" in text
    assert published.rule in text


def test_a_gap_over_its_limit_is_a_warning() -> None:
    bay = replace(METRIC.bays[0], count=10)
    page = sheet_html(Job(METRIC.settings, (bay,)), "t", "d")
    assert '<p class="warning">Over the limit: the largest space is' in page


def test_a_title_is_text_and_never_code() -> None:
    page = sheet_html(METRIC, '<script>alert("x")</script> & co', '"><img src=x>')
    assert "<script" not in page and "<img" not in page
    assert '<script>alert("x")</script> & co' in Reading(page).text


def test_the_page_needs_nothing_from_anywhere() -> None:
    page = sheet_html(METRIC, "t", "d")
    assert re.findall(r"https?:|url\(|@import|src=", page) == []
    links = [values.get("href", "") or "" for tag, values in Reading(page).tags if tag in ("a", "link")]
    assert links and all(link.startswith("#") for link in links)
    anchors = [values["id"] for _, values in Reading(page).tags if "id" in values]
    assert [link[1:] for link in links] == anchors


def luminance(colour: str) -> float:
    """Relative luminance of #rrggbb (WCAG 2.1, relative luminance)."""
    channels = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4 for value in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours (WCAG 2.1)."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_text_can_be_read_in_sunlight() -> None:
    """WCAG 2.1 asks 7 for its highest level (1.4.6), and 3 for shapes (1.4.11)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert min(contrast(ink, behind) for ink, behind in colours.TEXT_PAIRS) >= 9
    assert min(contrast(ink, behind) for ink, behind in colours.NIGHT_PAIRS) >= 9
    assert min(contrast(one, other) for one, other in (*colours.EDGES, *colours.NIGHT_EDGES)) >= 3


# In a real browser ----------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with Browser() as started:
        yield started


def opened(browser: Browser, folder: Path, job: Job) -> None:
    page = folder / "sheet.html"
    page.write_text(sheet_html(job, TITLE, "2026-05-04"), encoding="utf-8")
    browser.open(page.as_uri())


@needs_browser
@pytest.mark.parametrize("width", [320, 360, 412, 768, 1280])
@pytest.mark.parametrize("name", ["metric", "feet"])
def test_nothing_overflows_at_any_width(name: str, width: int, browser: Browser, tmp_path: Path) -> None:
    browser.size(width, 800, phone=width < 700)
    opened(browser, tmp_path, JOBS[name])
    assert browser.ask("innerWidth") == width
    assert browser.ask("document.documentElement.scrollWidth") <= width
    outside = browser.ask(
        "[...document.querySelectorAll('body *')].filter(e => !e.closest('.run, .table'))"
        ".filter(e => e.getBoundingClientRect().right > innerWidth + 0.5"
        " || e.scrollWidth > e.clientWidth + 1 && getComputedStyle(e).display != 'inline').map(e => e.outerHTML)"
    )
    assert outside == []


@needs_browser
def test_marks_are_large_enough_for_gloves_and_arms_length(browser: Browser, tmp_path: Path) -> None:
    """WCAG 2.5.8 asks 24 CSS px of a target; gloves need more, so 44 at least."""
    browser.size(360, 800, phone=True)
    opened(browser, tmp_path, METRIC)
    heights = browser.ask("[...document.querySelectorAll('ol.marks li, nav a')].map(e => e.getBoundingClientRect().height)")
    assert min(heights) >= 44
    sizes = browser.ask("[...document.querySelectorAll('.mark')].map(e => parseFloat(getComputedStyle(e).fontSize))")
    assert min(sizes) >= 24


@needs_browser
@pytest.mark.parametrize("width", [320, 360, 1280])
def test_no_mark_is_broken_over_lines(width: int, browser: Browser, tmp_path: Path) -> None:
    """“4 ft 7 9/16 in” on three lines is read as three marks."""
    for name in ("metric", "feet"):
        browser.size(width, 800, phone=width < 700)
        opened(browser, tmp_path, JOBS[name])
        count = "e => { const r = document.createRange(); r.selectNodeContents(e); return r.getClientRects().length }"
        assert set(browser.ask(f"[...document.querySelectorAll('.mark')].map({count})")) == {1}
        sizes = browser.ask("[...document.querySelectorAll('.mark')].map(e => parseFloat(getComputedStyle(e).fontSize))")
        assert min(sizes) >= 16.8


@needs_browser
@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("name", ["metric", "inch", "feet"])
def test_the_printed_page_holds_every_mark(name: str, paper: Paper, browser: Browser, tmp_path: Path) -> None:
    opened(browser, tmp_path, JOBS[name])
    printed = PdfReader(io.BytesIO(browser.print(paper.width, paper.height)))
    size = printed.pages[0].mediabox
    assert (float(size.width), float(size.height)) == pytest.approx((paper.width * 72 / 25.4, paper.height * 72 / 25.4), abs=1.5)
    words = " ".join(page.extract_text() for page in printed.pages).replace("\u00a0", " ").split()
    for rail in expected_marks(JOBS[name]):
        at = 0
        for number, mark in enumerate(rail, start=1):
            wanted = [str(number), *mark.split()]
            at = next(k for k in range(at, len(words)) if words[k : k + len(wanted)] == wanted) + len(wanted)


@needs_browser
@pytest.mark.parametrize("name", ["metric", "feet"])
@pytest.mark.parametrize("width", [360, 390])
def test_the_first_bay_stands_on_the_first_screen_of_a_phone(name: str, width: int, browser: Browser, tmp_path: Path) -> None:
    browser.size(width, 640, phone=True)
    page = tmp_path / "sheet.html"
    page.write_text(sheet_html(JOBS[name], "The long side", "2026-05-04", Circumstances(zone="UTC+02:00")), encoding="utf-8")
    browser.open(page.as_uri())
    assert browser.ask("document.querySelector('h2').getBoundingClientRect().bottom") <= 640


@needs_browser
@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("name", LONG)
def test_no_bay_is_torn_over_printed_pages(name: str, paper: Paper, browser: Browser, tmp_path: Path) -> None:
    opened(browser, tmp_path, LONG[name])
    pages = PdfReader(io.BytesIO(browser.print(paper.width, paper.height))).pages
    held = [" ".join(page.extract_text().replace("\u00a0", " ").split()) for page in pages]
    for index, one in enumerate(LONG[name].bays):
        made = set_out_of(LONG[name], index)
        first, last = made.rails[0].marks[0], made.rails[-1].marks[-1]
        wanted = [f"{one.name.capitalize()} {made.pickets} pickets", mark_text(made, first), mark_text(made, last)]
        assert sum(all(text in page for text in wanted) for page in held) == 1, one.name
    (cuts,) = (page for page in held if "Cut list" in page)
    assert cuts.startswith("Cut list"), "cuts begin a page of their own"


@needs_browser
def test_the_sheet_is_dark_by_night_and_black_on_white_on_paper(browser: Browser, tmp_path: Path) -> None:
    opened(browser, tmp_path, METRIC)
    seen = "[getComputedStyle(document.body).color, getComputedStyle(document.body).backgroundColor].join()"
    assert browser.ask(seen) == "rgb(17, 17, 17),rgb(255, 255, 255)"
    browser.medium("screen", "dark")
    assert browser.ask(seen) == "rgb(244, 241, 234),rgb(16, 16, 16)"
    browser.medium("print", "dark")
    assert browser.ask(seen) == "rgb(17, 17, 17),rgb(255, 255, 255)"
    browser.medium("", "light")


@needs_browser
def test_the_page_runs_under_its_own_policy_without_a_complaint(browser: Browser, tmp_path: Path) -> None:
    opened(browser, tmp_path, INCH)
    assert browser.ask("performance.getEntriesByType('resource').length") == 0
    assert browser.ask("getComputedStyle(document.querySelector('.cautions')).borderTopWidth") == "2px"
