"""Invented jobs for what is drawn, printed and exported: every kind of bay, in millimetres and in inches."""

from dataclasses import replace
from fractions import Fraction

from assistant.fold import apply
from assistant.job import Job, MarkCalled, Note, PicketSlipped, Position, SetOutConfirmed, Settings
from assistant.measured import Bay, Gate, Slip, Slope
from assistant.plan import preview, respaced, set_out_of
from assistant.setout.lengths import Resolution, Unit, inches
from assistant.setout.limits import GapLimit
from assistant.setout.marks import Edge, Origin
from assistant.setout.posts import Posts
from assistant.setout.taper import Lean

LIMIT = GapLimit(Fraction(100), strict=True, name="England guard", source="a code")
PICKET = Fraction(90)


def bay(number: int, *openings: int | Fraction, **more: object) -> Bay:
    """A bay with its openings, bottom first."""
    names = {1: ("bottom",), 2: ("bottom", "top"), 3: ("bottom", "middle", "top")}[len(openings)]
    measured = tuple((name, Fraction(opening)) for name, opening in zip(names, openings, strict=True))
    return replace(Bay(number, measured, PICKET, LIMIT), **more)


def confirmed(job: Job, *numbers: int) -> Job:
    """The job with the gaps of these bays confirmed, as its settings are."""
    for number in numbers:
        index = job.index_of(number)
        assert index is not None
        job = apply(job, SetOutConfirmed(number, preview(job, index)))
    return job


def slipped(job: Job, number: int, slip: Slip) -> Job:
    """The job with a picket of a bay that is set out fixed off its mark; its new gap is not confirmed."""
    index = job.index_of(number)
    assert index is not None
    return apply(job, PicketSlipped(number, slip, respaced(set_out_of(job, index), slip)))


def called(job: Job, number: int, rail: str, last: int) -> Job:
    """The job with the marks of a rail called up to this one."""
    for mark in range(1, last + 1):
        job = apply(job, MarkCalled(Position(number, rail, mark)))
    return job


def _every_bay(settings: Settings) -> Job:
    """Every kind of bay; bay 9 cannot be set out, bays 1, 2 and 8 are, and a picket of bay 8 slipped."""
    job = Job(
        settings=settings,
        bays=(
            bay(1, 2160, 2160),
            bay(2, 2412, 2400),
            bay(3, 2412, 2406, 2400, leans=Lean.LEFT),
            bay(4, 2400, slope=Slope.RAKED, rise=Fraction(700), going=Fraction(2400)),
            bay(5, 2400, slope=Slope.STEPPED, rise=Fraction(-300), going=Fraction(2400)),
            bay(6, 1000, gate=Gate(Fraction(6), Fraction(12))),
            bay(7, 3000, gate=Gate(Fraction(6), Fraction(6), 2, Fraction(10))),
            bay(8, 2160),
            bay(9, 60),
            bay(10, 5985),
        ),
        cautions=("nailing",),
        notes=(
            Note("Timber list", ("One hundred and twenty pickets.", "Six posts.")),
            Note("Post centres, from the outer face of the first post", ("50, 2450, 4850",)),
        ),
        posts=Posts(Fraction(10000), Fraction(100), Fraction(2400)),
    )
    job = slipped(confirmed(job, 1, 2, 8), 8, Slip(4, (("bottom", Fraction(650)),)))
    return called(job, 1, "bottom", 3)


METRIC_SETTINGS = Settings(picket=PICKET, limit=LIMIT)
METRIC = _every_bay(METRIC_SETTINGS)
SHARED = _every_bay(replace(METRIC_SETTINGS, share_lean=True))
"""The same bays with the lean of the posts shared among the gaps."""

FROM_RIGHT = _every_bay(replace(METRIC_SETTINGS, origin=Origin.RIGHT, edge=Edge.CENTRE))
"""The same bays marked at centres from the right post."""


def _inch_bay(number: int, *openings: str, **more: object) -> Bay:
    measured = bay(number, *(inches(opening) for opening in openings))
    return replace(measured, picket=inches("3.5"), limit=GapLimit(inches(4), strict=True), **more)


INCH = Job(
    settings=Settings(Unit.INCH, Resolution.INCH_16, inches("3.5"), GapLimit(inches(4), strict=True)),
    bays=(
        _inch_bay(1, "85.0625", "85.0625"),
        _inch_bay(2, "40", gate=Gate(inches("0.25"), inches("0.5"))),
    ),
)
FEET = replace(INCH, settings=replace(INCH.settings, unit=Unit.FOOT_INCH))
EMPTY = Job()

JOBS = {"metric": METRIC, "shared": SHARED, "from right": FROM_RIGHT, "inch": INCH, "feet": FEET, "empty": EMPTY}
