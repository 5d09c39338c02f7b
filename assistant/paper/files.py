"""A job as a file of a named kind: the one place where one is made, for a folder left behind and for a single export.

Crosses the border: a job, its title, its date and a paper in, the bytes of a file out.  Writing them is left to the caller.
"""

from __future__ import annotations

from enum import Enum

from assistant.job import Job
from assistant.paper.circumstances import UNKNOWN, Circumstances
from assistant.paper.exports import job_json, marks_csv, marks_text
from assistant.paper.pages import Paper
from assistant.paper.pole_print import pole_pdf
from assistant.paper.pole_svg import pole_svg
from assistant.paper.sheet_html import sheet_html
from assistant.paper.sheet_pdf import sheet_pdf
from assistant.paper.strips import strips


class Kind(Enum):
    """What can be made of a job; the value is the name it is asked for by, the name of its file, and whether it is text."""

    JSON = ("json", "marks.json", True)
    CSV = ("csv", "marks.csv", True)
    TXT = ("txt", "marks.txt", True)
    HTML = ("html", "sheet.html", True)
    PDF = ("pdf", "sheet.pdf", False)
    POLE = ("pole", "pole.pdf", False)
    SVG = ("svg", "pole.svg", True)

    @property
    def asked(self) -> str:
        """The name it is asked for by."""
        return self.value[0]

    @property
    def file_name(self) -> str:
        """The name of its file in a folder."""
        return self.value[1]

    @property
    def is_text(self) -> bool:
        """Whether it can be shown on a screen."""
        return self.value[2]


def kind_named(name: str) -> Kind:
    """The kind that is asked for by this name.  Raises KeyError for no such kind."""
    return {kind.asked: kind for kind in Kind}[name]


def kinds_of(job: Job) -> tuple[Kind, ...]:
    """What can be made of this job: there is no pole without a bay."""
    return tuple(kind for kind in Kind if job.bays or kind not in (Kind.POLE, Kind.SVG))


def make(kind: Kind, job: Job, title: str, date: str, paper: Paper | None = Paper.A4, known: Circumstances = UNKNOWN) -> bytes:
    """The file; text is UTF-8.  `paper` None is a roll for the pole, and A4 for the sheet, which needs pages."""
    match kind:
        case Kind.JSON:
            return job_json(job, title, date).encode()
        case Kind.CSV:
            return marks_csv(job).encode()
        case Kind.TXT:
            return marks_text(job).encode()
        case Kind.HTML:
            return sheet_html(job, title, date, known).encode()
        case Kind.PDF:
            return sheet_pdf(job, title, date, paper or Paper.A4, known)
        case Kind.POLE:
            return pole_pdf(strips(job), title, date, paper)
        case Kind.SVG:
            return pole_svg(strips(job), title, date).encode()
