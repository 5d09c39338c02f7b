"""Choosing, measuring again and taking away bays."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from assistant.dialogue import forms
from assistant.dialogue.asking import gap_question, question
from assistant.dialogue.marking import to_bay
from assistant.dialogue.speaking import bay_name, bays_named, counted, sentence, spoken
from assistant.dialogue.state import ConfirmingGap, Deciding, Decision, Hub, Kind
from assistant.dialogue.turn import Turn
from assistant.fold import apply
from assistant.job import BayChosen, BayRemoved, BayReopened, BaySet, Draft, DraftChanged
from assistant.language.understanding import Intent
from assistant.measured import Bay
from assistant.numbers import say_count
from assistant.plan import following as followed
from assistant.plan import next_to_mark, preview, set_out_of
from assistant.setout.lengths import Length
from assistant.setout.taper import Lean
from assistant.setout.trouble import ImpossibleError


def next_number(turn: Turn) -> int:
    """The number the next bay gets: one past the highest so far."""
    return turn.job.next_number


def new(turn: Turn, intent: Intent) -> None:
    """Measure another bay; the settings first if they are not known."""
    if turn.settings.picket is None or turn.settings.limit is None:
        _set_up(turn)
    else:
        turn.begin(forms.BAY, f"Bay {say_count(next_number(turn))}.")


def _set_up(turn: Turn, *, gate_next: bool = False) -> None:
    """What is not known of the settings is asked for; what is known is not asked for again."""
    settings = turn.settings
    known = {"picket": settings.picket} if settings.picket is not None else {}
    known |= {"limit": settings.limit.value} if settings.limit is not None else {}
    turn.begin(forms.SETUP, "First this." if "picket" in known else "First the pickets.", gate_next=gate_next, known=known)


def following_bay(turn: Turn, intent: Intent) -> None:
    """“Next bay”: on to the next to be marked once marking has begun, else another to be measured."""
    index = next_to_mark(turn.job) if turn.job.standing else None
    if index is None:
        new(turn, intent)
    else:
        to_bay(turn, index)


def new_gate(turn: Turn, intent: Intent) -> None:
    """Measure a gate; the settings first if they are not known, and what is being measured before it."""
    draft = turn.job.draft
    if draft is not None and (draft.answers or draft.bay is not None or draft.form != forms.BAY.key):
        turn.say("I still need an answer.", question(turn.state))
        return
    if turn.settings.picket is None or turn.settings.limit is None:
        _set_up(turn, gate_next=True)
    else:
        turn.begin(forms.GATE, f"Gate {say_count(next_number(turn))}.")


def index_of(turn: Turn, number: int | None) -> int | None:
    """The bay with a number; says so when there is none."""
    for index, bay in enumerate(turn.job.bays):
        if bay.number == number:
            return index
    known = ", ".join(bay_name(bay) for bay in turn.job.bays) or "no bay yet"
    turn.say(sentence(f"there is no bay {say_count(number or 0)}; there is {known}"))
    return None


def _meant(turn: Turn, number: int | None) -> int | None:
    """The bay with a number, or “that bay”; says so when there is none."""
    return turn.job.current if number is None and turn.job.bays else index_of(turn, number)


def choose(turn: Turn, intent: Intent) -> None:
    """Talk about another bay; it is the next to be marked.  The next one to be measured is begun."""
    if intent.count == turn.job.next_number and turn.state.focus.kind is Kind.HUB and turn.job.bays:
        new(turn, intent)
        return
    index = index_of(turn, intent.count)
    if index is None:
        return
    turn.fact(BayChosen(index, named=True))
    turn.focus(Hub())
    turn.told()
    turn.say(f"To mark it, say: start marking. To measure it again, say: change {bay_name(turn.job.bays[index])}.")


def current(turn: Turn) -> int | None:
    """The bay being talked about, if it may be changed; says why not."""
    if not turn.job.bays:
        turn.say("There is no bay yet.")
        return None
    return turn.job.current if turn.require_open(turn.job.current) else None


def set_opening(turn: Turn, rail: str, opening: Length, heard: str) -> None:
    """One opening of the current bay measured again, or a rail added.

    Where it cannot stand beside the other one, the other one is asked for: both may have been wrong.
    """
    index = current(turn)
    if index is None:
        return
    bay = replace(turn.job.bays[index].measured(rail, opening), count=None)
    changed = BaySet(index, bay)
    try:
        preview(apply(turn.job, changed), index)
    except ImpossibleError:
        slots = [slot.key for slot in forms.BAY.slots]
        if rail not in slots or bay.gate is not None:
            raise
        turn.fact(DraftChanged(Draft(forms.BAY.key, ((rail, opening),), bay.number)))
        turn.ask()
        other = next(slot for slot in forms.BAY.slots if slot.key != rail)
        turn.say(sentence(f"{rail} {heard}"), "That does not go with the other opening.", other.full)
        return
    turn.fact(changed)
    several = len(turn.job.bays) > 1 or turn.state.focus.kind is Kind.ASKING
    turn.say(sentence(f"{bay_name(bay)}, {rail} {heard}" if several else f"{rail} {heard}"))
    if turn.more:
        return
    if isinstance(turn.state.focus, ConfirmingGap):
        turn.say(gap_question(turn.state))
        return
    turn.told()
    if turn.state.focus.kind is Kind.ASKING:
        turn.say(question(turn.state))


def change(turn: Turn, intent: Intent) -> None:
    """Measure a bay again; one that is set out is opened only after the user has heard what moves."""
    index = _meant(turn, intent.count)
    if index is None:
        return
    bay = turn.job.bays[index]
    if turn.job.standing_of(bay.number) is not None:
        turn.focus(Deciding(Decision.REOPEN, bay.number))
    else:
        _measure_again(turn, index, f"{bay_name(bay)} once more")


def measure_again(turn: Turn, number: int, lead: str = "") -> None:
    """A bay is measured once more; what moves is not told first, for it was the tape that said so."""
    index = turn.job.index_of(number)
    assert index is not None
    bay = turn.job.bays[index]
    if turn.job.standing_of(number) is not None:
        reopen(turn, number)
    else:
        _measure_again(turn, index, lead or f"{bay_name(bay)} once more")


def _measure_again(turn: Turn, index: int, lead: str) -> None:
    turn.fact(BayChosen(index))
    bay = turn.job.bays[index]
    turn.begin(forms.BAY if bay.gate is None else forms.GATE, sentence(lead), bay=bay.number)


def reopen(turn: Turn, number: int) -> None:
    """A bay that is set out follows the settings again, and is measured anew unless that is left."""
    index = turn.job.index_of(number)
    assert index is not None
    turn.fact(BayReopened(number))
    bay = followed(turn.job, index)
    if bay != turn.job.bays[index]:
        turn.fact(BaySet(index, bay))
    turn.focus(Hub())
    if turn.state.queued:  # what it was opened for is done to it now
        turn.fact(BayChosen(index))
        turn.say(sentence(f"{bay_name(bay)} is open again"))
        return
    kept = "its openings" if bay.gate is None else "it as it is"
    _measure_again(turn, index, f"{bay_name(bay)} is open again; to keep {kept}, say: leave it")


def ask_remove(turn: Turn, intent: Intent) -> None:
    """A bay is taken away only after a yes; one that is only being measured is just left."""
    draft = turn.job.draft
    if intent.count is None and draft is not None and draft.bay is None:
        turn.close()
        turn.say("Left. Nothing of it is kept.")
        return
    if intent.count is None and "gate" in intent.words and all(bay.gate is None for bay in turn.job.bays):
        turn.say("There is no gate.", question(turn.state))
        return
    count = _by_its_kind(turn, intent.words) if intent.count is None else intent.count
    index = _meant(turn, count)
    if index is not None:
        turn.focus(Deciding(Decision.REMOVE, turn.job.bays[index].number))


def _by_its_kind(turn: Turn, words: tuple[str, ...]) -> int | None:
    """The number of “the gate”, or of “the last bay”; None for the one at hand."""
    bays = turn.job.bays
    if not bays or ("gate" in words and bays[turn.job.current].gate is not None):
        return None
    if "gate" in words:
        return next((bay.number for bay in reversed(bays) if bay.gate is not None), None)
    return bays[-1].number if "last" in words else None


def remove(turn: Turn, number: int) -> None:
    """Take a bay away."""
    index = turn.job.index_of(number)
    assert index is not None
    name = bay_name(turn.job.bays[index])
    if turn.job.draft is not None and turn.job.draft.bay == number:
        turn.fact(DraftChanged(None))  # what was asked about it goes with it
    turn.fact(BayRemoved(index))
    turn.focus(Hub())
    turn.say(sentence(f"{name} removed"))


def neighbour(by: int) -> Callable[[Turn, Intent], None]:
    """One picket more or fewer in the current bay."""

    def counted_again(turn: Turn, intent: Intent) -> None:
        index = current(turn)
        if index is not None:
            _changed(turn, index, replace(turn.job.bays[index], count=set_out_of(turn.job, index).count + by))
        elif turn.job.bays and turn.job.standing_of(number := turn.job.bays[turn.job.current].number) is not None:
            turn.parts.clear()
            turn.note(queued=(intent,))
            turn.focus(Deciding(Decision.REOPEN, number))

    return counted_again


def _changed(turn: Turn, index: int, bay: Bay) -> None:
    turn.fact(BaySet(index, bay))
    if isinstance(turn.state.focus, ConfirmingGap):
        preview(turn.job, index)
        turn.say(gap_question(turn.state))
    else:
        turn.told()


def leans(which: Lean) -> Callable[[Turn, Intent], None]:
    """Which post of the current bay is out of plumb."""

    def said(turn: Turn, intent: Intent) -> None:
        index = current(turn)
        if index is not None:
            _changed(turn, index, replace(turn.job.bays[index], leans=which))

    return said


def add_middle(turn: Turn, intent: Intent) -> None:
    """A rail halfway between bottom and top, its opening interpolated on straight posts."""
    index = current(turn)
    if index is None:
        return
    bay = turn.job.bays[index]
    bottom, top = bay.opening("bottom"), bay.opening("top")
    if bottom is None or top is None:
        turn.say("A middle rail needs a bay with a bottom and a top opening.")
        return
    turn.say("Middle rail halfway up.")
    _changed(turn, index, bay.measured("middle", (bottom + top) / 2))


def which_opening(rail: str) -> Callable[[Turn, Intent], None]:
    """What was measured, of the bay at hand or of one by its number."""

    def told(turn: Turn, intent: Intent) -> None:
        job, draft = turn.job, turn.job.draft
        given = {}
        if draft is not None and draft.form == forms.BAY.key and intent.count in (None, draft.bay or next_number(turn)):
            given = dict(draft.answers)
        if rail in given:
            turn.say(sentence(f"{rail} {spoken(turn.settings, given[rail])}"), question(turn.state))
            return
        index = (job.current if job.bays else None) if intent.count is None else job.index_of(intent.count)
        if index is None:
            turn.say(sentence(f"there is no bay {'yet' if intent.count is None else say_count(intent.count)}"), question(turn.state))
            return
        bay = job.bays[index]
        opening = bay.opening(rail)
        what = "has no such opening" if opening is None else f"{rail} {spoken(turn.settings, opening)}"
        turn.say(sentence(f"{bay_name(bay)}{'' if opening is None else ','} {what}"))

    return told


def in_all(turn: Turn, intent: Intent) -> None:
    """The pickets of every bay together."""
    job = turn.job
    if not job.bays:
        turn.say("There is no bay yet.", question(turn.state))
        return
    total = sum(set_out_of(job, index).pickets for index in range(len(job.bays)))
    turn.say(sentence(f"{counted(len(job.bays), 'bay')}, {counted(total, 'picket')} in all"))


def all_measured(turn: Turn, intent: Intent) -> None:
    """Every bay in a sentence, and on to marking the next."""
    job = turn.job
    if not job.bays:
        turn.say("There is no bay yet.")
        return
    turn.say(sentence(counted(len(job.bays), "bay")))
    if turn.settings.full:
        for index in range(len(job.bays)):
            made = set_out_of(job, index)
            turn.say(sentence(f"{bay_name(made.bay)}, {counted(made.pickets, 'picket')}"))
    following = next_to_mark(job)
    if following is None:
        turn.say("Every bay is marked.")
        return
    if job.current != following:
        turn.fact(BayChosen(following))
    turn.say(f"For {bay_name(job.bays[following])}, say: start marking.")


def concerned(turn: Turn) -> None:
    """After a setting of how bays are set out: which bays it is for, and which stay as they are set out.

    Raises ImpossibleError where a bay that follows it cannot be set out so.
    """
    job = turn.job
    open_bays = [index for index, bay in enumerate(job.bays) if job.standing_of(bay.number) is None]
    for index in open_bays:
        preview(job, index)
    closed = [bay for bay in job.bays if job.standing_of(bay.number) is not None]
    if not closed:
        return
    stay = "stays as it is" if len(closed) == 1 else "stay as they are"
    names = bays_named(closed)
    if open_bays:
        turn.say(sentence(f"that is for {bays_named(job.bays[index] for index in open_bays)}; {names} {stay} set out"))
    else:
        turn.say(sentence(f"{names} {stay} set out; that is for bays still to come"))
    turn.say(f"To change one, say: change {bay_name(closed[0])}.")
