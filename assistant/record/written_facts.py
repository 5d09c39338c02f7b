"""The written form of facts: exact, versioned, and strict about what it reads.

Crosses the border: a `Fact` in, JSON text out, and back.  Fractions are written as "p/q", enums by name; whatever is
not exactly a fact of a known version is a RecordError.  One model stands for each core value, written out by hand, so
that no change of the core can change the files unseen.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import fields
from enum import Enum
from fractions import Fraction
from typing import Annotated, Any, ClassVar, Literal, TypeVar, cast

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, PlainSerializer, ValidationError

from assistant import job, measured, set_out
from assistant.errors import RecordError
from assistant.job import Fact
from assistant.numbers import styles
from assistant.record.migrations import SCHEMA_VERSION, migrate
from assistant.setout import ends, gate, lapped, limits, marks, posts, run, slope, spacing, taper
from assistant.setout.lengths import Resolution, Unit

_WRITTEN_FRACTION = re.compile(r"-?[0-9]+/0*[1-9][0-9]*")
_EnumT = TypeVar("_EnumT", bound=Enum)


def _fraction(value: object) -> Fraction:
    if isinstance(value, Fraction):
        return value
    if isinstance(value, str) and _WRITTEN_FRACTION.fullmatch(value):
        return Fraction(value)
    raise ValueError('a length is written as "p/q"')


def written(value: Fraction) -> str:
    """The exact value as "p/q"."""
    return f"{value.numerator}/{value.denominator}"


def _named(kind: type[_EnumT]) -> Callable[[object], _EnumT]:
    def read(value: object) -> _EnumT:
        if isinstance(value, kind):
            return value
        if isinstance(value, str) and value in kind.__members__:
            return kind[value]
        raise ValueError(f"not the name of a {kind.__name__}")

    return read


_BY_NAME = PlainSerializer(lambda member: member.name, return_type=str)

Exact = Annotated[Fraction, BeforeValidator(_fraction), PlainSerializer(written, return_type=str)]
UnitName = Annotated[Unit, BeforeValidator(_named(Unit)), _BY_NAME]
ResolutionName = Annotated[Resolution, BeforeValidator(_named(Resolution)), _BY_NAME]
EdgeName = Annotated[marks.Edge, BeforeValidator(_named(marks.Edge)), _BY_NAME]
OriginName = Annotated[marks.Origin, BeforeValidator(_named(marks.Origin)), _BY_NAME]
EndKindName = Annotated[ends.EndKind, BeforeValidator(_named(ends.EndKind)), _BY_NAME]
NumberStyleName = Annotated[styles.NumberStyle, BeforeValidator(_named(styles.NumberStyle)), _BY_NAME]
LeanName = Annotated[taper.Lean, BeforeValidator(_named(taper.Lean)), _BY_NAME]
SideName = Annotated[measured.Side, BeforeValidator(_named(measured.Side)), _BY_NAME]
SlopeName = Annotated[measured.Slope, BeforeValidator(_named(measured.Slope)), _BY_NAME]
BetweenName = Annotated[posts.Between, BeforeValidator(_named(posts.Between)), _BY_NAME]
LikenessName = Annotated[run.Likeness, BeforeValidator(_named(run.Likeness)), _BY_NAME]


class Value(BaseModel):
    """A core value as it is written; `core` is the class it stands for."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, from_attributes=True, arbitrary_types_allowed=True)
    core: ClassVar[type[Any]]

    def to_core(self) -> Any:
        """The core value."""
        return self.core(**{field.name: _plain(getattr(self, field.name)) for field in fields(self.core)})


def _plain(value: object) -> object:
    if isinstance(value, Value):
        return value.to_core()
    if isinstance(value, tuple):
        return tuple(_plain(item) for item in value)
    return value


# Values inside facts --------------------------------------------------------------------------------------------------


class GapLimit(Value):
    core = limits.GapLimit
    value: Exact
    strict: bool
    name: str
    source: str


class End(Value):
    core = ends.End
    kind: EndKindName
    fixed: Exact


class Settings(Value):
    core = job.Settings
    unit: UnitName
    resolution: ResolutionName
    picket: Exact | None
    limit: GapLimit | None
    left: End
    right: End
    edge: EdgeName
    origin: OriginName
    share_lean: bool
    likeness: LikenessName
    full: bool
    numbers: NumberStyleName
    headset: bool


class Gate(Value):
    core = measured.Gate
    hinge: Exact
    latch: Exact
    leaves: int
    meeting: Exact
    hinges: SideName | None = None


class Slip(Value):
    core = measured.Slip
    picket: int
    places: tuple[tuple[str, Exact], ...]


class Bay(Value):
    core = measured.Bay
    number: int
    openings: tuple[tuple[str, Exact], ...]
    picket: Exact
    limit: GapLimit
    count: int | None
    gate: Gate | None
    slope: SlopeName | None
    rise: Exact
    going: Exact
    slip: Slip | None
    leans: LeanName | None
    along: Exact | None
    under: Exact | None = None


class Draft(Value):
    core = job.Draft
    form: str
    answers: tuple[tuple[str, Exact], ...]
    bay: int | None
    gate_next: bool


class Position(Value):
    core = job.Position
    bay: int
    rail: str
    mark: int


class Note(Value):
    core = job.Note
    title: str
    lines: tuple[str, ...]


class Mark(Value):
    core = marks.Mark
    index: int
    steps: int
    resolution: ResolutionName
    numerator: int
    denominator: Annotated[int, Field(gt=0)]


class Steepness(Value):
    core = slope.Slope
    factor_squared: Exact


class RakedMark(Value):
    core = slope.RakedMark
    index: int
    horizontal: Exact
    slope: Steepness
    steps: int
    resolution: ResolutionName


class Opening(Value):
    core = spacing.Bay
    opening: Exact
    picket: Exact
    limit: GapLimit
    left: End
    right: End


class Layout(Value):
    core = spacing.Layout
    bay: Opening
    count: int
    gap: Exact


class Rail(Value):
    core = set_out.Rail
    name: str
    layout: Layout
    spaces: tuple[Exact, ...]
    marks: tuple[Mark | RakedMark, ...]
    gap: Exact


class GateOpening(Value):
    core = gate.GateOpening
    opening: Exact
    hinge: Exact
    latch: Exact
    leaves: int


class HungGate(Value):
    core = gate.Gate
    opening: GateOpening
    layout: Layout
    fence_gap: Exact


class SetOut(Value):
    core = set_out.SetOut
    bay: Bay
    rails: tuple[Rail, ...]
    edge: EdgeName
    origin: OriginName
    resolution: ResolutionName
    unit: UnitName
    plumb: bool
    unmarked: tuple[Rail, ...]
    gate: HungGate | None
    slips: tuple[Slip, ...]


# Facts ----------------------------------------------------------------------------------------------------------------


class SettingsChanged(Value):
    core = job.SettingsChanged
    kind: Literal["settings_changed"] = "settings_changed"
    settings: Settings


class DraftChanged(Value):
    core = job.DraftChanged
    kind: Literal["draft_changed"] = "draft_changed"
    draft: Draft | None


class BaySet(Value):
    core = job.BaySet
    kind: Literal["bay_set"] = "bay_set"
    index: int
    bay: Bay


class BayRemoved(Value):
    core = job.BayRemoved
    kind: Literal["bay_removed"] = "bay_removed"
    index: int


class BayChosen(Value):
    core = job.BayChosen
    kind: Literal["bay_chosen"] = "bay_chosen"
    index: int
    named: bool


class SetOutConfirmed(Value):
    core = job.SetOutConfirmed
    kind: Literal["set_out_confirmed"] = "set_out_confirmed"
    number: int
    set_out: SetOut


class PicketSlipped(Value):
    core = job.PicketSlipped
    kind: Literal["picket_slipped"] = "picket_slipped"
    number: int
    slip: Slip
    set_out: SetOut


class BayReopened(Value):
    core = job.BayReopened
    kind: Literal["bay_reopened"] = "bay_reopened"
    number: int


class ConfirmedByIndex(Value):
    core = job.ConfirmedByIndex
    kind: Literal["confirmed_by_index"] = "confirmed_by_index"
    index: int


class CalledByIndex(Value):
    core = job.CalledByIndex
    kind: Literal["called_by_index"] = "called_by_index"
    bay: int
    rail: int
    mark: int


class CautionAcknowledged(Value):
    core = job.CautionAcknowledged
    kind: Literal["caution_acknowledged"] = "caution_acknowledged"
    caution: str


class MarkCalled(Value):
    core = job.MarkCalled
    kind: Literal["mark_called"] = "mark_called"
    position: Position


class RunGate(Value):
    core = posts.RunGate
    start: Exact
    opening: Exact


class Posts(Value):
    core = posts.Posts
    run: Exact
    post: Exact
    opening: Exact
    end_post: Exact | None = None
    between: BetweenName = posts.Between.OUTER_FACES
    by_centres: bool = False
    rest: bool = False
    gates: tuple[RunGate, ...] = ()


class Boards(Value):
    core = lapped.Boards
    opening: Exact
    board: Exact
    overlap: Exact


class BoardsSet(Value):
    core = job.BoardsSet
    kind: Literal["boards_set"] = "boards_set"
    boards: Boards


class PostsSet(Value):
    core = job.PostsSet
    kind: Literal["posts_set"] = "posts_set"
    posts: Posts


class RunCheck(Value):
    core = job.RunCheck
    first: int
    last: int | None
    between: BetweenName
    measured: Exact
    post: Exact


class RunMeasured(Value):
    core = job.RunMeasured
    kind: Literal["run_measured"] = "run_measured"
    check: RunCheck


class HeardUnsure(Value):
    core = job.HeardUnsure
    kind: Literal["heard_unsure"] = "heard_unsure"
    number: int
    rail: str


class NoteMade(Value):
    core = job.NoteMade
    kind: Literal["note_made"] = "note_made"
    note: Note


class Undone(Value):
    core = job.Undone
    kind: Literal["undone"] = "undone"
    count: int


FactModel = Annotated[
    SettingsChanged
    | DraftChanged
    | BaySet
    | BayRemoved
    | BayChosen
    | SetOutConfirmed
    | PicketSlipped
    | BayReopened
    | ConfirmedByIndex
    | CalledByIndex
    | CautionAcknowledged
    | MarkCalled
    | PostsSet
    | BoardsSet
    | RunMeasured
    | HeardUnsure
    | NoteMade
    | Undone,
    Field(discriminator="kind"),
]

VALUES: tuple[type[Value], ...] = tuple(Value.__subclasses__())
"""Every model, one for each core value."""

_MODEL_OF: dict[type[Any], type[Value]] = {model.core: model for model in VALUES}


class WrittenFact(BaseModel):
    """A fact with the version of its written form."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)
    schema_version: Literal[2] = SCHEMA_VERSION
    turn: int | None = None
    """Number of the row that began the turn it was accepted in: what is undone together; version 1 did not say."""
    fact: FactModel


def values(core: object) -> dict[str, Any]:
    """A value of the core as plain JSON values, as it is written inside a fact."""
    return _MODEL_OF[type(core)].model_validate(core).model_dump(mode="json")


def to_json(fact: Fact, turn: int | None = None) -> str:
    """The fact as JSON text of the current version."""
    model = _MODEL_OF[type(fact)].model_validate(fact)
    return WrittenFact.model_construct(turn=turn, fact=cast(Any, model)).model_dump_json()


def from_json(text: str) -> Fact:
    """The fact that JSON text of any known version describes.  Raises RecordError for anything else."""
    return read_json(text)[0]


def read_json(text: str) -> tuple[Fact, int | None]:
    """The fact, and the turn that it was accepted in where the record says so.  Raises RecordError."""
    try:
        written_fact = json.loads(text)
        version = written_fact["schema_version"]
        if version != SCHEMA_VERSION:
            written_fact = {"schema_version": SCHEMA_VERSION, "fact": migrate(written_fact["fact"], version)}
            text = json.dumps(written_fact)
        found = WrittenFact.model_validate_json(text)
        return cast(Fact, found.fact.to_core()), found.turn
    except (ValidationError, ValueError, KeyError, TypeError, RecursionError) as error:
        raise RecordError("This record holds an entry that is not a fact of a job.") from error
