"""What stands on a marking sheet, in words and numbers; the page and the PDF only lay it out.

Crosses the border: a job, its title and a date in, a `Sheet` out.  Nothing is computed here: it all comes from the set-outs.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from assistant.dialogue.cautions import CAUTIONS
from assistant.job import Job
from assistant.measured import Bay, Slip, Slope
from assistant.paper.circumstances import UNKNOWN, Circumstances
from assistant.paper.cut_list import Table, cut_list
from assistant.paper.figures import notes_in_figures
from assistant.paper.fitted import Drawing
from assistant.paper.laid_out import laid_out, set_out_or_reason
from assistant.paper.run_drawing import places, run_lines, whole_run
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
LOCAL_RULES = "check against your local rules"
RUN_ACROSS = 60.0
"""Heights of text in a line of the run on paper: 186 mm with text of 3.1 mm."""
BLANK = "_" * 16
"""To be written on by hand."""


@dataclass(frozen=True, slots=True)
class RailBlock:
    """The marks of one rail, or of several that have the same."""

    heading: str
    how: str
    """What the marks are measured to and from, and in what."""
    marks: tuple[tuple[str, str], ...]
    """(picket, distance)"""
    boxes: tuple[str, ...]
    """One to tick for each rail, by its name."""

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
    changes: tuple[str, ...]
    """What was changed about it, and when."""
    made: SetOut | None
    """What is drawn; None where the bay cannot be set out."""
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
    """With the time zone of every moment on the sheet."""
    totals: str
    particulars: tuple[tuple[str, str], ...]
    """Place, who measured, limits and where they come from."""
    cautions: tuple[tuple[str, str], ...]
    """(before what, what to mind), short."""
    run: tuple[Drawing, ...]
    """The run on the lines that it takes on paper."""
    whole: Drawing | None
    """The run on one line."""
    places: tuple[tuple[float, float], ...]
    """From where to where each bay stands in it."""
    bays: tuple[BayBlock, ...]
    cuts: Table
    notes: tuple[ListBlock, ...]
    in_full: tuple[ListBlock, ...]
    """The cautions, each as a list."""


_CAUTION_HEADINGS = {"nailing": "Before nailing", "cutting": "Before cutting", "digging": "Before digging", "limits": "Limits"}


def sheet(job: Job, title: str, date: str, known: Circumstances = UNKNOWN) -> Sheet:
    """Everything on the sheet of a job."""
    blocks = tuple(_bay(job, index, known) for index in range(len(job.bays)))
    return Sheet(
        title=title,
        date=f"{date}, times in {known.zone}" if known.zone else date,
        totals=_totals(job),
        particulars=(("Place", known.place or BLANK), ("Measured by", known.measured_by or BLANK), *_limits(job)),
        cautions=tuple((_CAUTION_HEADINGS[key], caution.short) for key, caution in CAUTIONS.items()),
        run=run_lines(job, RUN_ACROSS),
        whole=whole_run(job),
        places=places(job),
        bays=blocks,
        cuts=cut_list(job),
        notes=tuple(ListBlock(title, lines) for title, lines in notes_in_figures(job)),
        in_full=_in_full(job),
    )


def _limits(job: Job) -> list[tuple[str, str]]:
    """Each limit that a bay keeps to, with the code, edition and clause it comes from."""
    rows: dict[str, list[str]] = {}
    for index, bay in enumerate(job.bays):
        made = set_out_or_reason(job, index)
        unit = job.settings.unit if isinstance(made, ImpossibleError) else made.unit
        source = f", {_clause(bay)}" if bay.limit.source else ""
        rows.setdefault(f"{limit_text(unit, bay.limit)}{source}; {LOCAL_RULES}", []).append(bay.name)
    only = len(rows) == 1
    return [("Gap" if only else f"Gap, {', '.join(names)}", text) for text, names in rows.items()]


def _clause(bay: Bay) -> str:
    """Code, edition and clause of a limit, without what it says."""
    return bay.limit.source.partition(": ")[0]


def _in_full(job: Job) -> tuple[ListBlock, ...]:
    """What the first page has in short: the cautions, and what the limits say."""
    sources = tuple(dict.fromkeys(f"{bay.limit.name}: {bay.limit.source}." for bay in job.bays if bay.limit.source))
    lines = {key: caution.written for key, caution in CAUTIONS.items()}
    lines["limits"] = (*lines["limits"], *sources)
    return tuple(ListBlock(f"{_CAUTION_HEADINGS[key]}, in full", own) for key, own in lines.items())


def _totals(job: Job) -> str:
    pickets = sum(made.pickets for made in laid_out(job))
    gates = sum(bay.gate is not None for bay in job.bays)
    parts = [counted(len(job.bays) - gates, "bay"), *([counted(gates, "gate")] if gates else [])]
    return ", ".join((*parts, counted(pickets, "picket")))


def _bay(job: Job, index: int, known: Circumstances) -> BayBlock:
    bay = job.bays[index]
    changes = known.changes_of(bay.number)
    made = set_out_or_reason(job, index)
    if isinstance(made, ImpossibleError):
        unit = job.settings.unit
        reason = made.said(lambda length: write(length, unit))
        return BayBlock(bay.name.capitalize(), "Cannot be set out", _measured(unit, bay), (reason,), changes, None, ())
    facts = [*_measured(made.unit, made.bay), *_hung(made), *_ends(made), *_sloping(made)]
    facts += [*_heights(made), ("Gap confirmed aloud", _confirmed(job, index, made, known))]
    rails = tuple(_rails(made, alike) for alike in _alike(made))
    return BayBlock(bay.name.capitalize(), _headline(made), tuple(facts), _warnings(made), changes, made, rails)


def _confirmed(job: Job, index: int, made: SetOut, known: Circumstances) -> str:
    """The gap that was confirmed, and when."""
    if not is_confirmed(job, index):
        return "not yet"
    gaps = " and ".join(dict.fromkeys(length_text(made.unit, rail.gap) for rail in made.rails))
    at = known.confirmed_at(made.bay.number)
    return f"{gaps}, {at}" if at else gaps


def _heights(made: SetOut) -> list[tuple[str, str]]:
    """Heights of rails are not measured: room to write them in."""
    if made.gate is not None:
        return []
    return [("Rail heights, to fill in", "  ".join(f"{name} {'_' * 6}" for name, _ in made.bay.openings))]


def _alike(made: SetOut) -> list[tuple[Rail, ...]]:
    """Rails with the same marks and spaces together, in order."""
    groups: dict[tuple[object, ...], list[Rail]] = {}
    for rail in made.rails:
        groups.setdefault((rail.values(), rail.spaces, rail.layout.gap), []).append(rail)
    return [tuple(group) for group in groups.values()]


def _measured(unit: Unit, bay: Bay) -> tuple[tuple[str, str], ...]:
    return (
        *((f"Opening, {name}", measured_text(unit, opening)) for name, opening in bay.openings),
        ("Picket width", measured_text(unit, bay.picket)),
        ("Gap", limit_text(unit, bay.limit)),
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


def _rails(made: SetOut, alike: tuple[Rail, ...]) -> RailBlock:
    rail = alike[0]
    spaces = f"left {length_text(made.unit, rail.left_space)}, right {length_text(made.unit, rail.right_space)}"
    names = [one.name.removesuffix(" leaf") if made.gate else one.name for one in alike]
    which = rail_name(rail) if len(alike) == 1 else f"{', '.join(names[:-1])} and {names[-1]} {'leaf' if made.gate else 'rail'}, alike"
    heading = f"{which.capitalize()}: gap {_gap(made, rail)}; end spaces {spaces}"
    along = ", along the rail" if made.bay.slope is Slope.RAKED else ""
    boxes = "" if len(alike) == 1 else f"; boxes for {', '.join(names)}"
    how = f"{made.edge.value.capitalize()}s from the {origin_name(made)}{along}, in {unit_name(made.unit)}{boxes}"
    return RailBlock(heading, how, tuple((str(mark.index), mark_text(made, mark)) for mark in rail.marks), tuple(names))
