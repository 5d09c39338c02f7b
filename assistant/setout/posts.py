"""Posts: how many bays a run takes, where the posts stand, and whether the openings already there are alike.

Crosses the border: a run length, post width and largest opening in, a `PostLayout` out; or measured openings in, a
`Judgement` out. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from statistics import median_high

from assistant.setout.lengths import Length, Resolution
from assistant.setout.marks import Mark, mark_at
from assistant.setout.tolerances import OPENINGS_ALIKE
from assistant.setout.trouble import ImpossibleError, Problem, require_not_negative, require_positive


class Between(Enum):
    """What the length of the run is measured between, at its two end posts."""

    OUTER_FACES = "outer faces"
    CENTRES = "centres"
    INNER_FACES = "inner faces"


POSTS_OUTSIDE = {Between.OUTER_FACES: 0, Between.CENTRES: 1, Between.INNER_FACES: 2}
"""Post widths to add to the measured length to reach the outer faces."""


@dataclass(frozen=True, slots=True)
class PostLayout:
    """Posts with equal openings between them; distances run from the outer face of the first post."""

    bays: int
    opening: Length
    post: Length

    @property
    def posts(self) -> int:
        """One more than the bays."""
        return self.bays + 1

    @property
    def overall(self) -> Length:
        """From the outer face of the first post to that of the last, laid back out."""
        return self.posts * self.post + self.bays * self.opening

    @property
    def pitch(self) -> Length:
        """From one post's centre to the next."""
        return self.opening + self.post

    def near_faces(self, resolution: Resolution) -> tuple[Mark, ...]:
        """The first face of every post, running."""
        return self._marks(Fraction(0), resolution)

    def centres(self, resolution: Resolution) -> tuple[Mark, ...]:
        """The centre of every post, running."""
        return self._marks(self.post / 2, resolution)

    def far_faces(self, resolution: Resolution) -> tuple[Mark, ...]:
        """The last face of every post, running."""
        return self._marks(self.post, resolution)

    def _marks(self, first: Length, resolution: Resolution) -> tuple[Mark, ...]:
        return tuple(mark_at(k + 1, first + k * self.pitch, resolution) for k in range(self.posts))


def set_out_posts(
    length: Length, post: Length, largest_opening: Length, between: Between = Between.OUTER_FACES
) -> PostLayout:
    """The fewest equal bays whose opening is at most the largest one; raises ImpossibleError where none fits."""
    require_positive("run", length)
    require_positive("post width", post)
    require_positive("largest opening", largest_opening)
    overall = length + POSTS_OUTSIDE[between] * post
    bays = max(1, -((post - overall) // (largest_opening + post)))
    opening = (overall - (bays + 1) * post) / bays
    if opening <= 0:
        raise _too_short(length, overall, post, bays)
    return PostLayout(bays, opening, post)


def _too_short(length: Length, overall: Length, post: Length, bays: int) -> ImpossibleError:
    lengths = {"post": post, "length": length}
    numbers = {"posts": bays + 1}
    sentence = "{posts} posts of {post} leave no opening in a run of {length}. "
    if bays == 1:
        lengths["needed"] = length + 2 * post - overall
        sentence += "The run must be more than {needed}."
    else:
        lengths["nearest"] = (overall - bays * post) / (bays - 1)
        numbers["fewer"] = bays
        sentence += "The nearest is {fewer} posts, with an opening of {nearest}."
    return ImpossibleError(Problem.TOO_SHORT, sentence, lengths=lengths, numbers=numbers)


@dataclass(frozen=True, slots=True)
class OddOpening:
    """A bay (from zero) whose opening differs from the usual one."""

    index: int
    opening: Length
    difference: Length
    """Its opening less the usual; below zero where it is short."""


@dataclass(frozen=True, slots=True)
class Judgement:
    """The usual opening of a run, and the bays that stand out."""

    usual: Length
    odd: tuple[OddOpening, ...]


def judge_openings(openings: Sequence[Length], tolerance: Length = OPENINGS_ALIKE) -> Judgement:
    """Which openings differ from the usual (median) one by more than the tolerance."""
    if not openings:
        raise ImpossibleError(Problem.NOTHING_GIVEN, "There is no opening to judge. Give at least one.", lengths={})
    require_not_negative("tolerance", tolerance)
    usual = median_high(openings)
    odd = [OddOpening(index, opening, opening - usual) for index, opening in enumerate(openings)]
    return Judgement(usual, tuple(bay for bay in odd if abs(bay.difference) > tolerance))
