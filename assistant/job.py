"""The job: what was measured, chosen, set out and done; and the facts that say so.

Pure values.  The dialogue produces facts, the record keeps them, `fold` makes a job of them.  Lengths are exact `Fraction` millimetres.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import TypeAlias

from assistant.measured import Bay, Slip
from assistant.numbers.styles import NumberStyle
from assistant.set_out import SetOut
from assistant.setout.ends import GAP, End
from assistant.setout.lapped import Boards
from assistant.setout.lengths import Length, Resolution, Unit
from assistant.setout.limits import GapLimit
from assistant.setout.marks import Edge, Origin
from assistant.setout.posts import Between, Posts
from assistant.setout.run import Likeness


@dataclass(frozen=True, slots=True)
class Settings:
    """What holds for every bay that is not set out yet, and for how the assistant speaks."""

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
    likeness: Likeness = Likeness.FEWEST
    """How many pickets may be spent on gaps that are alike from bay to bay."""
    full: bool = True
    """Whole sentences rather than short answers."""
    numbers: NumberStyle = NumberStyle.WHOLE
    headset: bool = False
    """The user may talk over the assistant."""


@dataclass(frozen=True, slots=True)
class Draft:
    """A form that is being filled in by voice: which, and the answers so far, in order."""

    form: str
    answers: tuple[tuple[str, Fraction], ...] = ()
    bay: int | None = None
    """The number of the bay that is measured once more; None for a new one."""
    gate_next: bool = False
    """Whether a gate was asked for, and is measured next."""


@dataclass(frozen=True, slots=True)
class Position:
    """Which mark is being called."""

    bay: int
    """The number of the bay."""
    rail: str
    mark: int
    """From 1."""


@dataclass(frozen=True, slots=True)
class Note:
    """The result of a calculation that is not a bay: posts, a story pole, timber."""

    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RunCheck:
    """One tape measure over bays that stand side by side, from post to post."""

    first: int
    """The post it begins at, from 1; post one stands before the first bay."""
    last: int | None
    """The post it ends at; None for the last post, whichever that is."""
    between: Between
    measured: Length
    post: Length
    """Width of a post."""


# Facts ----------------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class SettingsChanged:
    """The settings now hold, for bays that are not set out."""

    settings: Settings


@dataclass(frozen=True, slots=True)
class DraftChanged:
    """A form was begun, answered or (None) finished or left."""

    draft: Draft | None


@dataclass(frozen=True, slots=True)
class BaySet:
    """A bay that is not set out was measured or changed; an index one past the last adds it."""

    index: int
    bay: Bay


@dataclass(frozen=True, slots=True)
class BayRemoved:
    """A bay was taken away; the others keep their numbers."""

    index: int


@dataclass(frozen=True, slots=True)
class BayChosen:
    """The bay that is being talked about; `named` when the user chose it to be marked next."""

    index: int
    named: bool = False


@dataclass(frozen=True, slots=True)
class SetOutConfirmed:
    """The user said aloud that the gap of a bay is right: from now on it is set out like this."""

    number: int
    set_out: SetOut


@dataclass(frozen=True, slots=True)
class PicketSlipped:
    """A picket of a bay that is set out was fixed off its mark; the rest is spaced again, and its gap has to be confirmed anew."""

    number: int
    slip: Slip
    set_out: SetOut


@dataclass(frozen=True, slots=True)
class BayReopened:
    """The user named a bay that is set out, heard what would move, and opened it again: it follows the settings once more."""

    number: int


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
class BoardsSet:
    """Boards that overlap were set out."""

    boards: Boards


@dataclass(frozen=True, slots=True)
class RunMeasured:
    """The tape was held over several bays; a measure between the same posts replaces the earlier."""

    check: RunCheck


@dataclass(frozen=True, slots=True)
class HeardUnsure:
    """An opening was asked about before it was taken, or corrected."""

    number: int
    """Of the bay."""
    rail: str


@dataclass(frozen=True, slots=True)
class NoteMade:
    """A calculation was finished; one with the same title replaces the earlier."""

    note: Note


@dataclass(frozen=True, slots=True)
class Undone:
    """The last `count` facts still standing no longer hold."""

    count: int


@dataclass(frozen=True, slots=True)
class ConfirmedByIndex:
    """A gap confirmed in a record of version 1, which kept no set-out: it follows from the job at the moment it is first needed."""

    index: int


@dataclass(frozen=True, slots=True)
class CalledByIndex:
    """A mark called in a record of version 1: places in the lists of bays and rails."""

    bay: int
    rail: int
    mark: int


Fact: TypeAlias = (
    SettingsChanged
    | DraftChanged
    | BaySet
    | BayRemoved
    | BayChosen
    | SetOutConfirmed
    | PicketSlipped
    | BayReopened
    | CautionAcknowledged
    | MarkCalled
    | PostsSet
    | BoardsSet
    | RunMeasured
    | HeardUnsure
    | NoteMade
    | Undone
    | ConfirmedByIndex
    | CalledByIndex
)

Called: TypeAlias = tuple[tuple[str, int], ...]
"""Marks called, (rail, number), in the order they were first called."""


@dataclass(frozen=True, slots=True)
class Standing:
    """A bay that is set out."""

    set_out: SetOut
    confirmed: bool = True
    """False from a slip until its new gap is confirmed."""
    called: Called = ()


@dataclass(frozen=True, slots=True)
class Job:
    """Everything known of a job at one moment."""

    settings: Settings = field(default_factory=Settings)
    bays: tuple[Bay, ...] = ()
    current: int = 0
    """Index of the bay being talked about."""
    chosen: int | None = None
    """Number of the bay that the user named to be marked next, until it is marked."""
    draft: Draft | None = None
    standing: tuple[tuple[int, Standing], ...] = ()
    """(number, what was confirmed) of each bay that is set out."""
    former: tuple[tuple[int, Standing], ...] = ()
    """The same of bays that were opened again, until they are set out anew."""
    by_index: frozenset[int] = frozenset()
    """Indexes of bays confirmed in a record of version 1 and not set out yet."""
    called_by_index: tuple[tuple[int, int, int], ...] = ()
    """(number of the bay, place of the rail, mark) of marks called for those."""
    cautions: tuple[str, ...] = ()
    """Cautions acknowledged, in order."""
    position: Position | None = None
    notes: tuple[Note, ...] = ()
    posts: Posts | None = None
    boards: Boards | None = None
    """The boards that overlap, as they were last set out."""
    runs: tuple[RunCheck, ...] = ()
    """Measures from post to post, the latest last."""
    unsure: tuple[tuple[int, str], ...] = ()
    """(number of a bay, rail) of openings that were asked about before they were taken, or corrected."""

    @property
    def next_number(self) -> int:
        """The number the next bay gets: one past the highest so far."""
        return max((bay.number for bay in self.bays), default=0) + 1

    def standing_of(self, number: int) -> Standing | None:
        """What was confirmed of a bay, by its number."""
        return dict(self.standing).get(number)

    def index_of(self, number: int) -> int | None:
        """The place of a bay in the list, by its number."""
        return next((index for index, bay in enumerate(self.bays) if bay.number == number), None)
