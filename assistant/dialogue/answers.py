"""Intents that carry a number: asked about until settled, taken for what it was given for, or put in the place of the last one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TypeAlias

from assistant.dialogue import bays, forms, marking
from assistant.dialogue.accepting import accept, readings, settled, slot_answer
from assistant.dialogue.asking import labelled, open_form, question
from assistant.dialogue.cautions import LIMITS
from assistant.dialogue.finishing import finish
from assistant.dialogue.reprompts import out_of_place
from assistant.dialogue.speaking import bare, bay_name, limit_words, read_back, sentence, spoken
from assistant.dialogue.state import Asking, Choosing, ConfirmingGap, Deciding, Decision, Doubting, Kind, Past, Walking
from assistant.dialogue.subject import Handler
from assistant.dialogue.subjects import far_post
from assistant.dialogue.subjects.closing_sum import run_is
from assistant.dialogue.subjects.site_checks import gap_measures
from assistant.dialogue.turn import Turn
from assistant.job import BayChosen, BaySet, DraftChanged
from assistant.language.understanding import Intent, Wants, understand
from assistant.language.vocabulary import BEFORE_A_CORRECTION, PUBLISHED_LIMITS, Act, Stage, named_by
from assistant.numbers import SpokenLength
from assistant.plan import following
from assistant.setout.ends import set_gap
from assistant.setout.lengths import Length, Unit
from assistant.setout.limits import GapLimit

Taker: TypeAlias = Callable[[Turn, Intent, Length], None]


def number_again(turn: Turn, intent: Intent) -> None:
    """A number said while one is in question: it settles the question, or takes the place of the number."""
    focus = turn.state.focus
    assert isinstance(focus, (Choosing, Doubting))
    offered = focus.readings if isinstance(focus, Choosing) else ()
    if isinstance(focus, Doubting) and focus.off and isinstance(intent.length, SpokenLength) and intent.length.mm <= forms.TOP_TO_BOTTOM:
        turn.focus(focus.under)
        _take_reckoned(turn, focus.reading + focus.off * intent.length.mm)
        return
    turn.focus(focus.under)
    said = getattr(intent.length, "mm", None)
    if isinstance(focus, Choosing) and said is not None and said not in offered and (part := _part_of_one(said, offered)) is not None:
        take(turn, settled(focus.intent, part), chosen=True)
        return
    count = intent.count if focus.intent.length is None else focus.intent.count  # beside a length it is the bay
    meant = replace(focus.intent, length=intent.length, count=count, words=intent.words)
    take(turn, meant, chosen=said is not None and said in offered)


def _part_of_one(said: Length, offered: tuple[Length, ...]) -> Length | None:
    """The one of two readings that ends with what was said: “fifteen” of eighteen fifteen; None where neither does, or both."""
    if not 10 <= said < 100:
        return None
    ending = [one for one in offered if one % 100 == said]
    return ending[0] if len(ending) == 1 else None


def off(sign: int) -> Handler:
    """“Bare”, “full”: a little under or over what was said; by how much is asked, for a mark is no place to guess."""

    def asked(turn: Turn, intent: Intent) -> None:
        found, under = open_form(turn.state), turn.state.focus
        lengths = () if intent.length is None else readings(turn, replace(intent, act=Act.VALUE))
        if found is None or found[1].wants is not Wants.LENGTH or len(lengths) != 1:
            turn.say("Then say the whole length.", question(turn.state))
            return
        turn.focus(Doubting(replace(intent, act=Act.VALUE), lengths[0], under, sign))
        turn.say(labelled(found[1].name, spoken(turn.settings, lengths[0])), question(turn.state))

    return asked


def beside_the_other(sign: int) -> Handler:
    """“Two less than the bottom”: so much less, or more, than what “the same” stands for."""

    def reckoned(turn: Turn, intent: Intent) -> None:
        base = _like(turn)
        if base is None:
            turn.say("There is nothing to take it from.", question(turn.state))
        elif not isinstance(intent.length, SpokenLength):
            turn.say("Then say the whole length.", question(turn.state))
        else:
            _take_reckoned(turn, base + sign * intent.length.mm)

    return reckoned


def _take_reckoned(turn: Turn, value: Length) -> None:
    """A length that was reckoned from another is none that could have been misheard for its twin."""
    if value <= 0:
        turn.say("Nothing would be left of it.", question(turn.state))
        return
    unit = turn.settings.unit
    take(turn, Intent(Act.VALUE, SpokenLength(value, unit, unit, ())))


def ask_again(turn: Turn, intent: Intent) -> None:
    """Something that does not answer the question on the table."""
    turn.say(question(turn.state))


def correct(turn: Turn, intent: Intent) -> None:
    """“No, …”: what the last number was given for gets this one instead."""
    redo = turn.state.redo
    if intent.instead is not None and redo is not None and getattr(intent.instead, "mm", None) != getattr(redo.length, "mm", None):
        redo = None  # it puts another number right than the last one
    if redo is None or not turn.state.past:
        if turn.state.focus.kind is Kind.ASKING:
            take(turn, replace(intent, act=Act.VALUE))
        elif turn.state.focus.kind in (Kind.HUB, Kind.GAP) and turn.job.bays:
            turn.say("Which one? Say: bottom, or top, and the length.")
        else:
            turn.say("There is no number to correct.", question(turn.state))
        return
    # The number is read as what it corrects, whatever the question on the table wants by now.
    wants = Wants.COUNT if redo.length is None else Wants.LENGTH
    given = intent if wants is Wants.LENGTH and intent.length is not None else _number_in(intent.words, wants, turn.settings.unit)
    if given is None:
        turn.say(f"That is not a {wants.value}.", question(turn.state))
        return
    past = turn.state.past[-1]
    rail = _rail_answered(past)
    turn.undo()
    if redo.act is Act.BOTH:
        both(turn, replace(redo, length=given.length))
        return
    if turn.job.draft is None and redo.act is Act.VALUE:  # the same breath began what was answered: “next bay two thousand”
        begun = next(fact.draft for fact in past.facts if isinstance(fact, DraftChanged) and fact.draft is not None)
        turn.fact(DraftChanged(replace(begun, answers=())))
        turn.ask()
    if rail and turn.state.focus.kind is Kind.ASKING:
        turn.focus(Asking(rail))
    take(turn, replace(redo, length=given.length, count=redo.count if redo.length is not None else given.count, words=intent.words))


_SETTING = {Act.SET_PICKET: "picket", Act.SET_LARGEST_GAP: "limit", Act.SET_GAP_UNDER: "limit"}
_RAILS = {Act.SET_BOTTOM: "bottom", Act.SET_TOP: "top"}


def _number_in(words: tuple[str, ...], wants: Wants, unit: Unit) -> Intent | None:
    """The number of “no …”, “no, make it …”."""
    for at in range(1, len(words)):
        given = understand(words[at:], Stage.ASK, wants, unit)
        if isinstance(given, Intent) and given.act is Act.VALUE:
            return given
    return None


def _rail_answered(past: Past) -> str:
    """Which opening of a bay a turn answered; empty for none."""
    before = past.job.draft
    for fact in past.facts:
        if isinstance(fact, DraftChanged) and fact.draft is not None and fact.draft.form == forms.BAY.key and before is not None:
            return next((key for key, value in fact.draft.answers if dict(before.answers).get(key) != value), "")
    return ""


def _asks(turn: Turn, form: forms.Form) -> bool:
    return turn.state.focus.kind is Kind.ASKING and turn.job.draft is not None and turn.job.draft.form == form.key


def both(turn: Turn, intent: Intent) -> None:
    """One length for both openings of a bay."""
    if turn.state.focus.kind is Kind.HUB and intent.words[:1] not in _CORRECTING:
        turn.more = True
        bays.new(turn, intent)
    if _in_setup(turn):
        take(turn, replace(intent, act=Act.VALUE))  # “ninety each”
        return
    if turn.state.focus.kind is Kind.ASKING and not _asks(turn, forms.BAY):
        turn.say(question(turn.state))
        return
    bottom = Intent(Act.VALUE if _asks(turn, forms.BAY) else Act.SET_BOTTOM, intent.length, intent.count, intent.words)
    if not _asks(turn, forms.BAY):
        top = replace(bottom, act=Act.SET_TOP)
    else:
        draft = turn.job.draft
        if draft is not None and draft.answers:  # of the opening too that was answered before
            turn.fact(DraftChanged(replace(draft, answers=())))
        turn.focus(Asking("bottom"))
        top = Intent(Act.SAME, intent.length, words=intent.words)  # its length tells it from “the same” said by itself
    turn.note(queued=(top, *turn.state.queued))
    turn.more = True
    take(turn, bottom)


def same_bay(turn: Turn, intent: Intent) -> None:
    """The openings of another bay, or of the last one, for the bay that is measured next."""
    index = bays.index_of(turn, intent.count) if intent.count is not None else len(turn.job.bays) - 1
    if index is None:
        return
    if index < 0 or turn.job.bays[index].gate is not None:
        turn.say("There is no bay to take it from.", question(turn.state))
        return
    bay = turn.job.bays[index]
    bottom, top = bay.opening("bottom"), bay.opening("top")
    if not _asks(turn, forms.BAY):
        if turn.state.focus.kind is not Kind.HUB:
            turn.say(question(turn.state))
            return
        turn.more = True
        bays.new(turn, intent)
    draft = turn.job.draft
    assert draft is not None and bottom is not None
    answers = {"bottom": bottom, "top": bottom if top is None else top}
    turn.fact(DraftChanged(replace(draft, answers=tuple(answers.items()))))
    turn.say(sentence(f"as {bay_name(bay)}: bottom {bare(turn.settings, bottom)}, top {bare(turn.settings, answers['top'])}"))
    finish(turn, answers)


def thickness(turn: Turn, intent: Intent) -> None:
    """How thick a picket is: nothing hangs on it."""
    if not turn.more:
        turn.say("Only the width counts.", question(turn.state))


def take(turn: Turn, intent: Intent, *, chosen: bool = False, sure: bool = False) -> None:
    """A number for what it was given for, once nothing about it needs asking."""
    rail = _RAILS.get(intent.act)
    if rail and turn.state.focus.kind is Kind.ASKING and _asks(turn, forms.SETUP):
        turn.say(out_of_place(Stage.ASK, question(turn.state)))
        return
    if _names_the_other_clearance(turn, intent):
        turn.say(out_of_place(Stage.ASK, question(turn.state)))
        return
    if rail:
        other = _other_bay(turn, intent, rail)
        if other is None:
            return
        if other and not _turned_to(turn, intent, turn.job.index_of(other)):
            return
        if other and turn.state.focus.kind is Kind.ASKING:
            intent = replace(intent, count=other)
        if not other and turn.state.focus.kind is Kind.ASKING:
            # Of the bay that is asked about, in whatever order.
            if not _asks(turn, forms.BAY):
                turn.say(question(turn.state))
                return
            turn.focus(Asking(rail))
            intent = replace(intent, act=Act.VALUE, count=None)
    value = accept(turn, intent, chosen=chosen, sure=sure)
    if value is None:
        return
    intent = settled(intent, value)
    turn.redo = intent
    TAKERS[intent.act](turn, intent, value)


def _names_the_other_clearance(turn: Turn, intent: Intent) -> bool:
    """Whether a clearance of a gate is given for the latch where the hinges are asked about, or the other way round."""
    found = open_form(turn.state)
    if found is None or found[1].key not in ("hinge", "latch"):
        return False
    named = {"hinge" if word in ("hinge", "hinges") else word for word in intent.words} & {"hinge", "latch"}
    return bool(named) and found[1].key not in named


_CORRECTING = tuple((word,) for word in BEFORE_A_CORRECTION)


def _other_bay(turn: Turn, intent: Intent, rail: str) -> int | None:
    """The number of the measured bay that an opening is of; 0 for the bay at hand; None where there is no such bay, which is said."""
    job, draft = turn.job, turn.job.draft
    measuring = _asks(turn, forms.BAY) and draft is not None
    if intent.count is not None:
        if measuring and draft is not None and intent.count == (draft.bay or job.next_number):
            return 0
        if turn.state.focus.kind is Kind.HUB and intent.count == job.next_number and turn.settings.limit is not None:
            bays.new(turn, intent)  # “bay two is twenty one sixty at the bottom”
            return 0
        return None if bays.index_of(turn, intent.count) is None else intent.count
    if turn.state.focus.kind is not Kind.ASKING:
        return job.bays[job.current].number if job.bays else 0
    # “No, the bottom was …” before anything of this bay was measured is about the one before.
    corrects = intent.words[:1] in _CORRECTING
    if measuring and draft is not None and corrects and draft.bay is None and not draft.answers and job.bays and job.bays[-1].gate is None:
        return job.bays[-1].number
    return 0


def _turned_to(turn: Turn, intent: Intent, index: int | None) -> bool:
    """Whether a bay that was measured can be changed; where it is set out, it is asked whether to open it, and what was said waits."""
    if index is None:
        return False
    number = turn.job.bays[index].number
    if turn.job.standing_of(number) is not None:
        turn.note(queued=(replace(intent, count=number), *turn.state.queued))
        turn.focus(Deciding(Decision.REOPEN, number))
        return False
    if turn.job.current != index:
        turn.fact(BayChosen(index))
    return True


def same(turn: Turn, intent: Intent) -> None:
    """“The same”: the answer that this question goes by; the last bay's where there is none."""
    found = open_form(turn.state)
    if found is not None and found[0] is forms.BAY and not found[2] and turn.job.bays and "last" in intent.words:
        same_bay(turn, replace(intent, count=None))  # “same as the last one” before anything of this bay was measured
        return
    if found is not None and found[0] is forms.BAY and intent.words[:1] == ("top",) and "top" not in found[2]:
        turn.focus(Asking("top"))
    value = _like(turn)
    if value is None:
        turn.say("There is nothing to take it from.", question(turn.state))
        return
    # What a correction then replaces, as if the number itself had been said.
    unit = turn.settings.unit
    turn.redo = Intent(Act.VALUE, SpokenLength(value, unit, None, intent.words), words=intent.words)
    both_said = intent.length is not None  # in this breath, and read back a moment ago
    _answered(turn, value, "the same" if both_said else f"the same, {spoken(turn.settings, value)}")


def _like(turn: Turn) -> Length | None:
    """What the answer to the question on the table is often like: the bottom of a top, the last bay's; None where there is none."""
    found = open_form(turn.state)
    if found is None:
        return None
    form, slot, answers = found
    value = answers.get(slot.same_as)
    if value is None and turn.job.bays and form is forms.BAY:
        value = turn.job.bays[-1].opening(slot.key)
    return value


def _value(turn: Turn, intent: Intent, value: Length) -> None:
    """A number alone: the answer to the question on the table."""
    if isinstance(turn.state.focus, ConfirmingGap):
        turn.redo = None
        marking.confirm_gap(turn, value)
        return
    _answered(turn, value, read_back(turn.settings, intent))


def _answered(turn: Turn, value: Length, said: str) -> None:
    found, draft = open_form(turn.state), turn.job.draft
    assert found is not None and draft is not None
    form, slot, _ = found
    # What is said anew in the same breath is not known until then.
    anew = {_SETTING.get(one.act) for one in turn.state.queued}
    answers = tuple((key, given) for key, given in slot_answer(turn, slot, value) if key == slot.key or key not in anew)
    turn.fact(DraftChanged(replace(draft, answers=answers)))
    turn.ask()
    turn.say(labelled(slot.name, said))
    if form.repeats or form.next_slot(dict(answers)) is not None:
        turn.say("" if turn.more else question(turn.state))
    else:
        finish(turn, dict(answers))


def _picket(turn: Turn, intent: Intent, value: Length) -> None:
    if _in_setup(turn):
        turn.focus(Asking("picket"))
        _value(turn, intent, value)
        return
    turn.settle(picket=value)
    turn.say(sentence(f"pickets {read_back(turn.settings, intent)}"))
    follow(turn)
    resay(turn)


def _limit(turn: Turn, intent: Intent, value: Length) -> None:
    limit = GapLimit(value, strict=intent.act is Act.SET_GAP_UNDER)
    setup = _in_setup(turn)
    turn.settle(limit=limit)
    if setup:
        turn.focus(Asking("limit"))
        _value(turn, intent, value)
        return
    turn.say(sentence(f"gaps {limit_words(turn.settings, limit)}"))
    follow(turn)
    resay(turn)


def use_limit(turn: Turn, intent: Intent) -> None:
    """A published limit, by its name; whose decision a limit is has to be acknowledged."""
    limit = named_by(PUBLISHED_LIMITS, intent.words)
    if limit is None:
        turn.say("I did not hear which limit.", "Ask: which limits.")
        return
    turn.say(sentence(f"{limit.name}: gaps {limit_words(turn.settings, limit)}"))
    setup, draft = _in_setup(turn), turn.job.draft
    turn.settle(limit=limit)
    if setup and draft is not None:
        turn.focus(Asking("limit"))
        found = open_form(turn.state)
        assert found is not None
        answers = slot_answer(turn, found[1], limit.value)
        turn.fact(DraftChanged(replace(draft, answers=answers)))
        turn.ask()
        if found[0].next_slot(dict(answers)) is None:
            finish(turn, dict(answers))
    else:
        follow(turn)
        resay(turn)
    turn.caution(LIMITS)


def _in_setup(turn: Turn) -> bool:
    found = open_form(turn.state)
    return found is not None and found[0] is forms.SETUP and turn.state.focus.kind is Kind.ASKING


def follow(turn: Turn) -> None:
    """Bays that are not set out follow the new pickets or limit at once."""
    job = turn.job
    waiting = [index for index, bay in enumerate(job.bays) if job.standing_of(bay.number) is None]
    for index in waiting:
        turn.fact(BaySet(index, replace(following(turn.job, index), count=None)))
    if waiting and turn.job.current != job.current:
        turn.fact(BayChosen(job.current))
    bays.concerned(turn)


def _end_gap(turn: Turn, intent: Intent, value: Length) -> None:
    turn.settle(left=set_gap(value), right=set_gap(value))
    turn.say(sentence(f"end gaps {read_back(turn.settings, intent)}"))
    bays.concerned(turn)
    resay(turn)


def _opening(rail: str) -> Taker:
    return lambda turn, intent, value: bays.set_opening(turn, rail, value, read_back(turn.settings, intent))


def _gap_measures(turn: Turn, intent: Intent, value: Length) -> None:
    turn.redo = None
    gap_measures(turn, intent, value)


def _run(turn: Turn, intent: Intent, value: Length) -> None:
    turn.redo = None
    run_is(turn, intent, value)


def _tape_says(turn: Turn, intent: Intent, value: Length) -> None:
    turn.redo = None
    turn.say(sentence(f"to the far post {read_back(turn.settings, intent)}"))
    far_post.judge(turn, value)


def resay(turn: Turn) -> None:
    """After a setting: what we were at."""
    if turn.more:
        return
    if isinstance(turn.state.focus, Walking):
        turn.say(marking.mark_text(turn, marking.at_mark(turn)))
    elif turn.state.focus.kind is Kind.HUB and turn.job.bays:
        if turn.job.standing_of(turn.job.bays[turn.job.current].number) is None:
            turn.told()
    else:
        turn.say(question(turn.state))


TAKERS: dict[Act, Taker] = {
    Act.VALUE: _value,
    Act.SET_PICKET: _picket,
    Act.SET_LARGEST_GAP: _limit,
    Act.SET_GAP_UNDER: _limit,
    Act.SET_BOTTOM: _opening("bottom"),
    Act.SET_TOP: _opening("top"),
    Act.SET_MIDDLE: _opening("middle"),
    Act.ENDS_SET: _end_gap,
    Act.GAP_MEASURES: _gap_measures,
    Act.RUN_IS: _run,
    Act.RUN_OUTSIDE: _run,
    Act.RUN_INSIDE: _run,
    Act.TAPE_SAYS: _tape_says,
}
"""What becomes of a number that was accepted, by what it was said for."""
