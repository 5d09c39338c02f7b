"""The job: what was measured, chosen and done, as a fold over the facts that were accepted.

Pure.  The dialogue produces facts, the record keeps them, and `apply` is the only place where they change a job; replaying the
record therefore rebuilds the job exactly.  Lengths are exact `Fraction` millimetres.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from enum import Enum
from fractions import Fraction
from typing import TypeAlias

from assistant.numbers.styles import NumberStyle
from assistant.setout.ends import GAP, End
from assistant.setout.lengths import Length, Resolution, Unit
from assistant.setout.limits import GapLimit
from assistant.setout.marks import Edge, Origin
from assistant.setout.taper import Lean


@dataclass(frozen=True, slots=True)
class Settings:
    """What holds for every bay until it is changed."""

    unit: Unit = Unit.MM
    resolution: Resolution = Resolution.MM_1
    picket: Length | None = None
    """Picket width."""
    limit: GapLimit | None = None
    left: End = GAP
    right: End = GAP
    edge: Edge = Edge.LEFT
    origin: Origin = Origin.LEFT
    share_lean: bool = False
    """A bay out of plumb: False keeps pickets plumb, True shares the difference among the gaps of each rail."""
    matched: bool = False
    """Counts are chosen so that the gaps of all bays are as alike as can be."""
    full: bool = True
    """Whole sentences rather than short answers."""
    numbers: NumberStyle = NumberStyle.WHOLE
    headset: bool = False
    """The user may talk over the assistant."""


class Slope(Enum):
    """How a bay follows falling ground."""

    RAKED = "raked"
    STEPPED = "stepped"


@dataclass(frozen=True, slots=True)
class Gate:
    """A gate in an opening: what is taken off for hanging it."""

    hinge: Length
    latch: Length
    leaves: int = 1
    meeting: Length = Fraction(0)
    """The gap where two leaves meet."""


@dataclass(frozen=True, slots=True)
class Slip:
    """A picket that was fixed off its mark: where its mark edge really is, from the post it is measured from."""

    rail: str
    picket: int
    actual: Length


@dataclass(frozen=True, slots=True)
class Bay:
    """One opening between posts, as measured."""

    number: int
    openings: tuple[tuple[str, Length], ...]
    """(rail, clear opening), bottom first."""
    picket: Length
    limit: GapLimit
    count: int | None = None
    """Pickets asked for in place of the fewest."""
    gate: Gate | None = None
    slope: Slope | None = None
    rise: Length = Fraction(0)
    going: Length = Fraction(0)
    """Level distance over which the ground rises by `rise`."""
    slip: Slip | None = None
    leans: Lean | None = None
    """Which post is out of plumb, where the user knows."""
    along: Length | None = None
    """Length along the rail over `going`, where that was measured in place of the rise; `rise` is then only to draw by."""

    @property
    def name(self) -> str:
        """How the bay is called: “bay 3” or “gate 4”."""
        return f"{'gate' if self.gate else 'bay'} {self.number}"

    def opening(self, rail: str) -> Length | None:
        """The opening measured at a rail, if it was."""
        return dict(self.openings).get(rail)

    def measured(self, rail: str, opening: Length) -> Bay:
        """The same bay with one opening set."""
        found = {**dict(self.openings), rail: opening}
        order = [name for name in RAILS if name in found]
        return replace(self, openings=tuple((name, found[name]) for name in order), slip=None)


RAILS = ("bottom", "middle", "top")
"""Rails of a bay, bottom first; a gate has the same."""


@dataclass(frozen=True, slots=True)
class Draft:
    """A form that is being filled in by voice: which, and the answers so far, in order."""

    form: str
    answers: tuple[tuple[str, Fraction], ...] = ()


@dataclass(frozen=True, slots=True)
class Position:
    """Which mark is being called."""

    bay: int
    rail: int
    mark: int
    """1 for the first mark; 0 before it."""


@dataclass(frozen=True, slots=True)
class Note:
    """The result of a calculation that is not a bay: posts, a story pole, timber."""

    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Posts:
    """A row of posts to be set out: the run between outer faces, the post's width and the largest opening."""

    run: Length
    post: Length
    opening: Length


@dataclass(frozen=True, slots=True)
class SettingsChanged:
    """The settings now hold."""

    settings: Settings


@dataclass(frozen=True, slots=True)
class DraftChanged:
    """A form was begun, answered or (None) finished or left."""

    draft: Draft | None


@dataclass(frozen=True, slots=True)
class BaySet:
    """A bay was measured or changed; an index one past the last adds it."""

    index: int
    bay: Bay


@dataclass(frozen=True, slots=True)
class BayRemoved:
    """A bay was taken away; the others keep their numbers."""

    index: int


@dataclass(frozen=True, slots=True)
class BayChosen:
    """The bay that is being talked about."""

    index: int


@dataclass(frozen=True, slots=True)
class GapConfirmed:
    """The user said aloud that the gap of this bay is right."""

    index: int


@dataclass(frozen=True, slots=True)
class CautionAcknowledged:
    """The user said that a caution was understood; the record adds the time."""

    caution: str


@dataclass(frozen=True, slots=True)
class MarkCalled:
    """A mark is about to be spoken; it is where the job goes on after a break."""

    position: Position


@dataclass(frozen=True, slots=True)
class PostsSet:
    """Posts were measured for."""

    posts: Posts


@dataclass(frozen=True, slots=True)
class NoteMade:
    """A calculation was finished; one with the same title replaces the earlier."""

    note: Note


@dataclass(frozen=True, slots=True)
class Undone:
    """The last `count` facts still standing no longer hold."""

    count: int


Fact: TypeAlias = (
    SettingsChanged
    | DraftChanged
    | BaySet
    | BayRemoved
    | BayChosen
    | GapConfirmed
    | CautionAcknowledged
    | MarkCalled
    | PostsSet
    | NoteMade
    | Undone
)


@dataclass(frozen=True, slots=True)
class Job:
    """Everything known of a job at one moment."""

    settings: Settings = field(default_factory=Settings)
    bays: tuple[Bay, ...] = ()
    current: int = 0
    """Index of the bay being talked about."""
    draft: Draft | None = None
    confirmed: frozenset[int] = frozenset()
    """Indexes of the bays whose gap was confirmed aloud."""
    cautions: tuple[str, ...] = ()
    """Cautions acknowledged, in order."""
    position: Position | None = None
    notes: tuple[Note, ...] = ()
    posts: Posts | None = None


_LAYOUT_SETTINGS = ("left", "right", "share_lean", "matched")


def apply(job: Job, fact: Fact) -> Job:
    """The job after one fact.  Raises ValueError for `Undone`, which only `replay` can carry out."""
    match fact:
        case SettingsChanged(settings):
            changed = any(getattr(settings, name) != getattr(job.settings, name) for name in _LAYOUT_SETTINGS)
            return replace(job, settings=settings, confirmed=frozenset() if changed else job.confirmed)
        case DraftChanged(draft):
            return replace(job, draft=draft)
        case BaySet(index, bay):
            bays = (*job.bays[:index], bay, *job.bays[index + 1 :])
            kept = frozenset() if job.settings.matched else job.confirmed - {index}
            return replace(job, bays=bays, current=index, confirmed=kept)
        case BayRemoved(index):
            bays = job.bays[:index] + job.bays[index + 1 :]
            confirmed = frozenset(i - (i > index) for i in job.confirmed if i != index)
            return replace(job, bays=bays, current=max(0, min(job.current, len(bays) - 1)), confirmed=confirmed,
                           position=None)
        case BayChosen(index):
            return replace(job, current=index)
        case GapConfirmed(index):
            return replace(job, confirmed=job.confirmed | {index})
        case CautionAcknowledged(caution):
            return replace(job, cautions=(*job.cautions, caution))
        case MarkCalled(position):
            return replace(job, position=position, current=position.bay)
        case PostsSet(posts):
            return replace(job, posts=posts)
        case NoteMade(note):
            others = tuple(other for other in job.notes if other.title != note.title)
            return replace(job, notes=(*others, note))
        case Undone():
            raise ValueError("an undoing is carried out by replay")


def standing(facts: Iterable[Fact]) -> list[Fact]:
    """The facts that still hold once every undoing is carried out."""
    kept: list[Fact] = []
    for fact in facts:
        if isinstance(fact, Undone):
            del kept[len(kept) - min(fact.count, len(kept)) :]
        else:
            kept.append(fact)
    return kept


def replay(facts: Iterable[Fact]) -> Job:
    """The job that a record of facts describes."""
    job = Job()
    for fact in standing(facts):
        job = apply(job, fact)
    return job
