"""The conversation: `step(state, event) -> (state, effects)`, pure, and the only way a job changes.

An utterance is understood by the one vocabulary and handed to `answers` when it carries a number, to `commands` when it is a phrase
alone.  Whatever cannot be set out is said in a sentence and leaves everything as it was.
"""

from __future__ import annotations

from dataclasses import replace

from assistant.dialogue import forms
from assistant.dialogue.answers import NUMBER, number
from assistant.dialogue.asking import begin, question, wanted
from assistant.dialogue.cautions import NAILING
from assistant.dialogue.choices import CHOICES
from assistant.dialogue.commands import PLAIN, choose_setting
from assistant.dialogue.reprompts import not_understood, nothing_heard, out_of_place
from assistant.dialogue.speaking import impossible
from assistant.dialogue.state import Asking, Choosing, ConfirmingGap, Doubting, Hub, State, Walking
from assistant.dialogue.turn import Turn
from assistant.dialogue.unsure import unsure
from assistant.events import Effect, Event, JobOpened, NothingHeard, Utterance
from assistant.language.understanding import Intent, OutOfPlace, Unknown, understand
from assistant.numbers import say_count
from assistant.setout.trouble import ImpossibleError

Step = tuple[State, tuple[Effect, ...]]


def step(state: State, event: Event) -> Step:
    """The state after an event, and what is to be done: facts to record first, then what is spoken."""
    match event:
        case JobOpened():
            return _opened(state)
        case NothingHeard():
            return _missed(state, nothing_heard(state.stage, state.misses + 1, question(state)))
        case Utterance(doubt=doubt) if doubt:
            return unsure(state, event)
        case Utterance():
            return _heard(state, event)


def resumed(state: State) -> State:
    """A state rebuilt from a record, waiting for what the job was at."""
    return replace(state, focus=Asking() if state.job.draft is not None else Hub())


def _opened(state: State) -> Step:
    turn = Turn(replace(resumed(state), cautioned=frozenset(), asleep=False, misses=0))
    job = turn.job
    if job.draft is not None:
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
        return _missed(state, out_of_place(stage, state.misses + 1, question(state)))
    clear = replace(state, misses=0)
    turn = Turn(clear, " ".join(words))
    try:
        _act(turn, meaning)
        _reconfirm(turn)
    except ImpossibleError as error:
        turn = Turn(clear, " ".join(words))
        if isinstance(clear.focus, (Choosing, Doubting)):
            turn.focus(clear.focus.under)
        turn.say(impossible(clear.job.settings, error), question(turn.state))
    return turn.done()


def _reconfirm(turn: Turn) -> None:
    """Marks are only called for a gap that stands confirmed, and after the caution: a change or a break asks again."""
    position = turn.job.position
    if not isinstance(turn.state.focus, Walking):
        return
    if position is None or position.bay not in turn.job.confirmed:
        turn.focus(ConfirmingGap())
        turn.say("That changes the gap.", question(turn.state))
    elif NAILING.key not in turn.state.cautioned:
        turn.focus(Hub())
        turn.say("To go on, say: carry on.")


def _act(turn: Turn, intent: Intent) -> None:
    act = intent.act
    if act in CHOICES:
        choose_setting(turn, act)
    elif act in PLAIN:
        PLAIN[act](turn, intent)
    elif act in NUMBER:
        number(turn, intent)
    else:
        raise KeyError(act)
