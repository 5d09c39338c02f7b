"""Intents that carry a number: asked about until settled, taken for what it was given for, or put in the place of the last one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from assistant.dialogue import bays, forms, marking, tools
from assistant.dialogue.accepting import accept, settled, slot_answer
from assistant.dialogue.asking import labelled, open_form, question
from assistant.dialogue.cautions import LIMITS
from assistant.dialogue.finishing import caution, finish, told
from assistant.dialogue.speaking import limit_words, read_back, sentence
from assistant.dialogue.state import Asking, Choosing, ConfirmingGap, Doubting, Focus, Hub, Removing, Walking
from assistant.dialogue.turn import Turn
from assistant.job import BayChosen, BaySet, Draft, DraftChanged
from assistant.language.understanding import Intent, Wants, understand
from assistant.language.vocabulary import PUBLISHED_LIMITS, Act, Stage
from assistant.plan import plan_bay
from assistant.setout.ends import set_gap
from assistant.setout.lengths import Length
from assistant.setout.limits import GapLimit


def number(turn: Turn, intent: Intent) -> None:
    focus = turn.state.focus
    if isinstance(focus, Choosing):
        _number_again(turn, focus.intent, intent, focus.readings, focus.under)
    elif isinstance(focus, Doubting):
        _number_again(turn, focus.intent, intent, (), focus.under)
    elif isinstance(focus, Removing):
        turn.say(question(turn.state))
    elif intent.act is Act.CORRECT:
        _correct(turn, intent)
    else:
        take(turn, intent)


def _number_again(
    turn: Turn, pending: Intent, intent: Intent, readings: tuple[Length, ...], under: Focus
) -> None:
    """A number said again while one is in question: it settles the question, or takes the place of the number."""
    turn.focus(under)
    said = getattr(intent.length, "mm", None)
    if said is not None and said in readings:
        take(turn, replace(pending, length=intent.length, count=intent.count, words=intent.words), chosen=True)
    else:
        take(turn, replace(pending, length=intent.length, count=intent.count, words=intent.words))


def _correct(turn: Turn, intent: Intent) -> None:
    """“No, …”: what the last number was given for gets this one instead."""
    redo, before = turn.state.redo, turn.state.before
    if redo is None or before is None:
        if isinstance(turn.state.focus, Asking):
            take(turn, replace(intent, act=Act.VALUE))
        else:
            turn.say("There is no number to correct.", question(turn.state))
        return
    # The number is read as what it corrects, whatever the question on the table wants by now.
    wants = Wants.COUNT if redo.length is None else Wants.LENGTH
    given = understand(intent.words[1:], Stage.ASK, wants, turn.settings.unit)
    if not isinstance(given, Intent) or given.act is not Act.VALUE:
        turn.say(f"That is not a {wants.value}.", question(turn.state))
        return
    turn.undo_to(before)
    take(turn, replace(redo, length=given.length, count=given.count, words=intent.words))


def take(turn: Turn, intent: Intent, *, chosen: bool = False, sure: bool = False) -> None:
    value = accept(turn, intent, chosen=chosen, sure=sure)
    if value is None:
        return
    intent = settled(intent, value)
    turn.redo = intent
    NUMBER[intent.act](turn, intent, value)


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
    turn.say(labelled(slot.name, read_back(turn.settings, intent)))
    if form.repeats or form.next_slot(dict(answers)) is not None:
        turn.say(question(turn.state))
    else:
        finish(turn, dict(answers))


def _picket(turn: Turn, intent: Intent, value: Length) -> None:
    if _answers_setup(turn, "picket"):
        _value(turn, intent, value)
        return
    found = open_form(turn.state)
    if found is not None and found[0] is forms.SETUP:
        turn.fact(DraftChanged(Draft(found[0].key, tuple({**found[2], "picket": value}.items()))))
    turn.settle(picket=value)
    _follow(turn)
    turn.say(sentence(f"pickets {read_back(turn.settings, intent)}"))
    resay(turn)


def _limit(turn: Turn, intent: Intent, value: Length) -> None:
    limit = GapLimit(value, strict=intent.act is Act.SET_GAP_UNDER)
    setup = _answers_setup(turn, "limit")
    turn.settle(limit=limit)
    if setup:
        _value(turn, intent, value)
        return
    _follow(turn)
    turn.say(sentence(f"gaps {limit_words(turn.settings, limit)}"))
    resay(turn)


def use_limit(turn: Turn, intent: Intent) -> None:
    """A published limit, by its name; whose decision a limit is has to be acknowledged."""
    limit = PUBLISHED_LIMITS[" ".join(intent.words)]
    turn.say(sentence(f"{limit.name}: gaps {limit_words(turn.settings, limit)}"))
    setup = _answers_setup(turn, "limit")
    turn.settle(limit=limit)
    if setup:
        found = open_form(turn.state)
        assert found is not None
        given = slot_answer(turn, found[1], limit.value)
        turn.fact(DraftChanged(Draft(found[0].key, given)))
        finish(turn, dict(given))
    else:
        _follow(turn)
        resay(turn)
    caution(turn, LIMITS)


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
    resay(turn)


def _opening(rail: str) -> Callable[[Turn, Intent, Length], None]:
    return lambda turn, intent, value: bays.set_opening(turn, rail, value, read_back(turn.settings, intent))


def resay(turn: Turn) -> None:
    """After a setting: what we were at."""
    if isinstance(turn.state.focus, Walking):
        position = turn.job.position
        if position is not None and position.bay in turn.job.confirmed:
            turn.say(marking.mark_text(turn, position))
    elif isinstance(turn.state.focus, Hub) and turn.job.bays:
        told(turn)
    else:
        turn.say(question(turn.state))


NUMBER: dict[Act, Callable[[Turn, Intent, Length], None]] = {
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
