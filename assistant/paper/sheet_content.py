"""What stands on a marking sheet, in words and numbers; the page and the PDF only lay it out.

Crosses the border: a job, its title and a date in, a `Sheet` out.  Nothing is computed here: it all comes from the set-outs.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from assistant.dialogue.cautions import CAUTIONS
from assistant.job import Job
from assistant.measured import Bay, Slip, Slope
from assistant.paper.elevation import Picture, picture
from assistant.paper.figures import notes_in_figures
from assistant.paper.laid_out import laid_out, set_out_or_reason
from assistant.plan import is_confirmed, steepness
from assistant.set_out import Rail, SetOut
from assistant.setout.lengths import Unit, write
from assistant.setout.marks import Origin
from assistant.setout.slope import step_of
from assistant.setout.trouble import ImpossibleError
from assistant.written import (
    counted,
    end_text,
    length_text,
    limit_text,
    mark_text,
    measured_text,
    origin_name,
    rail_name,
    unit_name,
)

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


_CAUTION_HEADINGS = {"nailing": "Before nailing", "cutting": "Before cutting", "digging": "Before digging", "limits": "Limits"}


def sheet(job: Job, title: str, date: str) -> Sheet:
    """Everything on the sheet of a job."""
    cautions = tuple(ListBlock(_CAUTION_HEADINGS[key], caution.written) for key, caution in CAUTIONS.items())
    blocks = tuple(_bay(job, index) for index in range(len(job.bays)))
    notes = tuple(ListBlock(title, lines) for title, lines in notes_in_figures(job))
    return Sheet(title, date, _totals(job), cautions, blocks, notes)


def _totals(job: Job) -> str:
    pickets = sum(made.pickets for made in laid_out(job))
    gates = sum(bay.gate is not None for bay in job.bays)
    parts = [counted(len(job.bays) - gates, "bay"), *([counted(gates, "gate")] if gates else [])]
    return ", ".join((*parts, counted(pickets, "picket")))


def _bay(job: Job, index: int) -> BayBlock:
    bay = job.bays[index]
    made = set_out_or_reason(job, index)
    if isinstance(made, ImpossibleError):
        unit = job.settings.unit
        reason = made.said(lambda length: write(length, unit))
        return BayBlock(bay.name.capitalize(), "Cannot be set out", _measured(unit, bay), (reason,), None, ())
    facts = [*_measured(made.unit, made.bay), *_hung(made), *_ends(made), *_sloping(made)]
    facts.append(("Gap confirmed aloud", "yes" if is_confirmed(job, index) else "not yet"))
    rails = tuple(_rail(made, rail) for rail in made.rails)
    return BayBlock(bay.name.capitalize(), _headline(made), tuple(facts), _warnings(made), picture(made), rails)


def _measured(unit: Unit, bay: Bay) -> tuple[tuple[str, str], ...]:
    return (
        *((f"Opening, {name}", measured_text(unit, opening)) for name, opening in bay.openings),
        ("Picket width", measured_text(unit, bay.picket)),
        ("Gap", limit_text(unit, bay.limit)),
        *([("Limit from", bay.limit.source)] if bay.limit.source else []),
    )


def _headline(made: SetOut) -> str:
    gaps = {_gap(made, rail) for rail in made.rails}
    leaves = made.gate.opening.leaves if made.gate else 1
    number = made.rails[0].layout.gap_count * leaves
    pickets = counted(made.pickets, "picket") + (f" ({made.count} in each leaf)" if leaves == 2 else "")
    if len(gaps) == 1:
        return f"{pickets}, {counted(number, 'gap')} of {gaps.pop()}"
    each = "; ".join(f"{rail_name(rail)} {_gap(made, rail)}" for rail in made.rails)
    return f"{pickets}, {counted(number, 'gap')}: {each}"


def _gap(made: SetOut, rail: Rail) -> str:
    """The gap of a rail; where a picket slipped, what it began with and what it is now."""
    first = length_text(made.unit, rail.layout.gap)
    return first if rail.gap == rail.layout.gap else f"{first}, then {length_text(made.unit, rail.gap)}"


def _hung(made: SetOut) -> list[tuple[str, str]]:
    if made.gate is None:
        return []
    opening = made.gate.opening
    between = "Latch clearance" if opening.leaves == 1 else "Gap where the leaves meet"
    side = made.bay.gate.hinges if made.bay.gate is not None else None
    return [
        *([("Hinges", f"on the {side.value}")] if side is not None else []),
        ("Leaf width" if opening.leaves == 1 else "Width of each leaf", length_text(made.unit, opening.leaf)),
        ("Hinge clearance", measured_text(made.unit, opening.hinge)),
        (between, measured_text(made.unit, opening.latch)),
    ]


def _ends(made: SetOut) -> list[tuple[str, str]]:
    if made.gate is not None:
        return [("Ends of a leaf", "a picket at each")]
    left, right = made.ends
    return [("At the left post", end_text(made.unit, left)), ("At the right post", end_text(made.unit, right))]


def _sloping(made: SetOut) -> list[tuple[str, str]]:
    bay, unit = made.bay, made.unit
    if bay.slope is None:
        return []
    way = "rails follow the ground, pickets plumb" if bay.slope is Slope.RAKED else "rails level, stepped at the posts"
    rise, going = (measured_text(unit, abs(length)) for length in (bay.rise, bay.going))
    if bay.along is not None:
        told = f"{measured_text(unit, bay.along)} along the rail in {going} level"
    else:
        told = f"{'rises' if bay.rise >= 0 else 'falls'} {rise} in {going}, from left to right"
    return [("Slope", f"{way}; {told}"), *_cut_or_step(made)]


def _cut_or_step(made: SetOut) -> list[tuple[str, str]]:
    """What a slope asks of the rails: how long they are and how they are cut, or how far they step."""
    bay, unit, slope = made.bay, made.unit, steepness(made.bay)
    opening = max(opening for _, opening in bay.openings)
    if bay.slope is Slope.RAKED:
        length = length_text(unit, slope.stretched(opening))
        return [("Rails", f"{length} along the slope, both ends cut plumb at {slope.angle:.1f} degrees")]
    step = step_of(slope, opening, bay.under or Fraction(0))
    rows = [("Step", length_text(unit, step.step))]
    if bay.under is not None:
        over = "" if bay.limit.allows(step.under_low_end) else "; over the limit"
        rows.append(("Under the low end", f"{length_text(unit, step.under_low_end)}{over}"))
    return rows


def _warnings(made: SetOut) -> tuple[str, ...]:
    said = []
    if not made.allowed:
        largest = length_text(made.unit, made.widest_space)
        said.append(f"Over the limit: the largest space is {largest}, but it {limit_text(made.unit, made.bay.limit)}.")
    if made.unmarked:
        said.append(f"Mark the {made.rails[0].name} rail only, and plumb every picket from it.")
    said += [_slipped(made, slip) for slip in sorted(made.slips, key=lambda slip: slip.picket)]
    return tuple(said)


def _slipped(made: SetOut, slip: Slip) -> str:
    """Where a picket really is, and the gap behind it on every rail."""
    places = " and ".join(f"{measured_text(made.unit, place)} {_on(made, name)}" for name, place in slip.places)
    what = "gap" if slip.picket < made.count else "space to the end"
    behind = {_on(made, rail.name): _behind(made, rail, slip.picket) for rail in made.rails}
    alike = len(set(behind.values())) == 1
    rest = next(iter(behind.values())) if alike else " and ".join(f"{space} {place}" for place, space in behind.items())
    return f"Picket {slip.picket} is fixed at {places}. From there on the {what} is {rest}."


def _on(made: SetOut, name: str) -> str:
    """“on the bottom rail”, “on each leaf”."""
    rail = name if made.gate else f"{name} rail"
    return f"on {rail}" if rail.startswith("each") else f"on the {rail}"


def _behind(made: SetOut, rail: Rail, picket: int) -> str:
    """The space behind a picket, as seen from the post that marks are measured from."""
    spaces = rail.spaces if made.origin is Origin.LEFT else rail.spaces[::-1]
    return length_text(made.unit, spaces[picket])


def _rail(made: SetOut, rail: Rail) -> RailBlock:
    spaces = f"left {length_text(made.unit, rail.left_space)}, right {length_text(made.unit, rail.right_space)}"
    heading = f"{rail_name(rail).capitalize()}: gap {_gap(made, rail)}; end spaces {spaces}"
    along = ", along the rail" if made.bay.slope is Slope.RAKED else ""
    how = f"{made.edge.value.capitalize()}s from the {origin_name(made)}{along}, in {unit_name(made.unit)}"
    return RailBlock(heading, how, tuple((str(mark.index), mark_text(made, mark)) for mark in rail.marks))
