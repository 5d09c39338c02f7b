"""A sentence of several parts, one after another in one turn; what comes behind a question waits until that is answered."""

from __future__ import annotations

from dataclasses import replace

from assistant.dialogue import bays, forms
from assistant.dialogue.asking import question
from assistant.dialogue.elsewhere import do_elsewhere, has_another_place
from assistant.dialogue.reprompts import out_of_place
from assistant.dialogue.speaking import bay_name, sentence, spoken
from assistant.dialogue.state import Cautioning, Deciding, Decision, Doubting, Kind, Walking
from assistant.dialogue.table import TABLE
from assistant.dialogue.turn import Turn
from assistant.language.understanding import Intent, Wants, understand
from assistant.language.vocabulary import Act, Stage
from assistant.numbers import SpokenLength, say_count

_WAITS = (Kind.CHOOSING, Kind.DOUBTING, Kind.DECIDING, Kind.CAUTION)
_ANSWERS = frozenset(
    (
        Act.VALUE, Act.SAME, Act.BOTH, Act.SAME_BAY, Act.SET_BOTTOM, Act.SET_TOP, Act.SET_PICKET, Act.SET_LARGEST_GAP, Act.SET_GAP_UNDER,
        Act.CORRECT, Act.YES, Act.FIRST, Act.SECOND, Act.UNDERSTOOD,
    )
)  # fmt: skip
"""What is gone on behind."""
_ASIDE = frozenset(
    (
        Act.HELP, Act.MORE, Act.REPEAT, Act.NEXT, Act.FASTER, Act.SLOWER, Act.LOUDER, Act.QUIETER, Act.HOLD, Act.CARRY_ON, Act.WHICH_GAP,
        Act.WHICH_BOTTOM, Act.WHICH_TOP, Act.WHICH_SETTINGS, Act.IN_ALL, Act.THICKNESS,
    )
)  # fmt: skip
"""What leaves the rest waiting; anything else drops it."""
_NUMBERS = _ANSWERS - {Act.YES, Act.FIRST, Act.SECOND, Act.UNDERSTOOD}
_OPENS = (Act.NEW_BAY, Act.NEXT_BAY, Act.GO_BAY, Act.NEW_GATE, Act.SAME_BAY)
_OF_A_BAY = (Act.VALUE, Act.SAME, Act.BOTH, Act.SET_BOTTOM, Act.SET_TOP)


def carry_out(turn: Turn, meant: tuple[Intent, ...]) -> None:
    """Everything that was meant, as far as it goes; the rest is in `State.queued`."""
    first, *others = meant
    waiting = turn.state.queued if first.act in _ANSWERS | _ASIDE else ()
    turn.note(queued=(first, *others, *waiting))
    focus, kind, numbers = turn.state.focus, turn.state.focus.kind, 0
    done: list[Intent] = []
    if isinstance(focus, Cautioning) and others and not isinstance(focus.then, Walking):
        turn.say("I keep that until then.", question(turn.state))
        return
    if kind is Kind.DECIDING and others:  # what is yes to, and what comes next, are two things
        turn.note(queued=())
        turn.say(out_of_place(Stage.DOUBT, question(turn.state)))
        return
    opens = first.act in (*_OPENS, Act.ALL_MEASURED, Act.START_MARKING)
    if others and opens and kind is Kind.ASKING and _begun(turn) and _must_wait(turn, first):
        turn.say(out_of_place(Stage.ASK, question(turn.state)))  # or what was measured of this bay would be written over
        return
    if others and kind is Kind.ASKING and _asks_for_settings(turn) and _must_wait(turn, first):
        turn.say("I keep that until then.", question(turn.state))  # a bay begun now would drop what was answered
        return
    while turn.state.queued:
        part, *rest = turn.state.queued
        if part is not first and _must_wait(turn, part):
            break
        turn.note(queued=tuple(rest))
        turn.more = bool(rest)
        numbers += part.act in _NUMBERS
        done.append(part)
        _do(turn, part, alone=part is first and not others)
        if turn.state.focus.kind in _WAITS and (turn.state.focus.kind is not kind or turn.state.focus.kind is not Kind.CAUTION):
            break
        if part is first and not others and first.act in _ASIDE:
            break
    turn.more = False
    if numbers > 1:
        both = next((one for one in done if one.act is Act.SAME and one.length is not None), None)
        alone = first if first.act is Act.BOTH and not others else both
        turn.redo = None if alone is None or numbers > 2 else replace(alone, act=Act.BOTH)  # else “no, …” could mean either


def _must_wait(turn: Turn, part: Intent) -> bool:
    """Whether an answer that is still open comes before this part."""
    draft = turn.job.draft
    if turn.state.focus.kind is not Kind.ASKING or draft is None:
        return False
    if _asks_for_settings(turn):
        return part.act in (*_OPENS, *_OF_A_BAY, Act.ALL_MEASURED, Act.START_MARKING) and part.act is not Act.VALUE
    begun = bool(draft.answers) or draft.bay is not None
    opens = part.act in (*_OPENS, Act.ALL_MEASURED, Act.START_MARKING)
    return begun and opens and not (part.act is Act.GO_BAY and _is_at(turn, part))


def _asks_for_settings(turn: Turn) -> bool:
    draft = turn.job.draft
    return draft is not None and draft.form == forms.SETUP.key


def _begun(turn: Turn) -> bool:
    """Whether one opening of the bay that is asked about is known already."""
    draft = turn.job.draft
    return draft is not None and draft.form == forms.BAY.key and bool(draft.answers)


def _is_at(turn: Turn, part: Intent) -> bool:
    draft = turn.job.draft
    return draft is not None and draft.form == forms.BAY.key and part.count == (draft.bay or turn.job.next_number)


def _do(turn: Turn, part: Intent, *, alone: bool) -> None:
    if not alone and part.act in _OPENS and turn.state.focus.kind is Kind.ASKING and part.act is not Act.SAME_BAY:
        draft = turn.job.draft
        bay = draft is not None and draft.form == forms.BAY.key and part.act is not Act.NEW_GATE
        if bay and (part.count is None or _is_at(turn, part)):
            return  # that very bay is being asked about
        turn.close()
    if not alone and part.act is Act.GO_BAY:
        _open_bay(turn, part)
        return
    if not alone and part.act in (Act.VALUE, Act.SAME) and turn.state.focus.kind is Kind.HUB:
        bays.new(turn, part)
    handler = TABLE.get((turn.state.focus.kind, part.act))
    if handler is None and has_another_place(turn.state, part, alone=False):
        do_elsewhere(turn, part)
    elif handler is None:
        turn.note(queued=())
        turn.more = False
        turn.say("That has no place here." if alone else "The rest of that has no place here.", question(turn.state))
    else:
        handler(turn, part)


def _open_bay(turn: Turn, part: Intent) -> None:
    """“Bay two, …”: the next one to be measured, or one that was measured, once more."""
    index = turn.job.index_of(part.count or 0)
    if part.count == turn.job.next_number:
        bays.new(turn, part)
    elif index is None and _run_together(turn, part):
        pass
    elif index is None:
        turn.note(queued=())
        turn.more = False
        turn.say(sentence(f"there is no bay {say_count(part.count or 0)}; the next one is bay {say_count(turn.job.next_number)}"))
    elif turn.job.standing_of(turn.job.bays[index].number) is not None:
        turn.note(queued=(part, *turn.state.queued))
        turn.focus(Deciding(Decision.REOPEN, turn.job.bays[index].number))
    else:
        bays.measure_again(turn, turn.job.bays[index].number, sentence(bay_name(turn.job.bays[index])))


def _run_together(turn: Turn, part: Intent) -> bool:
    """“Bay twenty one three zero zero” where there is no bay twenty one: the length may begin with the one, which is asked."""
    ten, one = divmod(part.count or 0, 10)
    ahead = turn.state.queued[0] if turn.state.queued else None
    number = ten * 10
    if ten < 2 or one == 0 or ahead is None or ahead.act is not Act.VALUE or number not in (turn.job.next_number, *_numbers(turn)):
        return False
    words = (say_count(one), *ahead.words)
    again = understand(words, Stage.ASK, Wants.LENGTH, turn.settings.unit)
    if not isinstance(again, Intent) or not isinstance(again.length, SpokenLength):
        return False
    turn.note(queued=turn.state.queued[1:])
    _open_bay(turn, replace(part, count=number))
    if turn.state.focus.kind is Kind.ASKING:
        turn.focus(Doubting(again, again.length.mm, turn.state.focus))
        turn.say(sentence(spoken(turn.settings, again.length.mm)), question(turn.state))
    return True


def _numbers(turn: Turn) -> tuple[int, ...]:
    return tuple(bay.number for bay in turn.job.bays)
