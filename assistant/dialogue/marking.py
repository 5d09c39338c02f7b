"""From the confirmed gap to the last mark: the confirmation, the caution, and the marks one at a time."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from assistant.dialogue.asking import gap_question
from assistant.dialogue.cautions import NAILING
from assistant.dialogue.speaking import bay_name, counted, gap_value, gaps, mark_words, rail_words, sentence, spoken
from assistant.dialogue.state import Cautioning, ConfirmingGap, Hub, Kind, Walking
from assistant.dialogue.subjects.far_post import to_far_post
from assistant.dialogue.turn import Turn
from assistant.events import CallEvery
from assistant.job import BayChosen, CautionAcknowledged, Job, MarkCalled, Position, SetOutConfirmed
from assistant.language.understanding import Intent
from assistant.numbers import say_count
from assistant.plan import Marking, marking, marking_at, next_to_mark, set_out_of, to_mark
from assistant.set_out import moves
from assistant.setout.lengths import Length


def start(turn: Turn, intent: Intent) -> None:
    """Towards the marks of the bay that is next, or of one by its number."""
    if not turn.job.bays:
        turn.say("There is no bay yet.")
        return
    index = next_to_mark(turn.job) if intent.count is None else turn.job.index_of(intent.count)
    if index is None and intent.count is not None:
        turn.say(sentence(f"there is no bay {say_count(intent.count)}"))
        return
    if index is None:
        turn.say("Every bay is marked. To mark one again, say: change bay, and its number.")
    else:
        to_bay(turn, index)


def to_bay(turn: Turn, index: int) -> None:
    """On to a bay: its gap confirmed, the caution acknowledged, then where its marks were left."""
    number = turn.job.bays[index].number
    if turn.job.current != index:
        turn.fact(BayChosen(index))
    standing = turn.job.standing_of(number)
    if standing is None or not standing.confirmed:
        turn.focus(ConfirmingGap())
        turn.say(gap_question(turn.state))
    elif NAILING.key not in turn.state.cautioned:
        turn.focus(Cautioning(NAILING, Walking()))
        turn.say(NAILING.spoken, "When that is done, say: understood. After that, next gives each mark in turn.")
    else:
        _walk(turn, index)


def _walk(turn: Turn, index: int) -> None:
    """The mark a bay was left at once more, else the first that was not called."""
    at, left = turn.job.position, to_mark(turn.job, index)
    if at is not None and at.bay == turn.job.bays[index].number:
        left = (at,)
    if left:
        turn.focus(Walking())
        call(turn, left[0], lead=True)
    else:
        finish_bay(turn, index)


def confirm_gap(turn: Turn, said: Length | None = None) -> None:
    """The gap was confirmed, by word or by saying it back: the bay is set out."""
    job = turn.job
    bay = job.bays[job.current]
    made = set_out_of(job, job.current)
    if said is not None and any(abs(said - rail.gap) > made.resolution.step for rail in made.rails):
        several = " Say: gap confirmed." if len({rail.gap for rail in made.rails}) > 1 else ""
        turn.say(f"I heard {spoken(turn.settings, said)}. That is not the gap.{several}", gap_question(turn.state))
        return
    former = dict(job.former).get(bay.number)
    turn.fact(SetOutConfirmed(bay.number, made))
    turn.say("Gap confirmed.")
    if former is not None and former.called:
        found = moves(former.set_out, former.called, made)
        by = f", by up to {spoken(turn.settings, gap_value(turn.settings, found.most))}" if found.most else ""
        told = f"{counted(found.moved, 'mark')} called before {'has' if found.moved == 1 else 'have'} moved{by}"
        turn.say(sentence(told if found.moved else "the marks called before stand where they were"), "Mark it from mark one.")
    to_bay(turn, job.current)


def say_gap_confirmed(turn: Turn, intent: Intent) -> None:
    """The gap was confirmed in words."""
    confirm_gap(turn)


def acknowledge(turn: Turn, intent: Intent) -> None:
    """A caution was understood; on with what it was for."""
    cautioning = turn.state.focus
    assert isinstance(cautioning, Cautioning)
    key = cautioning.caution.key
    turn.fact(CautionAcknowledged(key))
    turn.note(cautioned=turn.state.cautioned | {key})
    turn.focus(cautioning.then)
    if isinstance(cautioning.then, Walking):
        to_bay(turn, turn.job.current)
    else:
        turn.say("Good.")


def call(turn: Turn, at: Position, *, lead: bool = False) -> None:
    """Record where we are, then speak the mark."""
    turn.fact(MarkCalled(at))
    found = marking_at(turn.job, at)
    assert found is not None
    turn.say(mark_text(turn, found, lead=lead))


def mark_text(turn: Turn, at: Marking, *, lead: bool = False) -> str:
    """A mark; `lead` also says bay, rail, post and edge."""
    made, settings = at.set_out, turn.settings
    number = mark_words(settings, made.unit, at.rail.marks[at.mark - 1].value)
    named = (settings.full and turn.state.pace is None) or lead
    text = f"Mark {say_count(at.mark)}: {number}" if named else number
    left = ""
    if at.mark == len(at.rail.marks):
        text += ", last one"
        left = to_far_post(settings, at, asks=named)
    parts = [f"{bay_name(made.bay)}, {rail_words(made, at.rail)}"] if lead else []
    return " ".join(sentence(part) for part in (*parts, text, left) if part)


def at_mark(turn: Turn) -> Marking:
    """The mark being called; only while walking."""
    found = marking(turn.job)
    assert found is not None
    return found


def step(by: int) -> Callable[[Turn, Intent], None]:
    """One mark on or back, or so many, over the ends of rails, past what was called already on another rail."""

    def stepped(turn: Turn, intent: Intent) -> None:
        at, here = at_mark(turn), turn.job.position
        assert here is not None
        if intent.count is not None and intent.count > 1:  # “back two”: no further than the first mark of this rail
            call(turn, replace(here, mark=min(max(at.mark + by * intent.count, 1), len(at.rail.marks))))
        elif 1 <= at.mark + by <= len(at.rail.marks):
            call(turn, replace(here, mark=at.mark + by))
        elif by > 0:
            _past_the_last(turn, at)
        else:
            rails = at.set_out.rails
            place = rails.index(at.rail)
            before = next((rail for rail in rails[place - 1 :: -1] if rail.values() != at.rail.values()), None) if place else None
            if before is None:
                turn.say("That is the first mark.", mark_text(turn, at))
            else:
                call(turn, Position(here.bay, before.name, len(before.marks)), lead=True)

    return stepped


def _past_the_last(turn: Turn, at: Marking) -> None:
    left = to_mark(turn.job, at.index)
    rails = [rail.name for rail in at.set_out.rails]
    ahead = [one for one in left if rails.index(one.rail) > rails.index(at.rail.name)]
    if ahead:
        call(turn, ahead[0], lead=True)
    elif left:
        turn.say(f"{counted(len(left), 'mark')} of this bay {'is' if len(left) == 1 else 'are'} not called yet.".capitalize())
        call(turn, left[0], lead=True)
    else:
        finish_bay(turn, at.index)


def finish_bay(turn: Turn, index: int) -> None:
    """After the last mark: what holds for the other rails, and on to the next bay."""
    made = set_out_of(turn.job, index)
    if made.unmarked:
        turn.say("Plumb every picket from this rail.")
    elif len(made.rails) > 1 and len({rail.values() for rail in made.rails}) == 1:
        turn.say("The other rails have the same marks." if made.gate is None else "The other leaf has the same marks.")
    turn.say(sentence(f"{bay_name(made.bay)} is marked"))
    turn.focus(Hub())
    turn.note(pace=None, held=None)
    turn.effects.append(CallEvery(None))
    turn.asked = True
    following = next_to_mark(turn.job)
    if following is None:
        turn.say("That was the last bay. Check it over before you nail, and keep the caution in mind.")
        return
    turn.fact(BayChosen(following))
    turn.say(f"For {bay_name(turn.job.bays[following])}, say: start marking.")


_ASKS = frozenset(("what", "what's", "whats", "where", "where's", "wheres"))


def go_to(turn: Turn, intent: Intent) -> None:
    """To any mark of this rail by its number, or only what it is."""
    at, here = at_mark(turn), turn.job.position
    assert here is not None
    number = 1 if intent.count is None else intent.count  # “start again from the first”
    if 1 <= number <= len(at.rail.marks) and not _ASKS.isdisjoint(intent.words):  # who asks stays where he is
        turn.say(mark_text(turn, replace(at, mark=number)), sentence(f"you are at mark {say_count(at.mark)}"))
    elif 1 <= number <= len(at.rail.marks):
        call(turn, replace(here, mark=number))
    else:
        turn.say(f"There is no mark {say_count(number)}. This rail has {counted(len(at.rail.marks), 'mark')}.")


def go_to_rail(name: str | None) -> Callable[[Turn, Intent], None]:
    """The first mark of a rail by its name; None takes the rail after this one, round and round."""

    def gone(turn: Turn, intent: Intent) -> None:
        at, here = at_mark(turn), turn.job.position
        assert here is not None
        rails = [rail.name for rail in at.set_out.rails]
        if name is not None and name not in rails:
            turn.say(f"This bay has no {name} rail to mark. It has {' and '.join(rails)}.")
            return
        wanted = rails[(rails.index(at.rail.name) + 1) % len(rails)] if name is None else name
        call(turn, Position(here.bay, wanted, 1), lead=True)

    return gone


def how_many_left(turn: Turn, intent: Intent) -> None:
    """Marks still to come on this rail, and those before it that were jumped over."""
    at = at_mark(turn)
    left = len(at.rail.marks) - at.mark
    turn.say("None left on this rail." if left == 0 else f"{counted(left, 'mark')} left on this rail.".capitalize())
    called = set(dict(turn.job.standing)[at.set_out.bay.number].called)
    jumped = [mark for mark in range(1, at.mark) if (at.rail.name, mark) not in called]
    if jumped:
        turn.say(f"{counted(len(jumped), 'mark')} before this {'was' if len(jumped) == 1 else 'were'} jumped over.".capitalize())


def where(turn: Turn, intent: Intent) -> None:
    """Bay, rail and mark; between bays where marking was left."""
    if turn.state.focus.kind is Kind.WALKING:
        turn.say(mark_text(turn, at_mark(turn), lead=True))
    else:
        turn.say(left_at(turn.job) or "No mark is called yet.")


def left_at(job: Job) -> str:
    """Where marking was left and how to go on with it, in sentences; empty when no mark is called."""
    at = marking(job)
    if at is None:
        return ""
    rail = at.rail.name if at.set_out.gate is not None else f"{at.rail.name} rail"
    place = f"{bay_name(at.set_out.bay)}, {rail}, mark {say_count(at.mark)}"
    return f"It was left at {place}. To go on, say: carry on."


def which_gap(turn: Turn, intent: Intent) -> None:
    """The gap alone, of the bay at hand or of one by its number."""
    job = turn.job
    index = job.current if intent.count is None else job.index_of(intent.count)
    if not job.bays or index is None:
        turn.say(sentence(f"there is no bay {'yet' if intent.count is None else say_count(intent.count)}"))
        return
    made = set_out_of(job, index)
    turn.say(sentence(f"{bay_name(made.bay)}: gap {gaps(turn.settings, made, spoken)}"))
