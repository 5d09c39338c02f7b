"""From a job to the marks of its bays: which solver a bay needs, and the marks of each rail.

Pure.  The dialogue speaks a plan, the sheet draws it, the exports write it; none of them computes anything of its own.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from typing import TypeAlias

from assistant.job import Bay, Job, Settings, Slope
from assistant.setout import spacing
from assistant.setout.ends import PICKET
from assistant.setout.gate import Gate, GateOpening, match_gate
from assistant.setout.lengths import Length
from assistant.setout.marks import Edge, Mark, Origin, mark_at, marks
from assistant.setout.respace import Respaced, respace
from assistant.setout.run import match_for_the_eye
from assistant.setout.slope import RakedMark, from_along, from_rise, raked_marks
from assistant.setout.slope import Slope as Steepness
from assistant.setout.spacing import Layout, layout_for_count, solve
from assistant.setout.taper import PlumbLayout, PlumbRail, RailOpening, TaperedBay, plumb, share_count

AnyMark: TypeAlias = Mark | RakedMark

_HEIGHTS = {"bottom": Fraction(0), "middle": Fraction(1), "top": Fraction(2)}
"""Only their order matters here: every opening is measured or was interpolated before."""


@dataclass(frozen=True, slots=True)
class RailPlan:
    """The marks of one rail."""

    rail: str
    """Its name; of a gate, which leaf."""
    layout: Layout
    marks: tuple[AnyMark, ...]
    left_space: Length
    """From the left post to the first picket on this rail."""
    right_space: Length
    respaced: Respaced | None = None
    """Set where a picket slipped and the rest were spaced again; seen from the post the marks are measured from."""

    @property
    def gap(self) -> Length:
        """The exact gap between the pickets still to be set on this rail, in mm."""
        return self.layout.gap if self.respaced is None or self.respaced.gap is None else self.respaced.gap

    @property
    def largest(self) -> Length:
        """The largest space on this rail."""
        between = (self.layout.gap,) if self.layout.count > 1 else ()
        again = (self.respaced.last_space, self.respaced.right_space, self.gap) if self.respaced else ()
        return max(self.left_space, self.right_space, *between, *again)


@dataclass(frozen=True, slots=True)
class BayPlan:
    """One bay set out."""

    bay: Bay
    rails: tuple[RailPlan, ...]
    """The rails to be marked, lowest first."""
    plumb: PlumbLayout | None = None
    """Set where pickets stay plumb between posts that do not: the end spaces at every rail."""
    gate: Gate | None = None

    @property
    def count(self) -> int:
        """Pickets on a rail."""
        return self.rails[0].layout.count

    @property
    def pickets(self) -> int:
        """Pickets in the whole bay; a gate of two leaves has twice its rail's."""
        return self.count * (self.bay.gate.leaves if self.bay.gate else 1)

    @property
    def largest(self) -> RailPlan:
        """The rail with the largest space: the one the limit is judged by."""
        return max(self.rails, key=lambda rail: rail.largest)

    @property
    def allowed(self) -> bool:
        """Whether every space on every rail obeys the limit."""
        if self.plumb is not None and not self.plumb.allowed:
            return False
        return all(self.bay.limit.allows(rail.largest) for rail in self.rails)


@lru_cache(maxsize=512)
def plan_bay(job: Job, index: int) -> BayPlan:
    """The set-out of one bay.  Raises ImpossibleError when it cannot exist, IndexError for no such bay."""
    bay, settings = job.bays[index], job.settings
    if bay.gate is not None:
        return _gate(job, index)
    if bay.count is None and settings.matched:
        bay = replace(bay, count=_matched(job)[index])
    openings = [opening for _, opening in bay.openings]
    plumbed = len(set(openings)) > 1 and not settings.share_lean and bay.count is None
    plan = _plumb(bay, settings) if plumbed else _shared(bay, settings)
    if bay.slip is None:
        return plan
    return replace(plan, rails=tuple(_slipped(rail, bay, settings) for rail in plan.rails))


def _slipped(rail: RailPlan, bay: Bay, settings: Settings) -> RailPlan:
    """The rail with the pickets after the slipped one spaced again, seen from the post that marks are measured from."""
    slip = bay.slip
    if slip is None or slip.rail != rail.rail or bay.slope is Slope.RAKED:
        return rail
    layout, edge = rail.layout, settings.edge
    if settings.origin is Origin.RIGHT:
        # Seen from behind the fence the right post is the left one.
        turned = replace(layout.bay, left=layout.bay.right, right=layout.bay.left)
        layout, edge = layout_for_count(turned, layout.count), _BEHIND[edge]
    own = marks(layout, edge, Origin.LEFT, settings.resolution)
    if not 1 <= slip.picket <= layout.count:
        respace(layout, slip.picket, Fraction(0))
    again = respace(layout, slip.picket, slip.actual - own[slip.picket - 1].true)
    kept = own[: slip.picket - 1]
    there = mark_at(slip.picket, slip.actual, settings.resolution)
    return replace(rail, marks=(*kept, there, *again.marks(edge, settings.resolution)), respaced=again)


_BEHIND = {Edge.LEFT: Edge.RIGHT, Edge.CENTRE: Edge.CENTRE, Edge.RIGHT: Edge.LEFT}


def _problem(bay: Bay, settings: Settings, opening: Length) -> spacing.Bay:
    return spacing.Bay(opening, bay.picket, bay.limit, settings.left, settings.right)


def _shared(bay: Bay, settings: Settings) -> BayPlan:
    """The same count on every rail, each rail with its own gap."""
    widest = max(opening for _, opening in bay.openings)
    count = bay.count or solve(_problem(bay, settings, widest)).count
    if len(bay.openings) > 1:
        layouts = share_count(_tapered(bay, settings), count).layouts
    else:
        layouts = (layout_for_count(_problem(bay, settings, widest), count),)
    names = [rail for rail, _ in bay.openings]
    return BayPlan(
        bay,
        tuple(
            RailPlan(name, layout, _marks(bay, settings, layout), layout.left_space, layout.right_space)
            for name, layout in zip(names, layouts, strict=True)
        ),
    )


def _tapered(bay: Bay, settings: Settings) -> TaperedBay:
    rails = tuple(RailOpening(_HEIGHTS[name], opening) for name, opening in bay.openings)
    return TaperedBay(rails, bay.picket, bay.limit, settings.left, settings.right)


def _plumb(bay: Bay, settings: Settings) -> BayPlan:
    """Pickets plumb; where it is not known which post leans, only the rail they are plumbed from is marked."""
    layout = plumb(_tapered(bay, settings), bay.leans)
    names = {_HEIGHTS[name]: name for name, _ in bay.openings}
    rails = []
    for rail in layout.rails:
        if bay.leans is None and rail.rail is not layout.reference_rail:
            continue
        rails.append(
            RailPlan(
                names[rail.rail.height],
                layout.reference,
                _plumb_marks(bay, settings, layout, rail),
                rail.left_space,
                rail.right_space,
            )
        )
    return BayPlan(bay, tuple(rails), plumb=layout)


def _plumb_marks(bay: Bay, settings: Settings, layout: PlumbLayout, rail: PlumbRail) -> tuple[AnyMark, ...]:
    if rail.rail is layout.reference_rail:
        return _marks(bay, settings, layout.reference)
    left_first = settings.origin is Origin.LEFT
    place = rail.left_space if left_first else rail.right_space
    if settings.edge is Edge.CENTRE:
        place += bay.picket / 2
    elif (settings.edge is Edge.LEFT) is not left_first:
        place += bay.picket
    pitch = layout.reference.pitch
    return tuple(mark_at(k + 1, place + k * pitch, settings.resolution) for k in range(layout.count))


def _marks(bay: Bay, settings: Settings, layout: Layout) -> tuple[AnyMark, ...]:
    if bay.slope is Slope.RAKED:
        return raked_marks(layout, steepness(bay), settings.edge, settings.origin, settings.resolution)
    return marks(layout, settings.edge, settings.origin, settings.resolution)


def steepness(bay: Bay) -> Steepness:
    """The exact slope of a raked or stepped bay, from whichever was measured."""
    return from_rise(bay.rise, bay.going) if bay.along is None else from_along(bay.along, bay.going)


def fence_gap(job: Job, index: int) -> Length:
    """The gap a gate should look like: that of the nearest bay, the one before it first; the limit where there is none."""
    others = sorted((i for i, bay in enumerate(job.bays) if bay.gate is None), key=lambda i: (abs(i - index), i))
    if not others:
        return job.bays[index].limit.value
    return plan_bay(job, others[0]).rails[0].gap


def _gate(job: Job, index: int) -> BayPlan:
    bay, settings = job.bays[index], job.settings
    assert bay.gate is not None
    hung = bay.gate
    between = hung.latch if hung.leaves == 1 else hung.meeting
    opening = GateOpening(bay.openings[0][1], hung.hinge, between, hung.leaves)
    gate = match_gate(opening, bay.picket, bay.limit, fence_gap(job, index))
    if bay.count is not None:
        gate = replace(gate, layout=layout_for_count(replace(gate.layout.bay, left=PICKET, right=PICKET), bay.count))
    layout = gate.layout
    name = "leaf" if hung.leaves == 1 else "each leaf"
    made = marks(layout, settings.edge, settings.origin, settings.resolution)
    return BayPlan(bay, (RailPlan(name, layout, made, layout.left_space, layout.right_space),), gate=gate)


@lru_cache(maxsize=64)
def _matched(job: Job) -> dict[int, int]:
    """Counts for every bay but the gates, chosen together."""
    indexes = [index for index, bay in enumerate(job.bays) if bay.gate is None]
    problems = [
        _problem(job.bays[index], job.settings, max(opening for _, opening in job.bays[index].openings))
        for index in indexes
    ]
    return dict(zip(indexes, match_for_the_eye(problems).counts, strict=True))
