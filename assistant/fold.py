"""A job as a fold over the facts that were accepted.

Pure.  `apply` is the only place where facts change a job; replaying the record therefore rebuilds the job exactly.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from assistant.job import (
    BayChosen,
    BayRemoved,
    BayReopened,
    BaySet,
    BoardsSet,
    CalledByIndex,
    CautionAcknowledged,
    ConfirmedByIndex,
    DraftChanged,
    Fact,
    HeardUnsure,
    Job,
    MarkCalled,
    NoteMade,
    PicketSlipped,
    Position,
    PostsSet,
    RunMeasured,
    SetOutConfirmed,
    SettingsChanged,
    Standing,
    Undone,
)
from assistant.measured import Slip
from assistant.set_out import SetOut

_KEPT_BY_INDEX = ("left", "right", "share_lean", "likeness")
"""Settings whose change took the confirmations of a record of version 1 away."""


def apply(job: Job, fact: Fact) -> Job:
    """The job after one fact.  Raises ValueError for `Undone`, which only `replay` can carry out."""
    match fact:
        case SettingsChanged(settings):
            changed = any(getattr(settings, name) != getattr(job.settings, name) for name in _KEPT_BY_INDEX)
            return replace(job, settings=settings, by_index=frozenset() if changed else job.by_index)
        case DraftChanged(draft):
            return replace(job, draft=draft)
        case BaySet(index, bay):
            bays = (*job.bays[:index], bay, *job.bays[index + 1 :])
            return replace(_without(job, bay.number), bays=bays, current=index, by_index=job.by_index - {index})
        case BayRemoved(index):
            return _removed(job, index)
        case BayChosen(index, named):
            return replace(job, current=index, chosen=job.bays[index].number if named else job.chosen)
        case SetOutConfirmed(number, set_out):
            return _confirmed(job, number, set_out)
        case PicketSlipped(number, slip, set_out):
            return _slipped(job, number, slip, Standing(set_out, confirmed=False))
        case BayReopened(number):
            before = job.standing_of(number)
            opened = _without(job, number)
            return opened if before is None else replace(opened, former=_put(job.former, number, before))
        case CautionAcknowledged(caution):
            return replace(job, cautions=(*job.cautions, caution))
        case MarkCalled(position):
            return _called(job, position)
        case PostsSet(posts):
            return replace(job, posts=posts)
        case BoardsSet(boards):
            return replace(job, boards=boards)
        case RunMeasured(check):
            earlier = tuple(run for run in job.runs if (run.first, run.last) != (check.first, check.last))
            return replace(job, runs=(*earlier, check))
        case HeardUnsure(number, rail):
            return replace(job, unsure=(*(row for row in job.unsure if row != (number, rail)), (number, rail)))
        case NoteMade(note):
            others = tuple(other for other in job.notes if other.title != note.title)
            return replace(job, notes=(*others, note))
        case ConfirmedByIndex(index):
            return replace(job, by_index=job.by_index | {index})
        case CalledByIndex(bay, rail, mark):
            made = replace(job, current=bay)
            if bay < len(job.bays) and mark:
                called = (*job.called_by_index, (job.bays[bay].number, rail, mark))
                made = replace(made, called_by_index=called)
            return made
        case Undone():
            raise ValueError("an undoing is carried out by replay")


_Table = tuple[tuple[int, Standing], ...]


def _put(table: _Table, number: int, standing: Standing) -> _Table:
    return (*(row for row in table if row[0] != number), (number, standing))


def _drop(table: _Table, number: int) -> _Table:
    return tuple(row for row in table if row[0] != number)


def _without(job: Job, number: int) -> Job:
    """The job with a bay that is not set out (any more)."""
    at = job.position
    return replace(
        job,
        standing=_drop(job.standing, number),
        position=None if at is not None and at.bay == number else at,
        called_by_index=tuple(row for row in job.called_by_index if row[0] != number),
    )


def _removed(job: Job, index: int) -> Job:
    number = job.bays[index].number
    bays = job.bays[:index] + job.bays[index + 1 :]
    current = job.current - (job.current > index)
    return replace(
        _without(job, number),
        bays=bays,
        current=max(0, min(current, len(bays) - 1)),
        chosen=None if job.chosen == number else job.chosen,
        former=_drop(job.former, number),
        unsure=tuple(row for row in job.unsure if row[0] != number),
        by_index=frozenset(i - (i > index) for i in job.by_index if i != index),
    )


def _confirmed(job: Job, number: int, set_out: SetOut) -> Job:
    index = job.index_of(number)
    before = job.standing_of(number)
    called = before.called if before is not None else ()
    standing = Standing(set_out, called=called)
    return replace(
        job,
        standing=_put(job.standing, number, standing),
        former=_drop(job.former, number),
        current=job.current if index is None else index,
        by_index=job.by_index - {index} if index is not None else job.by_index,
    )


def _slipped(job: Job, number: int, slip: Slip, after: Standing) -> Job:
    """Marks that still stand where they were called stay called, and so does the picket that is fixed."""
    before = job.standing_of(number)
    kept = []
    for name, mark in before.called if before is not None else ():
        assert before is not None
        old, new = before.set_out.rail(name), after.set_out.rail(name)
        if old and new and mark <= len(new.marks) and old.marks[mark - 1].value == new.marks[mark - 1].value:
            kept.append((name, mark))
    fixed = {name for name, _ in slip.places}
    for rail in after.set_out.rails:
        if rail.name in fixed and (rail.name, slip.picket) not in kept:
            kept.append((rail.name, slip.picket))
    at = job.position
    return replace(
        job,
        standing=_put(job.standing, number, replace(after, called=tuple(kept))),
        position=None if at is not None and at.bay == number else at,
    )


def _called(job: Job, position: Position) -> Job:
    index = job.index_of(position.bay)
    standing = job.standing_of(position.bay)
    made = replace(job, position=position, current=job.current if index is None else index)
    if standing is None or (position.rail, position.mark) in standing.called:
        return made
    called = (*standing.called, (position.rail, position.mark))
    return replace(made, standing=_put(job.standing, position.bay, replace(standing, called=called)))


def standing_turns(groups: Iterable[Sequence[Fact]]) -> list[tuple[Fact, ...]]:
    """The facts that still hold once every undoing is carried out, in the groups they were accepted in; none is empty."""
    kept: list[list[Fact]] = []
    for group in groups:
        kept.append([])
        for fact in group:
            if isinstance(fact, Undone):
                _take_off(kept, fact.count)
            else:
                kept[-1].append(fact)
    return [tuple(group) for group in kept if group]


def _take_off(kept: list[list[Fact]], count: int) -> None:
    for group in reversed(kept):
        taken = min(count, len(group))
        del group[len(group) - taken :]
        count -= taken
        if not count:
            return


def standing(facts: Iterable[Fact]) -> list[Fact]:
    """The facts that still hold once every undoing is carried out."""
    return [fact for group in standing_turns([tuple(facts)]) for fact in group]


def replay(facts: Iterable[Fact]) -> Job:
    """The job that a record of facts describes."""
    job = Job()
    for fact in standing(facts):
        job = apply(job, fact)
    return job
