"""What happened in a job, in a builder's words, and how far it has come.

Crosses the border: the facts of a job in their order in, short sentences out; when each happened is known to the caller.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from assistant.fold import replay
from assistant.job import (
    BayRemoved,
    BayReopened,
    BaySet,
    BoardsSet,
    CautionAcknowledged,
    Fact,
    Job,
    MarkCalled,
    NoteMade,
    PicketSlipped,
    Position,
    PostsSet,
    RunMeasured,
    SetOutConfirmed,
    SettingsChanged,
    Undone,
)
from assistant.measured import Bay
from assistant.paper.figures import in_figures
from assistant.set_out import SetOut
from assistant.setout.lengths import Unit
from assistant.written import counted, length_text, limit_text, measured_text


@dataclass(frozen=True, slots=True)
class Happening:
    """Something that happened: from which fact to which, by their places, and what."""

    first: int
    last: int
    text: str


def happenings(facts: Sequence[Fact]) -> tuple[Happening, ...]:
    """What happened, in order; marks called one behind the other on a rail are one happening, and steps of the talk are none."""
    found: list[Happening] = []
    began: Position | None = None
    unit = Unit.MM
    for place, fact in enumerate(facts):
        if isinstance(fact, SettingsChanged):
            unit = fact.settings.unit
        text, first = _text(facts, place, unit), place
        if isinstance(fact, MarkCalled):
            here = fact.position
            if began is not None and (began.bay, began.rail) == (here.bay, here.rail) and found[-1].last == place - 1:
                first = found.pop().first
            else:
                began = here
            text = _marks(began, here)
        else:
            began = None
        if text:
            found.append(Happening(first, place, text))
    return tuple(found)


def how_far(job: Job) -> str:
    """“2 bays, 1 with its gap confirmed, 7 of 22 marks called, the last: bay 1, bottom rail, mark 7”."""
    parts = [counted(len(job.bays), "bay")]
    if job.bays:
        confirmed = [standing for _, standing in job.standing if standing.confirmed]
        parts.append(f"{len(confirmed) + len(job.by_index)} with the gap confirmed")
    marks = sum(len(rail.marks) for _, standing in job.standing for rail in standing.set_out.rails)
    if marks:
        parts.append(f"{sum(len(standing.called) for _, standing in job.standing)} of {counted(marks, 'mark')} called")
    if job.position is not None:
        parts.append(f"the last: bay {job.position.bay}, {_rail(job.position.rail)}, mark {job.position.mark}")
    return ", ".join(parts)


def confirmations(facts: Sequence[Fact]) -> dict[int, int]:
    """Which fact, by its place, confirmed the gap of each bay, by its number, as it stands at the end."""
    found: dict[int, int] = {}
    for place in standing_places(facts):
        match facts[place]:
            case SetOutConfirmed(number, _):
                found[number] = place
            case PicketSlipped(number, _, _) | BayReopened(number):
                found.pop(number, None)
            case BaySet(_, bay):
                found.pop(bay.number, None)
    return found


def changes(facts: Sequence[Fact]) -> tuple[tuple[int, int, str], ...]:
    """(number of a bay, place of the fact, what it changed) for what still stands, in order: measured again, opened again, slipped."""
    found = []
    before: dict[int, Bay] = {}
    unit = Unit.MM
    for place in standing_places(facts):
        match facts[place]:
            case SettingsChanged(settings):
                unit = settings.unit
            case BaySet(_, bay):
                if bay.number in before:
                    found += [(bay.number, place, text) for text in _differences(before[bay.number], bay, unit)]
                before[bay.number] = bay
            case BayReopened(number):
                found.append((number, place, "opened again"))
            case PicketSlipped(number, slip, made):
                at = " and ".join(f"{measured_text(made.unit, length)} on the {_rail(name)}" for name, length in slip.places)
                found.append((number, place, f"picket {slip.picket} slipped, fixed at {at}"))
    return tuple(found)


def standing_places(facts: Sequence[Fact]) -> list[int]:
    """The places of the facts that still hold once every undoing is carried out."""
    kept: list[int] = []
    for place, fact in enumerate(facts):
        if isinstance(fact, Undone):
            del kept[max(0, len(kept) - fact.count) :]
        else:
            kept.append(place)
    return kept


def _differences(before: Bay, after: Bay, unit: Unit) -> list[str]:
    """What is measured or asked otherwise than it was."""
    old = dict(before.openings)
    found = [
        f"{name} opening {measured_text(unit, opening)}, before {measured_text(unit, old[name])}"
        for name, opening in after.openings
        if old.get(name, opening) != opening
    ]
    if after.picket != before.picket:
        found.append(f"picket width {measured_text(unit, after.picket)}, before {measured_text(unit, before.picket)}")
    if after.limit != before.limit:
        found.append(f"gap {limit_text(unit, after.limit)}, before {limit_text(unit, before.limit)}")
    if after.count != before.count:
        found.append("number of pickets chosen anew")
    return found


def _text(facts: Sequence[Fact], place: int, unit: Unit) -> str:
    """What one fact says; empty for a step of the talk that changed nothing on the fence."""
    match facts[place]:
        case BaySet(_, bay):
            openings = ", ".join(f"{name} {measured_text(unit, opening)}" for name, opening in bay.openings)
            return f"{bay.name.capitalize()} measured: {openings}"
        case BayRemoved(index):
            return f"{replay(facts[:place]).bays[index].name.capitalize()} taken away"
        case SetOutConfirmed(_, made):
            return f"{made.bay.name.capitalize()}: gap {_gaps(made)} confirmed, {counted(made.pickets, 'picket')}"
        case PicketSlipped(_, slip, made):
            return f"{made.bay.name.capitalize()}: picket {slip.picket} slipped, the gap behind it is now {_gaps(made)}"
        case BayReopened(number):
            return f"Bay {number} opened again"
        case CautionAcknowledged(caution):
            return f"Caution before {caution} understood" if caution != "limits" else "Caution about limits understood"
        case NoteMade(note):
            return f"Kept for the sheet: {in_figures(note.title)}"
        case PostsSet(posts):
            return f"Posts set out over {measured_text(unit, posts.run)}"
        case BoardsSet(boards):
            return f"Boards that overlap set out over {measured_text(unit, boards.opening)}"
        case RunMeasured(check):
            return f"Tape over the posts: {measured_text(unit, check.measured)}"
        case Undone():
            return "The last step taken back"
    return ""


def _gaps(made: SetOut) -> str:
    return " and ".join(dict.fromkeys(length_text(made.unit, rail.gap) for rail in made.rails))


def _marks(first: Position, last: Position) -> str:
    marks = f"mark {last.mark}" if first.mark == last.mark else f"marks {first.mark} to {last.mark}"
    return f"Bay {last.bay}, {_rail(last.rail)}: {marks} called"


def _rail(name: str) -> str:
    """As `rail_name` has it, by the name alone."""
    return name if "leaf" in name else f"{name} rail"
