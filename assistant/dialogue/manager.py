"""The conversation: `step(state, event) -> (state, effects)`, pure, and the only way a job changes.

An utterance is understood by the one vocabulary and handed to whom the table names.  Whatever cannot be set out is said in a sentence
and leaves everything as it was.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from assistant.dialogue import forms
from assistant.dialogue.asking import listened_for, open_form, question, settled_focus, takes
from assistant.dialogue.cautions import NAILING
from assistant.dialogue.doubted import keep_doubts
from assistant.dialogue.elsewhere import do_elsewhere, has_another_place
from assistant.dialogue.marking import left_at
from assistant.dialogue.registry import FORMS
from assistant.dialogue.reprompts import not_understood, nothing_heard, out_of_place
from assistant.dialogue.sentences import carry_out
from assistant.dialogue.speaking import bay_name, impossible, sentence
from assistant.dialogue.state import (
    REMEMBERED,
    Asking,
    Cautioning,
    ConfirmingGap,
    Deciding,
    Decision,
    Focus,
    Hub,
    Kind,
    Past,
    State,
    Walking,
)
from assistant.dialogue.subjects import slipped_picket, sloping_ground
from assistant.dialogue.subjects.closing_sum import after_a_change
from assistant.dialogue.table import TABLE
from assistant.dialogue.turn import Turn
from assistant.dialogue.unsure import unsure
from assistant.events import Effect, Event, JobOpened, NothingHeard, Signal, Speak, Tone, Utterance
from assistant.fold import apply, standing_turns
from assistant.job import CautionAcknowledged, Fact, Job, MarkCalled, SetOutConfirmed
from assistant.language.guide import guide
from assistant.language.understanding import Intent, OutOfPlace, Understanding, Unknown, intents, understand
from assistant.language.vocabulary import Act, Stage
from assistant.plan import marking, next_to_mark, taken_over
from assistant.setout.trouble import ImpossibleError

Step = tuple[State, tuple[Effect, ...]]


def step(state: State, event: Event) -> Step:
    """The state after an event, and what is to be done: facts to record first, then what is spoken."""
    match event:
        case JobOpened(title):
            return _opened(state, title)
        case NothingHeard() if state.stage in (Stage.WALK, Stage.ASLEEP):
            return state, ()  # silence while marking is work going on
        case NothingHeard():
            return _missed(state, nothing_heard(state.stage, state.misses + 1, question(state)))
        case Utterance() if state.asleep:
            return _heard_asleep(state, event)
        case Utterance(doubt=doubt) if doubt:
            asked = unsure(state, event)
            # While marking it may be talk among people: a tone once, then silence until something is understood.
            return asked if state.stage is Stage.WALK and state.misses else _or_else(Tone.NOT_CAUGHT, asked)
        case Utterance():
            return _heard(state, event)


def _or_else(tone: Tone, step: Step) -> Step:
    """A step, with a signal where it says nothing."""
    after, effects = step
    return after, effects if any(isinstance(one, Speak) for one in effects) else (*effects, Signal(tone))


def resumed_focus(job: Job) -> Focus:
    """What is waited for in a job taken up from its record."""
    if job.draft is None:
        return Hub()
    if open_form(State(job=job)) is not None:
        return Asking()
    if job.draft.form == sloping_ground.RAKED.key:
        return Deciding(Decision.TAPED_LEVEL, job.bays[job.current].number)
    form = FORMS[job.draft.form]
    # Full, and not finished with: a slip waits for a yes or a no, else an answer was given once more and was in question.
    return Deciding(Decision.SAME_SLIP) if form is slipped_picket.SLIP else Asking(form.slots[-1].key)


def resumed(state: State) -> State:
    """A state rebuilt from a record, waiting for what the job was at."""
    return replace(state, focus=resumed_focus(state.job))


def taken_up(groups: Iterable[Sequence[Fact]]) -> State:
    """The state that a record describes, its facts given turn by turn; what was done before the break can be undone after it."""
    job, count = Job(), 0
    past: list[Past] = []
    for group in standing_turns(groups):
        past.append(Past(job, resumed_focus(job), group))
        for fact in group:
            job = apply(job, fact)
        count += len(group)
    return resumed(State(job=job, facts=count, past=tuple(past[-REMEMBERED:])))


def _opened(state: State, title: str) -> Step:
    turn = Turn(replace(resumed(state), cautioned=frozenset(), asleep=False, misses=0, queued=(), kept=None))
    _take_over(turn)
    job = turn.job
    if not job.bays and job.draft is None:
        turn.begin(forms.SETUP, "Ready. At any time you can ask: what can I say.")
        return turn.done()
    turn.say(sentence(f"back to {title}") if title else "Back to the job.")
    if job.draft is not None:
        turn.say(question(turn.state))
    elif left := left_at(job):
        turn.say(left)
    elif job.standing and (index := next_to_mark(job)) is not None:
        turn.say(f"For {bay_name(job.bays[index])}, say: start marking.")
    else:
        turn.say(question(turn.state) or "Say: next bay, or no more bays.")
    return turn.done()


def _take_over(turn: Turn) -> None:
    """Bays confirmed in a record of version 1 are set out as they were, from now on as values."""
    for index in sorted(turn.job.by_index):
        found = taken_over(turn.job, index)
        if found is None:
            continue
        made, called = found
        turn.fact(SetOutConfirmed(turn.job.bays[index].number, made))
        for position in called:
            turn.fact(MarkCalled(position))


def _missed(state: State, text: str) -> Step:
    """A miss, answered; one that is met with silence is not counted, so that two answers running are never the same."""
    if not text:
        return state, ()
    turn = Turn(replace(state, misses=state.misses + 1))
    kept = state.said
    turn.say(text)
    after, effects = turn.done()
    return replace(after, said=kept), effects


def _meaning(state: State, utterance: Utterance) -> Understanding:
    return understand(utterance.words, *listened_for(state)) if utterance.understood else Unknown(utterance.words)


def _heard_asleep(state: State, utterance: Utterance) -> Step:
    """Deaf but for the waking; a keyboard is told so."""
    if isinstance(_meaning(state, utterance), Intent) and not utterance.doubt:
        return _heard(state, utterance)
    if not utterance.typed:
        return state, ()
    turn = Turn(state)
    turn.say(_ASLEEP[state.said == _ASLEEP[0]])
    return turn.done()


_ASLEEP = ("I am asleep. To wake me, say: wake up assistant.", "Still asleep. Only this wakes me: wake up assistant.")
"""In turn, so that no complaint comes twice running."""


def _heard(state: State, utterance: Utterance) -> Step:
    words, stage, meaning = utterance.words, state.stage, _meaning(state, utterance)
    if isinstance(meaning, Unknown):
        if utterance.typed:
            listed, following = guide(stage, 0, takes(state))
            return _missed(replace(state, help_from=following), not_understood(stage, state.misses + 1, question(state), listed))
        missed = _missed(state, not_understood(stage, state.misses + 1, question(state)))
        return missed if stage is Stage.WALK else _or_else(Tone.NOT_CAUGHT, missed)  # people talk while they work
    if isinstance(meaning, OutOfPlace):
        kept = _kept_for_later(state, utterance, meaning)
        if kept is not None:
            return kept
        if not has_another_place(state, meaning.intent, alone=meaning.alone):
            return _no_place(state, utterance)
    clear = replace(state, misses=0)
    turn = Turn(clear, " ".join(words), typed=utterance.typed)
    if not _BOARDS.issuperset(one.act for one in intents(meaning)):
        turn.note(board=None)
    elsewhere = isinstance(meaning, OutOfPlace)
    meant = (meaning.intent,) if isinstance(meaning, OutOfPlace) else intents(meaning)
    act = meant[0].act
    try:
        if elsewhere:
            turn.note(queued=())
            do_elsewhere(turn, meant[0])
        else:
            carry_out(turn, meant)
        _take_kept(turn)
        keep_doubts(turn, act)
        after_a_change(turn)
        _round_off(turn)
    except ImpossibleError as error:
        turn = Turn(clear, " ".join(words))
        turn.focus(settled_focus(clear.focus))
        turn.note(kept=None, queued=(), redo=None)  # “no, …” is about what could not be set out, not about the number before it
        turn.say(impossible(clear.job.settings, error), question(turn.state))
    if act in _ANSWERS and not turn.facts and " ".join(turn.parts) == state.said:
        turn.say("Or ask: what can I say.")
    return _or_else(Tone.GOT_IT, turn.done())


_BOARDS = frozenset((Act.NEXT, Act.BOARD, Act.REPEAT, Act.HOLD, Act.CARRY_ON, Act.LOUDER, Act.QUIETER, Act.FASTER, Act.SLOWER, Act.HELP))
"""What leaves the calling of overlapping boards where it is."""
_ANSWERS = frozenset(
    (
        Act.VALUE, Act.SAME, Act.CORRECT, Act.YES, Act.NO, Act.NEXT, Act.BACK, Act.STOP, Act.UNDO, Act.CARRY_ON, Act.ALL_MEASURED,
    )
)  # fmt: skip
"""What is said to get on: who gets the same reply to it once more is told how to get help."""


def _no_place(state: State, utterance: Utterance) -> Step:
    """What was understood, and cannot be done now: it is no miss, and is answered the same every time."""
    turn = Turn(replace(state, misses=0), " ".join(utterance.words))
    turn.say(out_of_place(state.stage, question(state)))
    turn.aside = True
    return turn.done()


def _kept_for_later(state: State, utterance: Utterance, meaning: OutOfPlace) -> Step | None:
    """What was said before a caution was acknowledged, and counts behind it."""
    focus = state.focus
    if not isinstance(focus, Cautioning) or isinstance(focus.then, Walking) or focus.then.kind.stage not in meaning.stages:
        return None
    turn = Turn(replace(state, misses=0), " ".join(utterance.words))
    turn.note(kept=meaning.intent)
    turn.say("I keep that until then.", question(state))
    return turn.done()


def _take_kept(turn: Turn) -> None:
    kept, focus = turn.state.kept, turn.state.focus
    if kept is None or isinstance(focus, Cautioning):
        return
    turn.note(kept=None)
    handler = TABLE.get((focus.kind, kept.act))
    if handler is not None and any(isinstance(fact, CautionAcknowledged) for fact in turn.facts):
        handler(turn, kept)


def _round_off(turn: Turn) -> None:
    """What was begun is gone on with; marks are only called for a gap that stands confirmed, and after the caution; and what is asked next
    is said, if it was not.
    """
    if isinstance(turn.state.focus, Hub) and turn.job.draft is not None:  # something else was settled in between: a bay taken away
        turn.focus(resumed_focus(turn.job))
    if isinstance(turn.state.focus, Walking):
        at = marking(turn.job)
        standing = None if at is None else turn.job.standing_of(at.set_out.bay.number)
        if standing is None or not standing.confirmed:
            turn.focus(ConfirmingGap() if turn.job.bays else Hub())
        elif NAILING.key not in turn.state.cautioned:
            turn.focus(Hub())
            turn.say("To go on, say: carry on.")
            turn.asked = True
    moved = turn.closed or turn.state.focus != turn.start.focus or turn.state.job.draft != turn.start.job.draft
    asked = question(turn.state) if moved and not turn.asked and not turn.state.asleep else ""
    said = " ".join(turn.parts).lower()
    if asked and asked.lower() not in said and not (turn.state.focus.kind is Kind.HUB and "say:" in said):
        turn.say(asked)
