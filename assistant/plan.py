"""From a job to the set-out of its bays: which solver a bay needs, the exact places, and what a slip makes of them.

Pure, and the one place where a `SetOut` is made.  A bay whose gap is confirmed has its set-out on the job; the others have a preview,
which follows the settings.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from assistant.fold import apply
from assistant.job import BayReopened, BaySet, Job, Position, Settings
from assistant.measured import Bay, Slip, Slope
from assistant.set_out import AnyMark, Rail, SetOut, mark_unit
from assistant.setout import spacing
from assistant.setout.ends import PICKET, End
from assistant.setout.gate import GateOpening, match_gate
from assistant.setout.lengths import Length, Resolution, Unit, round_to
from assistant.setout.marks import Edge, Origin, mark_at
from assistant.setout.respace import Row
from assistant.setout.run import Likeness, Matched, match_run
from assistant.setout.slope import Slope as Steepness
from assistant.setout.slope import from_along, from_rise, raked_mark
from assistant.setout.spacing import Layout, layout_for_count, solve
from assistant.setout.taper import RailOpening, TaperedBay, plumb, share_count
from assistant.setout.trouble import ImpossibleError, Problem

_HEIGHTS = {"bottom": Fraction(0), "middle": Fraction(1), "top": Fraction(2)}
"""Only their order matters here: every opening is measured or was interpolated before."""


@dataclass(frozen=True, slots=True)
class _Manner:
    """The settings that a set-out hangs on."""

    left: End
    right: End
    share_lean: bool
    edge: Edge
    origin: Origin
    resolution: Resolution
    unit: Unit


def set_out_of(job: Job, index: int) -> SetOut:
    """What holds for a bay: what was confirmed, else the preview.  Raises ImpossibleError, or IndexError for no such bay."""
    standing = job.standing_of(job.bays[index].number)
    return preview(job, index) if standing is None else standing.set_out


def preview(job: Job, index: int) -> SetOut:
    """The set-out a bay gets by the settings as they are.  Raises ImpossibleError where it cannot exist."""
    bay = job.bays[index]
    manner = _manner(job.settings)
    if bay.gate is not None:
        made = _gate(bay, manner, fence_gap(job, index))
    else:
        count = bay.count
        if count is None and job.settings.likeness is not Likeness.FEWEST:
            count = matched(job).get(index)
        made = _bay(bay, manner, count)
    return made if bay.slip is None else respaced(made, bay.slip)


def _manner(settings: Settings) -> _Manner:
    unit = mark_unit(settings.unit, settings.resolution)
    return _Manner(settings.left, settings.right, settings.share_lean, settings.edge, settings.origin, settings.resolution, unit)


@lru_cache(maxsize=512)
def _bay(bay: Bay, manner: _Manner, count: int | None) -> SetOut:
    openings = {opening for _, opening in bay.openings}
    return _plumb(bay, manner, count) if len(openings) > 1 and not manner.share_lean else _shared(bay, manner, count)


def _problem(bay: Bay, opening: Length, left: End, right: End) -> spacing.Bay:
    return spacing.Bay(opening, bay.picket, bay.limit, left, right)


def _shared(bay: Bay, manner: _Manner, count: int | None) -> SetOut:
    """The same count on every rail, each rail with its own gap."""
    widest = _problem(bay, max(opening for _, opening in bay.openings), manner.left, manner.right)
    count = count or solve(widest).count
    layouts = share_count(_tapered(bay, manner), count).layouts if len(bay.openings) > 1 else (layout_for_count(widest, count),)
    rails = tuple(_rail(bay, manner, name, layout, layout.spaces()) for (name, _), layout in zip(bay.openings, layouts, strict=True))
    return _made(bay, manner, rails)


def _tapered(bay: Bay, manner: _Manner) -> TaperedBay:
    rails = tuple(RailOpening(_HEIGHTS[name], opening) for name, opening in bay.openings)
    return TaperedBay(rails, bay.picket, bay.limit, manner.left, manner.right)


def _plumb(bay: Bay, manner: _Manner, count: int | None) -> SetOut:
    """Pickets plumb; where it is not known which post leans, only the rail they are plumbed from is marked."""
    layout = plumb(_tapered(bay, manner), bay.leans, count)
    names = {_HEIGHTS[name]: name for name, _ in bay.openings}
    marked, unmarked = [], []
    for rail in layout.rails:
        name = names[rail.rail.height]
        spaces = (rail.left_space, *(layout.reference.gap for _ in range(layout.count - 1)), rail.right_space)
        if bay.leans is None and rail.rail is not layout.reference_rail:
            unmarked.append(Rail(name, layout.reference, spaces, (), layout.reference.gap))
        else:
            marked.append(_rail(bay, manner, name, layout.reference, spaces))
    return replace(_made(bay, manner, tuple(marked)), plumb=True, unmarked=tuple(unmarked))


def _gate(bay: Bay, manner: _Manner, beside: Length) -> SetOut:
    assert bay.gate is not None
    hung = bay.gate
    between = hung.latch if hung.leaves == 1 else hung.meeting
    gate = match_gate(GateOpening(bay.openings[0][1], hung.hinge, between, hung.leaves), bay.picket, bay.limit, beside)
    if bay.count is not None:
        gate = replace(gate, layout=layout_for_count(replace(gate.layout.bay, left=PICKET, right=PICKET), bay.count))
    # Two leaves begin alike, but each is made by itself: a picket that slips in one does not move those of the other.
    names = ("leaf",) if hung.leaves == 1 else ("left leaf", "right leaf")
    rails = tuple(_rail(bay, manner, name, gate.layout, gate.layout.spaces()) for name in names)
    return replace(_made(bay, manner, rails), gate=gate)


def _made(bay: Bay, manner: _Manner, rails: tuple[Rail, ...]) -> SetOut:
    return SetOut(bay, rails, manner.edge, manner.origin, manner.resolution, manner.unit)


def _rail(bay: Bay, manner: _Manner, name: str, layout: Layout, spaces: tuple[Length, ...]) -> Rail:
    row = _from_origin(Row(bay.picket, spaces), manner.origin)
    return Rail(name, layout, spaces, _marks(bay, manner, row), layout.gap)


def _from_origin(row: Row, origin: Origin) -> Row:
    """Seen from the post that marks are measured from; the same again turns it back."""
    return row if origin is Origin.LEFT else row.turned()


def _offset(picket: Length, edge: Edge, origin: Origin) -> Length:
    """From the edge of a picket that the tape meets first to the edge that is marked."""
    if edge is Edge.CENTRE:
        return picket / 2
    near = Edge.LEFT if origin is Origin.LEFT else Edge.RIGHT
    return Fraction(0) if edge is near else picket


def _marks(bay: Bay, manner: _Manner, row: Row) -> tuple[AnyMark, ...]:
    offset = _offset(bay.picket, manner.edge, manner.origin)
    return tuple(_mark(bay, number, near + offset, manner.resolution) for number, near in enumerate(row.near_edges(), start=1))


def _mark(bay: Bay, number: int, level: Length, resolution: Resolution) -> AnyMark:
    """The mark of a level distance; along the rail of a raked bay."""
    if bay.slope is not Slope.RAKED:
        return mark_at(number, level, resolution)
    return raked_mark(number, level, steepness(bay), resolution)


@lru_cache(maxsize=256)
def steepness(bay: Bay) -> Steepness:
    """The exact slope of a raked or stepped bay, from whichever was measured."""
    return from_rise(bay.rise, bay.going) if bay.along is None else from_along(bay.along, bay.going)


def fence_gap(job: Job, index: int) -> Length:
    """The gap a gate should look like: that of the nearest bay, the one before it first; the limit where there is none."""
    others = sorted((i for i, bay in enumerate(job.bays) if bay.gate is None), key=lambda i: (abs(i - index), i))
    if not others:
        return job.bays[index].limit.value
    return set_out_of(job, others[0]).rails[0].layout.gap


def following(job: Job, index: int) -> Bay:
    """The bay with the pickets and the limit of the settings as they are."""
    bay, settings = job.bays[index], job.settings
    return replace(bay, picket=settings.picket or bay.picket, limit=settings.limit or bay.limit)


def as_reopened(job: Job, index: int) -> SetOut:
    """What a bay that is set out would become, opened again and following the settings.  Raises ImpossibleError."""
    opened = apply(job, BayReopened(job.bays[index].number))
    return preview(apply(opened, BaySet(index, following(opened, index))), index)


# Matching -------------------------------------------------------------------------------------------------------------


def matched(job: Job) -> dict[int, int]:
    """Counts chosen together for the bays that are free to follow, by their index; Raises ImpossibleError."""
    free, match = matching(job, job.settings.likeness)
    return {} if match is None else dict(zip(free, match.counts, strict=True))


def matching(job: Job, likeness: Likeness) -> tuple[tuple[int, ...], Matched | None]:
    """The bays free to follow, and their counts at this likeness; bays set out, or with a count of their own, are as they are."""
    free, problems, given = [], [], []
    for index, bay in enumerate(job.bays):
        standing = job.standing_of(bay.number)
        if bay.gate is not None:
            continue
        if standing is not None:
            given.append(standing.set_out.rails[0].layout.gap)
        elif bay.count is not None:
            given.append(_bay(bay, _manner(job.settings), bay.count).rails[0].layout.gap)
        else:
            free.append(index)
            widest = max(opening for _, opening in bay.openings)
            problems.append(_problem(bay, widest, job.settings.left, job.settings.right))
    if not problems:
        return (), None
    return tuple(free), _match(tuple(problems), tuple(given), likeness)


@lru_cache(maxsize=64)
def _match(free: tuple[spacing.Bay, ...], given: tuple[Length, ...], likeness: Likeness) -> Matched:
    return match_run(free, given, likeness)


# Slips ----------------------------------------------------------------------------------------------------------------


def respaced(before: SetOut, slip: Slip) -> SetOut:
    """The bay with a picket where it really is, and what follows it spaced again on every rail.

    A slip before one told earlier moves that picket alone, for those up to the earlier one are fixed.  Raises ImpossibleError for a
    picket or a place that cannot be.
    """
    places = {name: _level(before.bay, place) - _offset_of(before) for name, place in slip.places}
    rows = _plumb_rows(before, slip, places) if before.plumb else _own_rows(before, slip, places)
    return replace(
        before,
        rails=tuple(_again(before, rail, slip, rows.get(rail.name)) for rail in before.rails),
        unmarked=tuple(_again(before, rail, slip, rows.get(rail.name)) for rail in before.unmarked),
        slips=(*before.slips, slip),
    )


def _offset_of(before: SetOut) -> Length:
    return _offset(before.bay.picket, before.edge, before.origin)


def _level(bay: Bay, along: Length) -> Length:
    """The level distance of a place measured along the rail."""
    if bay.slope is not Slope.RAKED:
        return along
    return steepness(bay).level(along)


def _far_end(before: SetOut) -> End:
    left, right = before.ends
    return right if before.origin is Origin.LEFT else left


def _moved(before: SetOut, row: Row, slip: Slip, near_edge: Length) -> Row:
    row.require(slip.picket)
    if slip.picket < before.last_slip:
        return row.moved(slip.picket, near_edge)
    return row.spread(slip.picket, near_edge, _far_end(before), before.bay.limit)


def _own_rows(before: SetOut, slip: Slip, places: Mapping[str, Length]) -> dict[str, Row]:
    """Each rail spaced again by itself, seen from the origin."""
    return {
        rail.name: _moved(before, _from_origin(rail.row, before.origin), slip, places[rail.name])
        for rail in before.rails
        if rail.name in places
    }


def _plumb_rows(before: SetOut, slip: Slip, places: Mapping[str, Length]) -> dict[str, Row]:
    """Spaced again on the rail the pickets are plumbed from; on the others they stand plumb to those."""
    rails = (*before.rails, *before.unmarked)
    rows = {rail.name: _from_origin(rail.row, before.origin) for rail in rails}
    main = next(rail.name for rail in rails if rail.opening == rail.layout.bay.opening)
    rows[main].require(slip.picket)
    plumb_by = {name: row.near_edges()[-1] - rows[main].near_edges()[-1] for name, row in rows.items()}
    name, place = next(iter(places.items()))
    own = places.get(main, place - plumb_by[name])
    again = {main: _moved(before, rows[main], slip, own)}
    for name, row in rows.items():
        if name == main:
            continue
        edges = list(row.near_edges()[: slip.picket - 1])
        edges.append(places.get(name, own + plumb_by[name]))
        edges += [edge + plumb_by[name] for edge in again[main].near_edges()[slip.picket :]]
        again[name] = _row_of(row.picket, edges, row.opening)
    return again


def _row_of(picket: Length, edges: list[Length], opening: Length) -> Row:
    starts = [*edges, opening]
    ends = [Fraction(0), *(edge + picket for edge in edges)]
    spaces = tuple(start - end for start, end in zip(starts, ends, strict=True))
    if min(spaces) < 0:
        raise ImpossibleError(
            Problem.TOO_SHORT,
            "There is no room for that on every rail: a space would be {short} too small.",
            lengths={"short": -min(spaces)},
        )
    return Row(picket, spaces)


def _again(before: SetOut, rail: Rail, slip: Slip, row: Row | None) -> Rail:
    """A rail with its pickets in a new row, seen from the origin; None leaves it as it was."""
    if row is None:
        return rail
    follow = slip.picket >= before.last_slip and slip.picket < row.count
    gap = row.spaces[slip.picket] if follow and not before.plumb else rail.gap
    if follow and before.plumb:
        gap = row.spaces[slip.picket + 1] if slip.picket + 1 < row.count else row.spaces[slip.picket]
    spaces = _from_origin(row, before.origin).spaces
    if not rail.marks:
        return replace(rail, spaces=spaces, gap=gap)
    offset, marks = _offset_of(before), list(rail.marks)
    told = dict(slip.places).get(rail.name)
    for number, near in enumerate(row.near_edges(), start=1):
        if number == slip.picket:
            marks[number - 1] = _there(before, number, near + offset, told)
        elif number > slip.picket and follow:
            marks[number - 1] = _mark(before.bay, number, near + offset, before.resolution)
    return replace(rail, spaces=spaces, marks=tuple(marks), gap=gap)


def _there(before: SetOut, number: int, level: Length, told: Length | None) -> AnyMark:
    """The mark of the picket that slipped: where the tape read it."""
    made = _mark(before.bay, number, level, before.resolution)
    return made if told is None else replace(made, steps=round_to(told, before.resolution))


# Marking --------------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Marking:
    """The mark that is being called."""

    index: int
    """Of the bay."""
    set_out: SetOut
    rail: Rail
    mark: int


def marking(job: Job) -> Marking | None:
    """What is being marked; None before the first mark, and where its bay is no longer set out."""
    return None if job.position is None else marking_at(job, job.position)


def marking_at(job: Job, position: Position) -> Marking | None:
    """The mark at a position; None where there is none."""
    standing, index = job.standing_of(position.bay), job.index_of(position.bay)
    rail = standing.set_out.rail(position.rail) if standing else None
    if standing is None or index is None or rail is None or not 1 <= position.mark <= len(rail.marks):
        return None
    return Marking(index, standing.set_out, rail, position.mark)


def to_mark(job: Job, index: int) -> tuple[Position, ...]:
    """The marks of a bay that were not called yet, in order; a rail like one that is called through needs none of its own."""
    number = job.bays[index].number
    standing = job.standing_of(number)
    if standing is None:
        return ()
    called = set(standing.called)
    left: list[Position] = []
    alike: dict[tuple[Length, ...], list[list[Position]]] = {}
    for rail in standing.set_out.rails:
        own = [Position(number, rail.name, mark.index) for mark in rail.marks if (rail.name, mark.index) not in called]
        alike.setdefault(rail.values(), []).append(own)
    for group in alike.values():
        left += min((len(own), place, own) for place, own in enumerate(group))[2]
    order = [rail.name for rail in standing.set_out.rails]
    return tuple(sorted(left, key=lambda at: (order.index(at.rail), at.mark)))


def is_marked(job: Job, index: int) -> bool:
    """Whether a bay is set out, its gap confirmed, and every mark called."""
    standing = job.standing_of(job.bays[index].number)
    return standing is not None and standing.confirmed and not to_mark(job, index)


def next_to_mark(job: Job) -> int | None:
    """The index of the bay to be marked next: the one the user named, else the first that is not marked; None when all are."""
    named = None if job.chosen is None else job.index_of(job.chosen)
    if named is not None and not is_marked(job, named):
        return named
    return next((index for index in range(len(job.bays)) if not is_marked(job, index)), None)


def is_confirmed(job: Job, index: int) -> bool:
    """Whether the gap of a bay stands confirmed, in a record of version 1 too."""
    standing = job.standing_of(job.bays[index].number)
    return standing.confirmed if standing is not None else index in job.by_index


def taken_over(job: Job, index: int) -> tuple[SetOut, tuple[Position, ...]] | None:
    """What a bay confirmed in a record of version 1 is set out as, and its marks called; None where it cannot be."""
    try:
        made = preview(job, index)
    except ImpossibleError:
        return None
    number = job.bays[index].number
    called = []
    for bay, rail, mark in job.called_by_index:
        if bay == number and rail < len(made.rails) and mark <= len(made.rails[rail].marks):
            called.append(Position(number, made.rails[rail].name, mark))
    return made, tuple(called)
