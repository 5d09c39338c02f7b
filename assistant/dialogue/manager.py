"""The conversation: `step(state, event) -> (state, effects)`, pure, and the only way a job changes.

An utterance is understood by the one vocabulary, its number settled (`accepting`), and handed to the part of the dialogue that knows what
to do with it.  Whatever cannot be set out is said in a sentence and leaves everything as it was.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from assistant.dialogue import bays, forms, marking, tools
from assistant.dialogue.accepting import accept, settled, slot_answer
from assistant.dialogue.asking import begin, open_form, question, wanted
from assistant.dialogue.choices import CHOICES
from assistant.dialogue.finishing import finish, told
from assistant.dialogue.guide import guide
from assistant.dialogue.misses import not_understood, nothing_heard, out_of_place
from assistant.dialogue.numbers import say_count
from assistant.dialogue.speaking import impossible, limit_words, read_back, sentence, spoken
from assistant.dialogue.state import (
    Asking,
    Cautioning,
    Choosing,
    ConfirmingGap,
    Doubting,
    Hub,
    Removing,
    State,
    Walking,
)
from assistant.dialogue.turn import Turn
from assistant.dialogue.understand import Intent, OutOfPlace, Unknown, Wants, understand
from assistant.dialogue.vocabulary import Act
from assistant.events import AdjustSound, CallEvery, Effect, Event, JobOpened, NothingHeard, Sound, Utterance
from assistant.job import BayChosen, BaySet, Draft, DraftChanged
from assistant.plan import plan_bay
from assistant.setout.ends import set_gap
from assistant.setout.lengths import Length
from assistant.setout.limits import GapLimit
from assistant.setout.trouble import ImpossibleError

Step = tuple[State, tuple[Effect, ...]]


def step(state: State, event: Event) -> Step:
    """The state after an event, and what is to be done: facts to record first, then what is spoken."""
    match event:
        case JobOpened():
            return _opened(state)
        case NothingHeard():
            return _missed(state, nothing_heard(state.stage, state.misses + 1, question(state)))
        case Utterance():
            return _heard(state, event)


def resumed(state: State) -> State:
    """A state rebuilt from a record, waiting for what the job was at."""
    return replace(state, focus=Asking() if state.job.draft is not None else Hub())


def _opened(state: State) -> Step:
    turn = Turn(replace(state, cautioned=frozenset(), misses=0))
    job = turn.job
    if job.draft is not None:
        turn.focus(Asking())
        turn.say("Back to the job.", question(turn.state))
    elif job.position is not None:
        turn.say("Back to the job.", f"To go on from mark {say_count(job.position.mark)}, say: carry on.")
    elif job.bays:
        turn.say("Back to the job.", question(turn.state))
    else:
        begin(turn, forms.SETUP, "Ready. At any time you can ask: what can I say.")
    return turn.done()


def _missed(state: State, text: str) -> Step:
    turn = Turn(replace(state, misses=state.misses + 1))
    kept = state.said
    turn.say(text)
    after, effects = turn.done()
    return replace(after, said=kept), effects


def _heard(state: State, utterance: Utterance) -> Step:
    words = utterance.words
    stage = state.stage
    meaning = understand(words, stage, wanted(state), state.job.settings.unit) if utterance.understood else Unknown(words)
    if state.asleep and not isinstance(meaning, Intent):
        return state, ()
    if isinstance(meaning, Unknown):
        return _missed(state, not_understood(stage, state.misses + 1, question(state)))
    if isinstance(meaning, OutOfPlace):
        return _missed(state, out_of_place(stage, question(state)))
    clear = replace(state, misses=0)
    turn = Turn(clear, " ".join(words))
    try:
        _act(turn, meaning)
        _reconfirm(turn)
    except ImpossibleError as error:
        turn = Turn(clear, " ".join(words))
        turn.say(impossible(clear.job.settings, error), question(clear))
    return turn.done()


def _reconfirm(turn: Turn) -> None:
    """Marks are only called for a gap that stands confirmed: a change to it asks again."""
    position = turn.job.position
    walking = isinstance(turn.state.focus, Walking)
    if walking and (position is None or position.bay not in turn.job.confirmed):
        turn.focus(ConfirmingGap())
        turn.say("That changes the gap.", question(turn.state))


def _act(turn: Turn, intent: Intent) -> None:
    act = intent.act
    if act in CHOICES:
        _choose_setting(turn, act)
    elif act in _PLAIN:
        _PLAIN[act](turn, intent)
    elif act in _NUMBER:
        _number(turn, intent)
    else:
        raise KeyError(act)


# Numbers ------------------------------------------------------------------------------------------------------------


def _number(turn: Turn, intent: Intent) -> None:
    focus = turn.state.focus
    if isinstance(focus, Choosing):
        _number_again(turn, focus.intent, intent, focus.readings, focus.under)
    elif isinstance(focus, Doubting):
        _number_again(turn, focus.intent, intent, (), focus.under)
    elif intent.act is Act.CORRECT:
        _correct(turn, intent)
    else:
        _take(turn, intent)


def _number_again(
    turn: Turn, pending: Intent, intent: Intent, readings: tuple[Length, ...], under: object
) -> None:
    """A number said again while one is in question: it settles the question, or takes the place of the number."""
    turn.focus(under)  # type: ignore[arg-type]
    said = getattr(intent.length, "mm", None)
    if said is not None and said in readings:
        _take(turn, settled(pending, said), chosen=True)
    else:
        _take(turn, replace(pending, length=intent.length, count=intent.count, words=intent.words))


def _correct(turn: Turn, intent: Intent) -> None:
    """“No, …”: what the last number was given for gets this one instead."""
    redo, before = turn.state.redo, turn.state.before
    if redo is None or before is None:
        if isinstance(turn.state.focus, Asking):
            _take(turn, replace(intent, act=Act.VALUE))
        else:
            turn.say("There is no number to correct.", question(turn.state))
        return
    count = None
    if redo.count is not None and redo.length is None:
        given = understand(intent.words[1:], before.stage, Wants.COUNT, turn.settings.unit)
        count = given.count if isinstance(given, Intent) else None
        if count is None:
            turn.say("That is not a count.", question(turn.state))
            return
    turn.undo_to(before)
    _take(turn, replace(redo, length=None if count is not None else intent.length, count=count, words=intent.words))


def _take(turn: Turn, intent: Intent, *, chosen: bool = False, sure: bool = False) -> None:
    value = accept(turn, intent, chosen=chosen, sure=sure)
    if value is None:
        return
    intent = settled(intent, value)
    turn.redo = intent
    _NUMBER[intent.act](turn, intent, value)


def _value(turn: Turn, intent: Intent, value: Length) -> None:
    """A number alone: the answer to the question on the table."""
    if isinstance(turn.state.focus, ConfirmingGap):
        turn.redo = None
        marking.confirm_gap(turn, value)
        return
    found = open_form(turn.state)
    assert found is not None
    form, slot, _ = found
    answers = slot_answer(turn, slot, value)
    turn.fact(DraftChanged(Draft(form.key, answers)))
    turn.say(sentence(read_back(turn.settings, intent)))
    if form.repeats or form.next_slot(dict(answers)) is not None:
        turn.say(question(turn.state))
    else:
        finish(turn, dict(answers))


def _picket(turn: Turn, intent: Intent, value: Length) -> None:
    if _answers_setup(turn, "picket"):
        _value(turn, intent, value)
        return
    turn.settle(picket=value)
    _follow(turn)
    turn.say(sentence(f"pickets {read_back(turn.settings, intent)}"))
    _resay(turn)


def _limit(turn: Turn, intent: Intent, value: Length) -> None:
    limit = GapLimit(value, strict=intent.act is Act.SET_GAP_UNDER)
    setup = _answers_setup(turn, "limit")
    turn.settle(limit=limit)
    if setup:
        _value(turn, intent, value)
        return
    _follow(turn)
    turn.say(sentence(f"gaps {limit_words(turn.settings, limit)}"))
    _resay(turn)


def _answers_setup(turn: Turn, key: str) -> bool:
    found = open_form(turn.state)
    return found is not None and found[0] is forms.SETUP and found[1].key == key


def _follow(turn: Turn) -> None:
    """Bays whose gap is not confirmed yet follow the new settings."""
    settings, current = turn.settings, turn.job.current
    if settings.picket is None or settings.limit is None:
        return
    waiting = [index for index in range(len(turn.job.bays)) if index not in turn.job.confirmed]
    for index in waiting:
        changed = replace(turn.job.bays[index], picket=settings.picket, limit=settings.limit, count=None)
        turn.fact(BaySet(index, changed))
        plan_bay(turn.job, index)
    if waiting:
        turn.fact(BayChosen(current))


def _end_gap(turn: Turn, intent: Intent, value: Length) -> None:
    turn.settle(left=set_gap(value), right=set_gap(value))
    turn.say(sentence(f"end gaps {read_back(turn.settings, intent)}"))
    _resay(turn)


def _opening(rail: str) -> Callable[[Turn, Intent, Length], None]:
    return lambda turn, intent, value: bays.set_opening(turn, rail, value, read_back(turn.settings, intent))


_NUMBER: dict[Act, Callable[[Turn, Intent, Length], None]] = {
    Act.VALUE: _value,
    Act.CORRECT: _value,
    Act.SET_PICKET: _picket,
    Act.SET_LARGEST_GAP: _limit,
    Act.SET_GAP_UNDER: _limit,
    Act.SET_BOTTOM: _opening("bottom"),
    Act.SET_TOP: _opening("top"),
    Act.SET_MIDDLE: _opening("middle"),
    Act.ENDS_SET: _end_gap,
    Act.GAP_MEASURES: tools.gap_measures,
}


# Phrases without a number -------------------------------------------------------------------------------------------


def _choose_setting(turn: Turn, act: Act) -> None:
    change, text = CHOICES[act]
    turn.settle(**{name: getattr(change(turn.settings), name) for name in turn.settings.__slots__})
    turn.say(text)
    if turn.job.bays:
        plan_bay(turn.job, turn.job.current)
    _resay(turn)


def _resay(turn: Turn) -> None:
    """After a setting: what we were at."""
    if isinstance(turn.state.focus, Walking):
        position = turn.job.position
        if position is not None and position.bay in turn.job.confirmed:
            turn.say(marking.mark_text(turn, position))
    elif isinstance(turn.state.focus, Hub) and turn.job.bays:
        told(turn)
    else:
        turn.say(question(turn.state))


def _yes(turn: Turn, intent: Intent) -> None:
    match turn.state.focus:
        case Doubting(pending, reading, under):
            turn.focus(under)
            _take(turn, settled(pending, reading), chosen=True, sure=True)
        case Removing(index):
            bays.remove(turn, index)
        case ConfirmingGap():
            turn.say("A yes could be for anything. Say: gap confirmed.")
        case _:
            turn.say(question(turn.state) or "There is nothing to confirm.")


def _no(turn: Turn, intent: Intent) -> None:
    match turn.state.focus:
        case Choosing(_, _, under) | Doubting(_, _, under):
            turn.focus(under)
            turn.say("Then say it again.", question(turn.state))
        case Removing():
            turn.focus(Hub())
            turn.say("It stays.", question(turn.state))
        case ConfirmingGap():
            turn.focus(Hub())
            turn.say("Not confirmed. Say what changes: one more picket, top opening, bottom opening, picket width.")
        case _ if turn.state.redo is not None and turn.state.before is not None:
            turn.undo_to(turn.state.before)
            turn.say("Taken back.", question(turn.state) or "Say it again.")
        case _:
            turn.say("There is no number to correct.", question(turn.state))


def _pick(which: int) -> Callable[[Turn, Intent], None]:
    def pick(turn: Turn, intent: Intent) -> None:
        focus = turn.state.focus
        assert isinstance(focus, Choosing)
        turn.focus(focus.under)
        _take(turn, settled(focus.intent, focus.readings[which]), chosen=True)

    return pick


def _same(turn: Turn, intent: Intent) -> None:
    found = open_form(turn.state)
    assert found is not None
    form, slot, answers = found
    value = answers.get(slot.same_as)
    if value is None and turn.job.bays and form is forms.BAY:
        value = turn.job.bays[-1].opening(slot.key)
    if value is None:
        turn.say("There is nothing to take it from.", question(turn.state))
        return
    given = slot_answer(turn, slot, value)
    turn.fact(DraftChanged(Draft(form.key, given)))
    turn.say(sentence(f"the same, {spoken(turn.settings, value)}"))
    if form.next_slot(dict(given)) is not None:
        turn.say(question(turn.state))
    else:
        finish(turn, dict(given))


def _next(turn: Turn, intent: Intent) -> None:
    focus = turn.state.focus
    if isinstance(focus, Walking):
        marking.step_mark(turn, +1)
    elif isinstance(focus, Hub):
        turn.say(question(turn.state) or "Say: next bay, or start marking.")
    else:
        turn.say("I still need an answer.", question(turn.state))


def _back(turn: Turn, intent: Intent) -> None:
    focus = turn.state.focus
    if isinstance(focus, Walking):
        marking.step_mark(turn, -1)
    elif isinstance(focus, (Choosing, Doubting)):
        turn.focus(focus.under)
        turn.say(question(turn.state))
    elif isinstance(focus, (Removing, ConfirmingGap, Cautioning)):
        turn.focus(Hub())
        turn.say(question(turn.state) or "Back.")
    elif isinstance(focus, Asking):
        draft = turn.job.draft
        if draft is not None and draft.answers:
            turn.fact(DraftChanged(Draft(draft.form, draft.answers[:-1])))
        turn.say(question(turn.state))
    else:
        turn.say("Nothing to go back to.", question(turn.state))


def _stop(turn: Turn, intent: Intent) -> None:
    focus = turn.state.focus
    turn.note(pace=None, held=None)
    turn.effects.append(CallEvery(None))
    if isinstance(focus, Walking):
        turn.focus(Hub())
        turn.say("Marking is left where it is. To go on, say: carry on.")
    elif turn.job.draft is not None and not isinstance(focus, Hub):
        turn.fact(DraftChanged(None))
        turn.focus(Hub())
        turn.say("Left. What was finished is kept.", question(turn.state))
    else:
        turn.focus(Hub())
        turn.say("All is kept.", question(turn.state))


def _undo(turn: Turn, intent: Intent) -> None:
    before = turn.state.before
    if before is None:
        turn.say("There is nothing to undo.", question(turn.state))
        return
    turn.undo_to(before)
    turn.say("Undone.")
    if isinstance(turn.state.focus, Walking) and turn.job.position is not None:
        turn.say(marking.mark_text(turn, turn.job.position))
    else:
        turn.say(question(turn.state))


def _repeat(turn: Turn, intent: Intent) -> None:
    if isinstance(turn.state.focus, Walking) and turn.job.position is not None:
        turn.say(marking.mark_text(turn, turn.job.position))
    else:
        turn.say(turn.state.said or question(turn.state))


def _help(turn: Turn, intent: Intent) -> None:
    start = 0 if intent.act is Act.HELP else turn.state.help_from
    text, following = guide(turn.state.stage, start)
    turn.note(help_from=following)
    turn.say(text)


def _sleep(turn: Turn, intent: Intent) -> None:
    turn.note(asleep=True, pace=None)
    turn.effects.append(CallEvery(None))
    turn.say("Asleep. To wake me, say: wake up assistant.")


def _wake(turn: Turn, intent: Intent) -> None:
    turn.note(asleep=False)
    turn.say("Awake.", question(turn.state))


def _confirm_gap(turn: Turn, intent: Intent) -> None:
    marking.confirm_gap(turn)


def _understood(turn: Turn, intent: Intent) -> None:
    focus = turn.state.focus
    assert isinstance(focus, Cautioning)
    marking.acknowledge(turn, focus)


def _pace(turn: Turn, intent: Intent) -> None:
    seconds = intent.count
    if seconds is None or not 1 <= seconds <= 60:
        turn.say("I can call every one to sixty seconds.")
        return
    turn.note(pace=seconds, held=None)
    turn.effects.append(CallEvery(seconds))
    turn.say(f"Calling every {say_count(seconds)} seconds. To pause, say: hold.")


def _hold(turn: Turn, intent: Intent) -> None:
    turn.note(held=turn.state.pace or turn.state.held, pace=None)
    turn.effects.append(CallEvery(None))
    turn.say("Holding. To go on, say: carry on.")


def _carry_on(turn: Turn, intent: Intent) -> None:
    focus = turn.state.focus
    if isinstance(focus, Walking):
        if turn.state.held is not None:
            turn.effects.append(CallEvery(turn.state.held))
            turn.note(pace=turn.state.held, held=None)
        marking.step_mark(turn, +1)
    elif isinstance(focus, Hub) and turn.job.position is not None:
        marking.resume(turn)
    else:
        turn.say(question(turn.state) or "There is nothing to go on with.")


def _sound(sound: Sound) -> Callable[[Turn, Intent], None]:
    def adjust(turn: Turn, intent: Intent) -> None:
        turn.effects.append(AdjustSound(sound))
        pace = turn.state.pace
        if pace is not None and sound in (Sound.FASTER, Sound.SLOWER):
            pace = max(1, pace - 1) if sound is Sound.FASTER else min(60, pace + 1)
            turn.note(pace=pace)
            turn.effects.append(CallEvery(pace))
        turn.say(sentence(sound.value))

    return adjust


def _plain(action: Callable[[Turn], None]) -> Callable[[Turn, Intent], None]:
    return lambda turn, intent: action(turn)


def _counted(action: Callable[[Turn, int | None], None]) -> Callable[[Turn, Intent], None]:
    return lambda turn, intent: action(turn, intent.count)


def _rail(name: str | None) -> Callable[[Turn, Intent], None]:
    return lambda turn, intent: marking.go_to_rail(turn, name)


def _more_or_fewer(by: int) -> Callable[[Turn, Intent], None]:
    return lambda turn, intent: bays.neighbour(turn, by)


def _summary(turn: Turn, intent: Intent) -> None:
    if turn.job.bays:
        told(turn)
    else:
        turn.say("There is no bay yet.", question(turn.state))


def _all_measured(turn: Turn, intent: Intent) -> None:
    found = open_form(turn.state)
    if isinstance(turn.state.focus, Asking) and found and found[0].repeats and found[2]:
        finish(turn, found[2])
    elif isinstance(turn.state.focus, Hub):
        bays.all_measured(turn)
    else:
        turn.say("I still need an answer.", question(turn.state))


_PLAIN: dict[Act, Callable[[Turn, Intent], None]] = {
    Act.YES: _yes,
    Act.NO: _no,
    Act.FIRST: _pick(0),
    Act.SECOND: _pick(1),
    Act.SAME: _same,
    Act.NEXT: _next,
    Act.BACK: _back,
    Act.REPEAT: _repeat,
    Act.STOP: _stop,
    Act.UNDO: _undo,
    Act.HELP: _help,
    Act.MORE: _help,
    Act.SLEEP: _sleep,
    Act.WAKE: _wake,
    Act.NEW_BAY: _plain(bays.new),
    Act.NEW_GATE: _plain(bays.new_gate),
    Act.ALL_MEASURED: _all_measured,
    Act.START_MARKING: _plain(marking.start),
    Act.SUMMARY: _summary,
    Act.WHICH_GAP: _plain(marking.gap_of_current),
    Act.GO_BAY: _counted(bays.choose),
    Act.CHANGE_BAY: _counted(bays.change),
    Act.REMOVE_BAY: _counted(bays.ask_remove),
    Act.MORE_PICKETS: _more_or_fewer(+1),
    Act.FEWER_PICKETS: _more_or_fewer(-1),
    Act.CONFIRM_GAP: _confirm_gap,
    Act.UNDERSTOOD: _understood,
    Act.GO_MARK: _counted(marking.go_to),
    Act.HOW_MANY_LEFT: _plain(marking.how_many_left),
    Act.WHERE: _plain(marking.where),
    Act.NEXT_RAIL: _rail(None),
    Act.RAIL_BOTTOM: _rail("bottom"),
    Act.RAIL_MIDDLE: _rail("middle"),
    Act.RAIL_TOP: _rail("top"),
    Act.CALL_EVERY: _pace,
    Act.HOLD: _hold,
    Act.CARRY_ON: _carry_on,
    Act.FASTER: _sound(Sound.FASTER),
    Act.SLOWER: _sound(Sound.SLOWER),
    Act.LOUDER: _sound(Sound.LOUDER),
    Act.QUIETER: _sound(Sound.QUIETER),
    **tools.ACTIONS,
}
