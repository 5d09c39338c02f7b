"""A measure from post to post held against what was dictated: what openings and posts come to, and where a difference may lie.

Crosses the border: openings, a post's width and one tape measure in, all in mm; a `Closing` and its `Suspect` values out.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from enum import Enum

from assistant.setout.lengths import Length
from assistant.setout.posts import POSTS_OUTSIDE, Between
from assistant.setout.tape import TapeClass, tape_error
from assistant.setout.trouble import ImpossibleError, Problem, require_positive


@dataclass(frozen=True, slots=True)
class Closing:
    """One measure over neighbouring bays."""

    openings: tuple[Length, ...]
    """Of the bays inside the measure, at one rail, in order; gates among them."""
    post: Length
    """Width of a post, each one alike."""
    between: Between
    measured: Length
    """What the tape says."""

    @property
    def posts(self) -> int:
        """How many whole widths of a post lie inside the measure."""
        return len(self.openings) + 1 - POSTS_OUTSIDE[self.between]

    @property
    def total(self) -> Length:
        """What openings and posts come to."""
        return sum(self.openings, start=self.posts * self.post)

    @property
    def short(self) -> Length:
        """How much the bays are short of the tape; below zero where they are over."""
        return self.measured - self.total

    @property
    def closes(self) -> bool:
        """Whether nothing is left but what a tape of class II may be out over such a length."""
        return abs(self.short) <= tape_error(TapeClass.II, self.measured)

    @property
    def bay_missing(self) -> bool:
        """Whether so much is missing that it is a whole bay sooner than a wrong number."""
        return self.short > min(self.openings) / 2

    @property
    def post_miscounted(self) -> bool:
        """Whether the difference is just a post: one too many or too few, or measured to its other face."""
        return abs(abs(self.short) - self.post) <= tape_error(TapeClass.II, self.measured)


def closing(openings: Sequence[Length], post: Length, between: Between, measured: Length) -> Closing:
    """A measure over these bays.  Raises ImpossibleError where there is none of them, or a length is none."""
    if not openings:
        raise ImpossibleError(Problem.NOTHING_GIVEN, "There is no bay between those posts. Measure one first.", lengths={})
    require_positive("post width", post)
    require_positive("run", measured)
    return Closing(tuple(openings), post, between, measured)


class Why(Enum):
    """Why an opening may be the wrong one, the strongest reason first."""

    SOUNDS_LIKE = "it sounds like the opening that would close the sum"
    UNSURE = "it was asked about, or corrected"


@dataclass(frozen=True, slots=True)
class Suspect:
    """An opening that may be wrong."""

    index: int
    """Which opening of the measure, from zero."""
    why: Why
    right: Length
    """The opening that would close the sum."""


def suspects(made: Closing, unsure: Collection[int], sounds_like: Sequence[Collection[Length]]) -> tuple[Suspect, ...]:
    """Openings that may be wrong, the likeliest first; none where the sum closes.

    `unsure` are the places of openings that were in doubt when they were heard; `sounds_like` says for each opening what else its words
    may have been.
    """
    if made.closes:
        return ()
    found = []
    for index, (opening, others) in enumerate(zip(made.openings, sounds_like, strict=True)):
        right = opening + made.short
        if right in others:
            found.append(Suspect(index, Why.SOUNDS_LIKE, right))
        elif index in unsure and right > 0:
            found.append(Suspect(index, Why.UNSURE, right))
    order = list(Why)
    return tuple(sorted(found, key=lambda one: order.index(one.why)))
