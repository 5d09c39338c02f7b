"""From the confirmed gap to the last mark: the confirmation, the caution, and the marks one at a time."""

from __future__ import annotations

from dataclasses import replace

from assistant.dialogue.asking import gap_question, question
from assistant.dialogue.cautions import NAILING
from assistant.dialogue.speaking import bay_name, counted, gap_value, mark_words, sentence, spoken
from assistant.dialogue.state import Cautioning, ConfirmingGap, Hub, Walking
from assistant.dialogue.turn import Turn
from assistant.job import BayChosen, CautionAcknowledged, GapConfirmed, MarkCalled, Position
from assistant.numbers import say_count
from assistant.plan import BayPlan, RailPlan, plan_bay
from assistant.setout.lengths import Length


def start(turn: Turn) -> None:
    """Towards the marks of the current bay: where they were left, or from the first."""
    job = turn.job
    if not job.bays:
        turn.say("There is no bay yet.", question(turn.state))
        return
    index, at = job.current, job.position
    rails = plan_bay(job, index).rails
    if at is None or at.bay != index or at.rail >= len(rails) or at.mark > len(rails[at.rail].marks):
        at = Position(index, 0, 0)
    if index not in job.confirmed:
        turn.focus(ConfirmingGap())
        turn.say(gap_question(turn.state))
    elif NAILING.key not in turn.state.cautioned:
        turn.focus(Cautioning(NAILING, Walking()))
        turn.say(NAILING.spoken, "When that is done, say: understood. After that, next gives each mark in turn.")
    else:
        turn.focus(Walking())
        call(turn, replace(at, mark=max(at.mark, 1)), lead=True)


def resume(turn: Turn) -> None:
    """On with the marks where they were left, through whatever has to be said first."""
    at = turn.job.position
    assert at is not None
    if turn.job.current != at.bay:
        turn.fact(BayChosen(at.bay))
    start(turn)


def confirm_gap(turn: Turn, said: Length | None = None) -> None:
    """The gap was confirmed, by word or by saying it back."""
    plan = plan_bay(turn.job, turn.job.current)
    if said is not None:
        close = turn.settings.resolution.step
        if all(abs(said - rail.gap) > close for rail in plan.rails):
            turn.say(f"I heard {spoken(turn.settings, said)}. That is not the gap.", gap_question(turn.state))
            return
    turn.fact(GapConfirmed(turn.job.current))
    turn.say("Gap confirmed.")
    start(turn)


def acknowledge(turn: Turn, cautioning: Cautioning) -> None:
    """A caution was understood; on with what it was for."""
    key = cautioning.caution.key
    turn.fact(CautionAcknowledged(key))
    turn.note(cautioned=turn.state.cautioned | {key})
    turn.focus(cautioning.then)
    if isinstance(cautioning.then, Walking):
        start(turn)
    else:
        turn.say(question(turn.state) or "Good.")


def call(turn: Turn, at: Position, *, lead: bool = False) -> None:
    """Record where we are, then speak the mark."""
    turn.fact(MarkCalled(at))
    turn.say(mark_text(turn, at, lead=lead))


def mark_text(turn: Turn, at: Position, *, lead: bool = False) -> str:
    """The mark at a position; `lead` also says bay, rail, post and edge."""
    settings = turn.settings
    plan = plan_bay(turn.job, at.bay)
    rail = plan.rails[at.rail]
    mark = rail.marks[at.mark - 1]
    number = mark_words(settings, mark.value)
    named = (settings.full and turn.state.pace is None) or lead
    text = f"Mark {say_count(at.mark)}: {number}" if named else number
    if at.mark == len(rail.marks):
        text += ", last one"
    if lead:
        side = settings.origin.value
        place = f"{rail.rail} rail, from the {side}" if plan.gate is None else f"{rail.rail}, from its {side.removesuffix(' post')} end"
        where = f"{bay_name(plan.bay)}, {place}, {settings.edge.value}s"
        return f"{sentence(where)} {sentence(text)}"
    return sentence(text)


def step_mark(turn: Turn, by: int) -> None:
    """One mark on or back, over the ends of rails."""
    at = turn.job.position
    assert at is not None
    plan = plan_bay(turn.job, at.bay)
    rail = plan.rails[at.rail]
    if 1 <= at.mark + by <= len(rail.marks):
        call(turn, replace(at, mark=at.mark + by))
        return
    others = range(at.rail + 1, len(plan.rails)) if by > 0 else range(at.rail - 1, -1, -1)
    for other in others:
        if values(plan.rails[other]) != values(rail):
            mark = 1 if by > 0 else len(plan.rails[other].marks)
            call(turn, Position(at.bay, other, mark), lead=True)
            return
    if by < 0:
        turn.say("That is the first mark.", mark_text(turn, at))
    else:
        finish_bay(turn, plan)


def values(rail: RailPlan) -> tuple[Length, ...]:
    """What is spoken for a rail, mark by mark."""
    return tuple(mark.value for mark in rail.marks)


def finish_bay(turn: Turn, plan: BayPlan) -> None:
    """After the last mark: what holds for the other rails, and on to the next bay."""
    job = turn.job
    if plan.plumb is not None and len(plan.rails) == 1:
        turn.say("Plumb every picket from this rail.")
    elif len(plan.rails) > 1 and len({values(rail) for rail in plan.rails}) == 1:
        turn.say("The other rails have the same marks.")
    turn.say(sentence(f"{bay_name(plan.bay)} is marked"))
    turn.focus(Hub())
    turn.note(pace=None)
    following = job.current + 1
    if following < len(job.bays):
        turn.fact(BayChosen(following))
        turn.say(f"For {bay_name(job.bays[following])}, say: start marking.")
    else:
        turn.say("That was the last bay. Check it over before you nail, and keep the caution in mind.")


def go_to(turn: Turn, mark: int | None) -> None:
    """Any mark of this rail by its number."""
    at = turn.job.position
    assert at is not None and mark is not None
    total = len(plan_bay(turn.job, at.bay).rails[at.rail].marks)
    if not 1 <= mark <= total:
        turn.say(f"There is no mark {say_count(mark)}. This rail has {counted(total, 'mark')}.")
        return
    call(turn, replace(at, mark=mark))


def go_to_rail(turn: Turn, name: str | None) -> None:
    """The first mark of a rail by its name; None takes the rail after this one, round and round."""
    at = turn.job.position
    assert at is not None
    rails = [rail.rail for rail in plan_bay(turn.job, at.bay).rails]
    if name is not None and name not in rails:
        turn.say(f"This bay has no {name} rail. It has {' and '.join(rails)}.")
        return
    index = (at.rail + 1) % len(rails) if name is None else rails.index(name)
    call(turn, Position(at.bay, index, 1), lead=True)


def how_many_left(turn: Turn) -> None:
    """Marks still to come on this rail."""
    at = turn.job.position
    assert at is not None
    total = len(plan_bay(turn.job, at.bay).rails[at.rail].marks)
    left = total - at.mark
    turn.say("None left on this rail." if left == 0 else f"{counted(left, 'mark')} left on this rail.".capitalize())


def where(turn: Turn) -> None:
    """Bay, rail and mark."""
    at = turn.job.position
    assert at is not None
    turn.say(mark_text(turn, at, lead=True))


def gap_of_current(turn: Turn) -> None:
    """The gap alone."""
    job = turn.job
    if not job.bays:
        turn.say("There is no bay yet.")
        return
    plan = plan_bay(job, job.current)
    told = {gap_value(turn.settings, rail.gap): f"{spoken(turn.settings, rail.gap)}" for rail in plan.rails}
    turn.say(sentence(f"{bay_name(plan.bay)}: gap {', '.join(told.values())}"))
