"""What stands on a marking sheet, in words and numbers; the page and the PDF only lay it out.

Crosses the border: a job, its title and a date in, a `Sheet` out.  Nothing is computed here: it all comes from the plan.
"""

from __future__ import annotations

from dataclasses import dataclass

from assistant.dialogue.cautions import CAUTIONS
from assistant.job import Bay, Job, Settings, Slope
from assistant.paper.elevation import Picture, picture
from assistant.plan import BayPlan, RailPlan, plan_bay
from assistant.setout.lengths import write
from assistant.setout.marks import Origin
from assistant.setout.trouble import ImpossibleError
from assistant.written import counted, end_text, length_text, limit_text, mark_text, rail_name, unit_name

NOT_TO_SCALE = "Lengths along the fence are to scale. Heights and post widths are not measured."


@dataclass(frozen=True, slots=True)
class RailBlock:
    """The marks of one rail."""

    heading: str
    how: str
    """What the marks are measured to and from, and in what."""
    marks: tuple[tuple[str, str], ...]
    """(picket, distance)"""

    @property
    def long(self) -> bool:
        """Whether its marks are too long for narrow columns, as feet and inches are."""
        return max((len(mark) for _, mark in self.marks), default=0) > 8


@dataclass(frozen=True, slots=True)
class BayBlock:
    """One bay or gate."""

    name: str
    headline: str
    facts: tuple[tuple[str, str], ...]
    warnings: tuple[str, ...]
    picture: Picture | None
    """None where the bay cannot be set out."""
    rails: tuple[RailBlock, ...]


@dataclass(frozen=True, slots=True)
class ListBlock:
    """A heading and its lines: a timber list, cautions."""

    heading: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A whole sheet."""

    title: str
    date: str
    totals: str
    cautions: tuple[ListBlock, ...]
    bays: tuple[BayBlock, ...]
    notes: tuple[ListBlock, ...]


_CAUTION_HEADINGS = {"nailing": "Before nailing", "digging": "Before digging", "limits": "Limits"}


def sheet(job: Job, title: str, date: str) -> Sheet:
    """Everything on the sheet of a job."""
    cautions = tuple(ListBlock(_CAUTION_HEADINGS[key], caution.written) for key, caution in CAUTIONS.items())
    blocks = tuple(_bay(job, index) for index in range(len(job.bays)))
    notes = tuple(ListBlock(note.title, note.lines) for note in job.notes)
    return Sheet(title, date, _totals(job), cautions, blocks, notes)


def _totals(job: Job) -> str:
    pickets = 0
    for index in range(len(job.bays)):
        try:
            pickets += plan_bay(job, index).pickets
        except ImpossibleError:
            continue
    gates = sum(bay.gate is not None for bay in job.bays)
    parts = [counted(len(job.bays) - gates, "bay"), *([counted(gates, "gate")] if gates else [])]
    return ", ".join((*parts, counted(pickets, "picket")))


def _bay(job: Job, index: int) -> BayBlock:
    bay, settings = job.bays[index], job.settings
    measured = [(f"Opening, {name}", length_text(settings, opening)) for name, opening in bay.openings]
    measured.append(("Picket width", length_text(settings, bay.picket)))
    limit = ("Gap", limit_text(settings, bay.limit))
    try:
        plan = plan_bay(job, index)
    except ImpossibleError as error:
        reason = error.said(lambda length: write(length, settings.unit))
        return BayBlock(bay.name.capitalize(), "Cannot be set out", (*measured, limit), (reason,), None, ())
    facts = [*measured, limit, *_hung(settings, plan), *_ends(settings, plan), *_sloping(settings, bay)]
    facts.append(("Gap confirmed aloud", "yes" if index in job.confirmed else "not yet"))
    rails = tuple(_rail(settings, plan, rail) for rail in plan.rails)
    return BayBlock(
        bay.name.capitalize(), _headline(settings, plan), tuple(facts), _warnings(settings, plan),
        picture(plan, settings), rails,
    )


def _headline(settings: Settings, plan: BayPlan) -> str:
    gaps = {_gap(settings, rail) for rail in plan.rails}
    number = plan.rails[0].layout.gap_count
    if plan.gate and plan.gate.opening.leaves == 2:
        number *= 2
    if len(gaps) == 1:
        return f"{counted(plan.pickets, 'picket')}, {counted(number, 'gap')} of {gaps.pop()}"
    each = "; ".join(f"{rail_name(rail)} {_gap(settings, rail)}" for rail in plan.rails)
    return f"{counted(plan.pickets, 'picket')}, {counted(number, 'gap')}: {each}"


def _gap(settings: Settings, rail: RailPlan) -> str:
    """The gap of a rail; where a picket slipped, before and after it."""
    first = length_text(settings, rail.layout.gap)
    again = rail.respaced
    return f"{first}, then {length_text(settings, again.gap)}" if again and again.gap is not None else first


def _hung(settings: Settings, plan: BayPlan) -> list[tuple[str, str]]:
    if plan.gate is None:
        return []
    opening = plan.gate.opening
    between = "Latch clearance" if opening.leaves == 1 else "Gap where the leaves meet"
    return [
        ("Leaf width" if opening.leaves == 1 else "Width of each leaf", length_text(settings, opening.leaf)),
        ("Hinge clearance", length_text(settings, opening.hinge)),
        (between, length_text(settings, opening.latch)),
    ]


def _ends(settings: Settings, plan: BayPlan) -> list[tuple[str, str]]:
    if plan.gate is not None:
        return [("Ends of a leaf", "a picket at each")]
    return [("At the left post", end_text(settings, settings.left)), ("At the right post", end_text(settings, settings.right))]


def _sloping(settings: Settings, bay: Bay) -> list[tuple[str, str]]:
    if bay.slope is None:
        return []
    way = "rails follow the ground, pickets plumb" if bay.slope is Slope.RAKED else "rails level, stepped at the posts"
    rise, going = (length_text(settings, abs(length)) for length in (bay.rise, bay.going))
    if bay.along is not None:
        return [("Slope", f"{way}; {length_text(settings, bay.along)} along the rail in {going} level")]
    return [("Slope", f"{way}; {'rises' if bay.rise >= 0 else 'falls'} {rise} in {going}, from left to right")]


def _warnings(settings: Settings, plan: BayPlan) -> tuple[str, ...]:
    said = []
    if not plan.allowed:
        largest = length_text(settings, plan.largest.largest)
        said.append(f"Over the limit: the largest space is {largest}, but it {limit_text(settings, plan.bay.limit)}.")
    if plan.plumb is not None and len(plan.rails) == 1:
        said.append(f"Mark the {plan.rails[0].rail} rail only, and plumb every picket from it.")
    if plan.bay.slip is not None and any(rail.respaced for rail in plan.rails):
        slip = plan.bay.slip
        place = length_text(settings, slip.actual)
        said.append(f"Picket {slip.picket} of the {slip.rail} rail is fixed at {place}; those after it are spaced again.")
    return tuple(said)


def _rail(settings: Settings, plan: BayPlan, rail: RailPlan) -> RailBlock:
    left, right = rail.left_space, rail.right_space
    if rail.respaced and settings.origin is Origin.LEFT:
        right = rail.respaced.right_space
    elif rail.respaced:
        left = rail.respaced.right_space
    spaces = f"left {length_text(settings, left)}, right {length_text(settings, right)}"
    heading = f"{rail_name(rail).capitalize()}: gap {_gap(settings, rail)}; end spaces {spaces}"
    start = settings.origin.value if plan.gate is None else f"{settings.origin.value.split()[0]} edge of the leaf"
    along = ", along the rail" if plan.bay.slope is Slope.RAKED else ""
    how = f"{settings.edge.value.capitalize()}s from the {start}{along}, in {unit_name(settings)}"
    return RailBlock(heading, how, tuple((str(mark.index), mark_text(settings, mark)) for mark in rail.marks))
