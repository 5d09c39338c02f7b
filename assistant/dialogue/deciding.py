"""What a yes or a no is asked for, in words: taking a bay away, opening one again, matching, a slip on the other rails."""

from __future__ import annotations

from assistant.dialogue.speaking import bay_name, counted, gap_value, sentence, spoken
from assistant.dialogue.state import Deciding, Decision
from assistant.job import Job, Standing
from assistant.plan import as_reopened, matching
from assistant.set_out import Moves, moves
from assistant.setout.run import Matched
from assistant.setout.trouble import ImpossibleError


def decision_question(job: Job, focus: Deciding) -> str:
    """The question, with what hangs on it."""
    match focus.about:
        case Decision.REMOVE:
            return _remove(job, focus.bay)
        case Decision.REOPEN:
            return _reopen(job, focus.bay)
        case Decision.MATCH:
            return _match(job, focus)
        case Decision.SAME_SLIP:
            return "Is it off by the same on every rail? Yes or no."
        case Decision.TAPED_LEVEL:
            return _taped_level(job)
        case Decision.SUSPECT | Decision.FAR_POST:
            index = job.index_of(focus.bay)
            assert index is not None
            return f"Measure {bay_name(job.bays[index])} again? Yes or no."


def _taped_level(job: Job) -> str:
    bay = job.bays[job.current]
    opening = max(opening for _, opening in bay.openings)
    return f"Was the opening of {bay_name(bay)}, {spoken(job.settings, opening)}, taped level? Yes or no."


def _remove(job: Job, number: int) -> str:
    index, standing = job.index_of(number), job.standing_of(number)
    assert index is not None
    called = f" {_called(standing)}" if standing is not None and standing.called else ""
    return f"Remove {bay_name(job.bays[index])}?{called} Yes or no."


def _called(standing: Standing) -> str:
    number = len(standing.called)
    return f"{counted(number, 'mark')} of it {'is' if number == 1 else 'are'} called.".capitalize()


def _reopen(job: Job, number: int) -> str:
    index, standing = job.index_of(number), job.standing_of(number)
    assert index is not None and standing is not None
    name = bay_name(job.bays[index])
    told = would_move(job, standing, moved_if_reopened(job, number))
    return f"{sentence(f'{name} is set out')} {told} Open {name} again? Yes or no."


def would_move(job: Job, standing: Standing, found: Moves | None) -> str:
    """How many called marks move, and by how much at most; None where there is no telling."""
    if not standing.called:
        return "No mark of it is called yet."
    if found is None:
        return f"{_called(standing)} All of them may move."
    if not found.moved:
        return f"{_called(standing)} By the settings as they are, none of them moves."
    which = counted(found.moved, "mark")
    if not found.most:
        return f"{_called(standing)} By the settings as they are, {which} would have no place any more."
    most = spoken(job.settings, gap_value(job.settings, found.most))
    return f"{_called(standing)} By the settings as they are, {which} would move, by up to {most}."


def moved_if_reopened(job: Job, number: int) -> Moves | None:
    """What would become of the marks called of a bay that is set out, if it followed the settings again; None where it cannot."""
    index, standing = job.index_of(number), job.standing_of(number)
    assert index is not None and standing is not None
    try:
        made = as_reopened(job, index)
    except ImpossibleError:
        return None
    return moves(standing.set_out, standing.called, made)


def _match(job: Job, focus: Deciding) -> str:
    _, found = matching(job, focus.likeness)
    return f"{match_words(job, found)} Match them? Yes or no." if found is not None else "No bay is left to match."


def match_words(job: Job, found: Matched) -> str:
    """What likeness costs and brings."""
    settings = job.settings
    cost = f"{counted(found.extra, 'more picket')} in the run" if found.extra else "no more pickets"
    was = f"{spoken(settings, found.before_smallest)} to {spoken(settings, found.before_largest)}"
    now = f"{spoken(settings, found.smallest)} to {spoken(settings, found.largest)}"
    return f"That takes {cost}. Gaps from {now}. They were {was}."
