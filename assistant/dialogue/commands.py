"""Intents that are a phrase alone: what each does in the state it is said in."""

from __future__ import annotations

from collections.abc import Callable

from assistant.dialogue import bays, forms, marking, tools
from assistant.dialogue.accepting import settled, slot_answer
from assistant.dialogue.answers import resay, take, use_limit
from assistant.dialogue.asking import labelled, open_form, question
from assistant.dialogue.choices import CHOICES
from assistant.dialogue.finishing import finish, told
from assistant.dialogue.speaking import sentence, spoken
from assistant.dialogue.state import Asking, Cautioning, Choosing, ConfirmingGap, Doubting, Hub, Removing, Walking
from assistant.dialogue.turn import Turn
from assistant.events import AdjustSound, CallEvery, Sound
from assistant.job import Draft, DraftChanged
from assistant.language.guide import guide
from assistant.language.understanding import Intent
from assistant.language.vocabulary import Act
from assistant.numbers import say_count
from assistant.plan import plan_bay


def choose_setting(turn: Turn, act: Act) -> None:
    change, text = CHOICES[act]
    turn.settle(**{name: getattr(change(turn.settings), name) for name in turn.settings.__slots__})
    turn.say(text)
    if turn.job.bays:
        plan_bay(turn.job, turn.job.current)
    resay(turn)


def _yes(turn: Turn, intent: Intent) -> None:
    match turn.state.focus:
        case Doubting(pending, reading, under):
            turn.focus(under)
            take(turn, settled(pending, reading), chosen=True, sure=True)
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
            turn.say("That is taken off.", question(turn.state) or "Say it again.")
        case _:
            turn.say("There is no number to correct.", question(turn.state))


def _pick(which: int) -> Callable[[Turn, Intent], None]:
    def pick(turn: Turn, intent: Intent) -> None:
        focus = turn.state.focus
        assert isinstance(focus, Choosing)
        turn.focus(focus.under)
        take(turn, settled(focus.intent, focus.readings[which]), chosen=True)

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
    turn.say(labelled(slot.name, f"the same, {spoken(turn.settings, value)}"))
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
        if draft is not None and draft.answers and draft.answers[-1][0] not in (forms.AGAIN, forms.GATE_FIRST):
            turn.fact(DraftChanged(Draft(draft.form, draft.answers[:-1])))
        turn.say(question(turn.state))
    else:
        turn.say("Nothing to go back to.", question(turn.state))


def _stop(turn: Turn, intent: Intent) -> None:
    focus = turn.state.focus
    turn.note(pace=None, held=None)
    turn.effects.append(CallEvery(None))
    if isinstance(focus, (Choosing, Doubting)):
        # Only the number in question is dropped: the form it belongs to may be a bay that was complete before a correction.
        turn.focus(focus.under)
        turn.say("Left.", question(turn.state))
    elif isinstance(focus, Walking):
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
    focus = turn.state.focus
    if isinstance(focus, (Choosing, Doubting)):  # the number in question is the last thing that was said
        turn.focus(focus.under)
        turn.say("Then say it again.", question(turn.state))
        return
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
    # A sleep is a break: the caution is due once more before the next mark.
    turn.note(asleep=False, cautioned=frozenset())
    if isinstance(turn.state.focus, Walking):
        turn.focus(Hub())
        turn.say("Awake. To go on, say: carry on.")
    else:
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


PLAIN: dict[Act, Callable[[Turn, Intent], None]] = {
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
    Act.USE_LIMIT: use_limit,
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
