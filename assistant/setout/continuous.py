"""Pickets on the face of the posts, running past them as one row: marks taken afresh from each post.

Crosses the border: the layout of the whole run (its bay's opening is the length of the row) and where the posts stand
in; sections of marks, and the pickets in front of each post, out. Distances run from the left end of the row, in mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from assistant.setout.lengths import Length, Resolution
from assistant.setout.marks import Edge, Mark, mark_at
from assistant.setout.spacing import Layout
from assistant.setout.trouble import ImpossibleError, Problem


@dataclass(frozen=True, slots=True)
class Post:
    """A post behind the row: its left face from the left end of the row, and its width."""

    left: Length
    width: Length


@dataclass(frozen=True, slots=True)
class Section:
    """Marks taken from one place: the left end of the row, or a post's left face."""

    start: Length
    marks: tuple[Mark, ...]
    """Distances from `start`; `index` still counts pickets from the left end of the row."""


def sections(layout: Layout, posts: Sequence[Post], edge: Edge, resolution: Resolution) -> tuple[Section, ...]:
    """Every mark once, taken from the nearest start to its left; raises ImpossibleError for posts out of order."""
    _require_order(layout, posts)
    starts = [Fraction(0), *(post.left for post in posts if post.left > 0)]
    share = {Edge.LEFT: Fraction(0), Edge.CENTRE: Fraction(1, 2), Edge.RIGHT: Fraction(1)}[edge]
    place = layout.left_space + share * layout.bay.picket
    made = []
    index = 1
    for start, stop in zip(starts, [*starts[1:], None], strict=True):
        found = []
        while index <= layout.count and (stop is None or place < stop):
            found.append(mark_at(index, place - start, resolution))
            place += layout.pitch
            index += 1
        made.append(Section(start, tuple(found)))
    return tuple(made)


def in_front_of(layout: Layout, post: Post) -> tuple[int, ...]:
    """The pickets (from 1) that cover any of the post's face, wholly or partly."""
    first = (post.left - layout.left_space - layout.bay.picket) // layout.pitch + 2
    last = -((layout.left_space - post.left - post.width) // layout.pitch)
    return tuple(range(max(first, 1), min(last, layout.count) + 1))


def _require_order(layout: Layout, posts: Sequence[Post]) -> None:
    edges = [edge for post in posts for edge in (post.left, post.left + post.width)]
    for before, after in pairwise([Fraction(0), *edges, layout.bay.opening]):
        if after < before:
            raise ImpossibleError(
                Problem.OUT_OF_RANGE,
                "A post at {after} does not come after {before}. Give the posts from left to right, within the row.",
                lengths={"before": before, "after": after},
            )
