"""From a job to the marks of its bays: which solver a bay needs, and the marks of each rail.

Pure.  The dialogue speaks a plan, the sheet draws it, the exports write it; none of them computes anything of its own.
"""

from __future__ import annotations

from dataclasses import dataclass

from assistant.job import Bay, Job
from assistant.setout import spacing
from assistant.setout.lengths import Length
from assistant.setout.marks import Mark, marks
from assistant.setout.spacing import Layout, layout_for_count, solve


@dataclass(frozen=True, slots=True)
class RailPlan:
    """The marks of one rail."""

    rail: str
    """Its name; with two gate leaves also the leaf."""
    layout: Layout
    marks: tuple[Mark, ...]

    @property
    def gap(self) -> Length:
        """The exact gap on this rail, in mm."""
        return self.layout.gap


@dataclass(frozen=True, slots=True)
class BayPlan:
    """One bay set out."""

    bay: Bay
    rails: tuple[RailPlan, ...]
    """Bottom first."""

    @property
    def count(self) -> int:
        """Pickets in the bay."""
        return self.rails[0].layout.count

    @property
    def largest(self) -> RailPlan:
        """The rail with the largest gap: the one the limit is judged by."""
        return max(self.rails, key=lambda rail: rail.gap)

    @property
    def allowed(self) -> bool:
        """Whether every rail obeys the limit."""
        return all(rail.layout.allowed for rail in self.rails)


def plan_bay(job: Job, index: int) -> BayPlan:
    """The set-out of one bay.  Raises ImpossibleError when it cannot exist, IndexError for no such bay."""
    bay, settings = job.bays[index], job.settings
    problems = {
        rail: spacing.Bay(opening, bay.picket, bay.limit, settings.left, settings.right)
        for rail, opening in bay.openings
    }
    widest = max(problems.values(), key=lambda problem: problem.opening)
    count = bay.count or solve(widest).count
    return BayPlan(
        bay,
        tuple(
            RailPlan(rail, layout, marks(layout, settings.edge, settings.origin, settings.resolution))
            for rail, layout in ((rail, layout_for_count(problem, count)) for rail, problem in problems.items())
        ),
    )
