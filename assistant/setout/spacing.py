"""One bay: the fewest pickets whose equal gaps obey the limit, exactly and without searching.

Crosses the border: a `Bay` in, a `Layout` (count, gap, its neighbours) out. For n pickets of width w in opening L,
gap = (L - fixed - n*w) / (n - 1 + ends); it falls as n grows, so the fewest that obey a limit g follow from
n*(w + g) >= L - fixed + g*(1 - ends), with > where the limit is strict.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from assistant.setout.ends import GAP, End, EndKind
from assistant.setout.lengths import Length
from assistant.setout.limits import GapLimit
from assistant.setout.trouble import ImpossibleError, Problem, require_not_negative, require_positive


@dataclass(frozen=True, slots=True)
class Bay:
    """One opening to fill; lengths in mm. Raises ImpossibleError where not even the fewest pickets fit."""

    opening: Length
    picket: Length
    limit: GapLimit
    left: End = GAP
    right: End = GAP

    def __post_init__(self) -> None:
        require_positive("opening", self.opening)
        require_positive("picket width", self.picket)
        require_positive("largest gap", self.limit.value)
        for end in (self.left, self.right):
            require_not_negative("end gap", end.fixed)
        if self.most < self.least:
            needed = self.least * self.picket + self.left.fixed + self.right.fixed
            raise ImpossibleError(
                Problem.PICKET_TOO_WIDE,
                "An opening of {opening} is too narrow for pickets of {picket}. It must be more than {needed}.",
                lengths={"picket": self.picket, "opening": self.opening, "needed": needed},
            )

    @property
    def least(self) -> int:
        """The fewest pickets that make a whole gap: one beside a post that has one, else two."""
        return 1 if EndKind.GAP in (self.left.kind, self.right.kind) else 2

    @property
    def most(self) -> int:
        """The most pickets that still leave a gap of more than zero."""
        return -((self.left.fixed + self.right.fixed - self.opening) // self.picket) - 1


@dataclass(frozen=True, slots=True)
class Neighbours:
    """The layouts with one picket fewer and one more; None where no such layout exists."""

    fewer: Layout | None
    more: Layout | None


@dataclass(frozen=True, slots=True)
class Layout:
    """A count of pickets in a bay, and the gap that follows from it; made by `solve` or `layout_for_count`."""

    bay: Bay
    count: int
    gap: Length
    """The whole gap in mm, exact."""

    @property
    def gap_count(self) -> int:
        """How many spaces are one whole gap wide (half gaps and set gaps are not counted)."""
        return self.count - 1 + sum(end.coefficient == 1 for end in (self.bay.left, self.bay.right))

    @property
    def left_space(self) -> Length:
        """From the left post to the first picket, in mm."""
        return self.bay.left.space(self.gap)

    @property
    def right_space(self) -> Length:
        """From the last picket to the right post, in mm."""
        return self.bay.right.space(self.gap)

    @property
    def pitch(self) -> Length:
        """From one picket's edge to the same edge of the next, in mm."""
        return self.gap + self.bay.picket

    @property
    def allowed(self) -> bool:
        """Whether every space of the layout obeys the bay's limit."""
        return self.bay.limit.allows(max(self.spaces()))

    @property
    def neighbours(self) -> Neighbours:
        """One picket fewer and one more."""
        bay, count = self.bay, self.count
        return Neighbours(
            layout_for_count(bay, count - 1) if count > bay.least else None,
            layout_for_count(bay, count + 1) if count < bay.most else None,
        )

    def spaces(self) -> tuple[Length, ...]:
        """Every space from the left post to the right post, in mm; a picket against a post leaves a space of zero."""
        return (self.left_space, *(self.gap for _ in range(self.count - 1)), self.right_space)

    def check(self) -> bool:
        """Lay it back out, space by space and picket by picket: whether it fills the opening exactly."""
        first, *others = self.spaces()
        total = first
        for space in others:
            total += self.bay.picket + space
        return total == self.bay.opening


def solve(bay: Bay) -> Layout:
    """The layout with the fewest pickets, at least one whole gap, whose spaces all obey the limit.

    Raises ImpossibleError where a set end gap breaks the limit by itself, or where no count obeys it.
    """
    require_ends_within_limit(bay)
    limit = bay.limit
    count = fewest(bay)
    if count > bay.most:
        nearest = layout_for_count(bay, bay.most)
        raise ImpossibleError(
            Problem.NO_COUNT_MEETS_LIMIT,
            "No count keeps the gap to {limit}. It would take {count} of {picket}: they do not fit in {opening}. "
            "The nearest is {most}, with a gap of {gap}.",
            lengths={"limit": limit.value, "picket": bay.picket, "opening": bay.opening, "gap": nearest.gap},
            numbers={"count": count, "most": bay.most},
        )
    return layout_for_count(bay, count)


def require_ends_within_limit(bay: Bay) -> None:
    """Raise ImpossibleError where a set end gap breaks the limit by itself."""
    for end in (bay.left, bay.right):
        if end.fixed and not bay.limit.allows(end.fixed):
            raise ImpossibleError(
                Problem.END_GAP_OVER_LIMIT,
                "The end gap of {end} is over the largest gap, {limit}. Make the end gap smaller, or the largest gap larger.",
                lengths={"end": end.fixed, "limit": bay.limit.value},
            )


def fewest(bay: Bay) -> int:
    """The fewest pickets that would obey the limit, whether or not they fit."""
    gap, ends = bay.limit.value, bay.left.coefficient + bay.right.coefficient
    needed = bay.opening - bay.left.fixed - bay.right.fixed + gap * (1 - ends)
    quotient, rest = divmod(needed, bay.picket + gap)
    enough = quotient if not rest and not bay.limit.strict else quotient + 1
    return max(enough, bay.least)


def layout_for_count(bay: Bay, count: int) -> Layout:
    """The layout with exactly this many pickets, allowed by the limit or not; ImpossibleError if none exists."""
    if count < bay.least:
        raise ImpossibleError(
            Problem.TOO_FEW_PICKETS,
            "{count} is too few pickets for this bay. The fewest is {least}.",
            lengths={},
            numbers={"count": count, "least": bay.least},
        )
    if count > bay.most:
        raise ImpossibleError(
            Problem.TOO_MANY_PICKETS,
            "{count} pickets of {picket} leave no gap in {opening}. The most is {most}.",
            lengths={"picket": bay.picket, "opening": bay.opening},
            numbers={"count": count, "most": bay.most},
        )
    room = bay.opening - bay.left.fixed - bay.right.fixed - count * bay.picket
    return Layout(bay, count, Fraction(room, count - 1 + bay.left.coefficient + bay.right.coefficient))
