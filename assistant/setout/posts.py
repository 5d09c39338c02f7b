"""Posts: how many bays a run takes, where the posts stand, and whether the openings already there are alike.

Crosses the border: `Posts` (a run, its posts, how far apart they may stand, its gates) in, a `PostRow` out; or measured openings in,
a `Judgement` out. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from itertools import pairwise
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


class PostKind(Enum):
    """What a post is for."""

    END = "end post"
    GATE = "gate post"
    LINE = "post"


@dataclass(frozen=True, slots=True)
class RunGate:
    """A gate in a run: where its opening begins, from the outer face of the first post, and how wide it is."""

    start: Length
    opening: Length


@dataclass(frozen=True, slots=True)
class Posts:
    """A row of posts to be set out: the run, the width of a post, and how far apart posts may stand."""

    run: Length
    post: Length
    opening: Length
    """The largest opening, or the largest distance between centres where `by_centres` says so."""
    end_post: Length | None = None
    """Width of end and gate posts; None where they are like the others."""
    between: Between = Between.OUTER_FACES
    by_centres: bool = False
    """Centres are equally far apart, in place of the openings."""
    rest: bool = False
    """Full bays from the first post on and what is left as the last, in place of equal bays."""
    gates: tuple[RunGate, ...] = ()
    """In order; they stay where they are, and what is left of them and right of them is set out by itself."""

    @property
    def strong(self) -> Length:
        """Width of end and gate posts."""
        return self.post if self.end_post is None else self.end_post

    @property
    def overall(self) -> Length:
        """The run between the outer faces of its end posts."""
        return self.run + POSTS_OUTSIDE[self.between] * self.strong


@dataclass(frozen=True, slots=True)
class RunPost:
    """One post: its face that comes first, from the outer face of the first post."""

    near: Length
    width: Length
    kind: PostKind

    @property
    def centre(self) -> Length:
        """Its centre."""
        return self.near + self.width / 2

    @property
    def far(self) -> Length:
        """Its other face."""
        return self.near + self.width

    def marks(self, number: int, resolution: Resolution) -> tuple[Mark, Mark, Mark]:
        """Near face, centre and far face, running; each rounded once."""
        near, centre, far = (mark_at(number, place, resolution) for place in (self.near, self.centre, self.far))
        return near, centre, far


@dataclass(frozen=True, slots=True)
class PostRow:
    """The posts of a run, from its first."""

    posts: tuple[RunPost, ...]
    gates: frozenset[int]
    """Which openings are gates, by the post before them, from zero."""

    @property
    def openings(self) -> tuple[Length, ...]:
        """Between each post and the next, gates too."""
        return tuple(after.near - before.far for before, after in pairwise(self.posts))

    @property
    def bays(self) -> tuple[Length, ...]:
        """The openings that are no gates."""
        return tuple(opening for at, opening in enumerate(self.openings) if at not in self.gates)

    @property
    def overall(self) -> Length:
        """From the outer face of the first post to that of the last."""
        return self.posts[-1].far

    def of_kind(self, kind: PostKind) -> int:
        """How many there are of a kind."""
        return sum(post.kind is kind for post in self.posts)


MOST_POSTS = 1000
"""A run of more is a slip of the tongue.  Common practice, no source."""


def set_out_posts(wanted: Posts) -> PostRow:
    """The fewest bays that go by the largest distance; raises ImpossibleError where none fits."""
    require_positive("run", wanted.run)
    require_positive("post width", wanted.post)
    require_positive("end post width", wanted.strong)
    require_positive("largest distance between posts", wanted.opening)
    for gate in wanted.gates:
        require_positive("gate opening", gate.opening)
    edges = [Fraction(0), *(edge for gate in wanted.gates for edge in (gate.start, gate.start + gate.opening)), wanted.overall]
    posts: list[RunPost] = []
    gates = set()
    for number, (start, end) in enumerate(zip(edges[::2], edges[1::2], strict=True)):
        if number:
            gates.add(len(posts) - 1)
        first = PostKind.GATE if number else PostKind.END
        last = PostKind.GATE if number < len(wanted.gates) else PostKind.END
        posts += _stretch(wanted, start, end, first, last)
    return PostRow(tuple(posts), frozenset(gates))


def _stretch(wanted: Posts, start: Length, end: Length, first: PostKind, last: PostKind) -> list[RunPost]:
    """The posts of what lies between two outer faces: the ends of the run, or where a gate opening begins or ends."""
    strong = wanted.strong
    if end - start == strong and PostKind.GATE in (first, last):
        return [RunPost(start, strong, PostKind.GATE)]
    between = end - start - 2 * strong
    if between <= 0 and wanted.gates:
        raise ImpossibleError(
            Problem.TOO_SHORT,
            "From {start} to {end} there is no room for two posts of {post} and a bay. Put the gate elsewhere.",
            lengths={"start": start, "end": end, "post": strong},
        )
    middles = _middles(wanted, between)
    lines = [RunPost(start + strong + place, wanted.post, PostKind.LINE) for place in middles]
    made = [RunPost(start, strong, first), *lines, RunPost(end - strong, strong, last)]
    if min(after.near - before.far for before, after in pairwise(made)) <= 0:
        raise _too_short(wanted, between, len(made))
    return made


def _middles(wanted: Posts, between: Length) -> list[Length]:
    """Where the posts between two strong ones begin, from the face of the first of those."""
    post, strong, most = wanted.post, wanted.strong, wanted.opening
    # Going by centres is going by openings with posts of no width, from centre to centre.
    whole, width = (between + strong, Fraction(0)) if wanted.by_centres else (between, post)
    bays = max(1, -((-whole - width) // (most + width)))
    if bays >= MOST_POSTS:
        raise ImpossibleError(
            Problem.OUT_OF_RANGE,
            "That makes {posts} posts. The most is {most}: give a larger opening or a shorter run.",
            lengths={}, numbers={"posts": bays + 1, "most": MOST_POSTS},
        )  # fmt: skip
    opening = most if wanted.rest else (whole - (bays - 1) * width) / bays
    from_face = -(strong + post) / 2 if wanted.by_centres else Fraction(0)
    return [from_face + k * (opening + width) - width for k in range(1, bays)]


def _too_short(wanted: Posts, between: Length, posts: int) -> ImpossibleError:
    lengths = {"post": wanted.post, "run": wanted.run}
    numbers = {"posts": posts}
    if wanted.rest:
        sentence = "Full bays leave no room for the last one in a run of {run}. Take equal bays."
    elif posts == 2:
        lengths["needed"] = wanted.run - between
        sentence = "{posts} posts leave no opening in a run of {run}. The run must be more than {needed}."
    else:
        sentence = "{posts} posts of {post} leave no opening in a run of {run}."
        nearest = (between - (posts - 3) * wanted.post) / (posts - 2)
        if nearest > 0:
            lengths["nearest"], numbers["fewer"] = nearest, posts - 1
            sentence += " The nearest is {fewer} posts, with an opening of {nearest}."
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
