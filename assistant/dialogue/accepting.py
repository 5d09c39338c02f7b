"""Accepting a number: which reading was meant, whether it is likely, and only then what it was given for.

A number is never taken on trust: two readings, or a teen that might be a ty, are asked; an unlikely value is questioned; and what is
accepted is read back in another form than it was said in.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from assistant.dialogue import forms
from assistant.dialogue.asking import answer_key, given_for, labelled, open_form, question
from assistant.dialogue.forms import Slot
from assistant.dialogue.speaking import spoken
from assistant.dialogue.state import Asking, Choosing, ConfirmingGap, Doubting
from assistant.dialogue.subjects.closing_sum import RUN_LENGTH, would_close
from assistant.dialogue.subjects.slipped_picket import far_from_mark, rail_asked
from assistant.dialogue.turn import Turn
from assistant.language.understanding import Intent
from assistant.language.vocabulary import Act
from assistant.numbers import Ambiguous, SpokenLength, alternatives, parse_length, say_count, teen_ty_twins
from assistant.setout.doubts import Doubtful, doubts, small_gap
from assistant.setout.lengths import Length
from assistant.setout.spacing import Bay

_RUN = (Act.RUN_IS, Act.RUN_OUTSIDE, Act.RUN_INSIDE)
_LIMITS = frozenset((Act.SET_LARGEST_GAP, Act.SET_GAP_UNDER))
_LIKELY = {
    Act.SET_PICKET: forms.PICKET,
    Act.SET_LARGEST_GAP: forms.GAP,
    Act.SET_GAP_UNDER: forms.GAP,
    Act.SET_BOTTOM: forms.OPENING,
    Act.SET_TOP: forms.OPENING,
    Act.SET_MIDDLE: forms.OPENING,
    Act.ENDS_SET: forms.GAP,
    Act.GAP_MEASURES: forms.GAP,
    **dict.fromkeys(_RUN, RUN_LENGTH),
}


def likely(turn: Turn, intent: Intent, value: Length) -> bool:
    """Whether a value is of a likely size for what it was given for."""
    if intent.act in _LIKELY:
        low, high = _LIKELY[intent.act]
        return low <= value <= high
    found = open_form(turn.state)
    if intent.act is Act.VALUE and isinstance(turn.state.focus, Asking) and found:
        return found[1].likely(value)
    if intent.act is Act.VALUE and isinstance(turn.state.focus, ConfirmingGap):
        # A gap said back without its unit: “eighty three point two” is no length in metres here.
        return forms.GAP[0] <= value <= forms.GAP[1]
    return True


def readings(turn: Turn, intent: Intent) -> tuple[Length, ...]:
    """The lengths that may have been meant, the likeliest first; one when there is nothing to ask."""
    heard = intent.length
    assert heard is not None
    if isinstance(heard, Ambiguous):
        found = [candidate.mm for candidate in heard.candidates if isinstance(candidate, SpokenLength)]
        return tuple(value for value in found if likely(turn, intent, value)) or tuple(found)
    if not likely(turn, intent, heard.mm):
        others = [other.mm for other in alternatives(heard) if likely(turn, intent, other.mm)]
        if others:
            return tuple(others)
    if turn.typed or isinstance(turn.state.focus, ConfirmingGap):
        return (heard.mm,)  # what is typed sounds like nothing else, and a gap said back is held against the gap, which is known
    twins = []
    for words in teen_ty_twins(heard.words):
        twin = parse_length(words, turn.settings.unit)
        if isinstance(twin, SpokenLength) and twin.mm != heard.mm and likely(turn, intent, twin.mm):
            twins.append(twin.mm)
    if intent.act in _RUN:  # the sum tells which of two was meant
        return (heard.mm, *(twin for twin in twins[:1] if would_close(turn.job, twin) and not would_close(turn.job, heard.mm)))
    # A twin that goes ill with the rest of the job is not asked about; what was heard is never given up for it unasked.
    return (heard.mm, *(twin for twin in twins[:1] if not doubt(turn, intent, twin)))


def doubt(turn: Turn, intent: Intent, value: Fraction) -> str:
    """Why a value is unlikely, in a sentence; empty when it is likely."""
    settings = turn.settings
    said = say_count(int(value)) if intent.length is None else spoken(settings, value)
    told = labelled(given_for(turn.state, intent), said)
    if not likely(turn, intent, value):
        return f"{told} That is unlikely."
    slot = _slot(turn, intent)
    if intent.act in (Act.SET_BOTTOM, Act.SET_TOP, Act.SET_MIDDLE) or slot in ("bottom", "top", "opening"):
        other = _same_bay_opening(turn, intent, slot)
        if other is not None and abs(value - other) > forms.TOP_TO_BOTTOM:
            return f"{told} Top and bottom then differ by {spoken(settings, abs(value - other))}."
        unlike = "" if slot == "opening" else _unlike_the_run(turn, value)
        if unlike:
            return f"{told} {unlike}"
    if not turn.typed and intent.act in _LIMITS and settings.limit is not None and _asks_something_else(turn):
        return f"{told} It was {spoken(settings, settings.limit.value)}."
    small = _lost_beside_the_other(turn, intent, slot, value)
    if small:
        return f"{told} {small}"
    if slot == "actual" and far_from_mark(turn.job, value):
        return f"{labelled(rail_asked(turn.job), said)} That is far from where that picket belongs."
    usual = settings.picket
    if slot == "width" and usual is not None and abs(value - usual) > forms.UNLIKE_WIDTH:
        return f"{told} That is unlike the other pickets."
    return ""


def _asks_something_else(turn: Turn) -> bool:
    """Whether the question is neither of the settings nor of a bay: there “and fifty one”, the rest of a number, sounds like “under …”."""
    found = open_form(turn.state)
    return isinstance(turn.state.focus, Asking) and found is not None and found[0] not in (forms.SETUP, forms.BAY)


def _lost_beside_the_other(turn: Turn, intent: Intent, slot: str, value: Length) -> str:
    """What is odd about a largest gap beside the pickets, or the other way round; a digit or a unit may have been lost of either."""
    settings, found = turn.settings, open_form(turn.state)
    given = found[2] if found is not None and found[0] is forms.SETUP else {}
    picket = given.get("picket", settings.picket)
    limit = given.get("limit", None if settings.limit is None else settings.limit.value)
    if (intent.act in _LIMITS or slot == "limit") and picket is not None and small_gap(value, picket):
        return f"That is small beside pickets of {spoken(settings, picket)}."
    if (intent.act is Act.SET_PICKET or slot == "picket") and limit is not None and small_gap(limit, value):
        return f"The largest gap is small beside that: {spoken(settings, limit)}."
    return ""


def _unlike_the_run(turn: Turn, value: Length) -> str:
    """What is odd about an opening beside those of the job, in a sentence; empty when nothing is."""
    settings = turn.settings
    if settings.picket is None or settings.limit is None:
        return ""
    openings = [max(opening for _, opening in bay.openings) for bay in turn.job.bays if bay.gate is None]
    run = [Bay(opening, settings.picket, settings.limit) for opening in (*openings, value)]
    for one in doubts(run):
        if one.bay == len(run) - 1:
            match one.kind:
                case Doubtful.TEN_TIMES_OFF if one.likely is not None:
                    return f"Ten times that, or a tenth, is usual in this job: {spoken(settings, one.likely)}."
                case Doubtful.NO_PICKET_NEEDED:
                    return "That is within the largest gap: it needs no picket."
                case _:
                    return "That is far from the other openings of this job."
    return ""


def _slot(turn: Turn, intent: Intent) -> str:
    found = open_form(turn.state)
    return found[1].key if intent.act is Act.VALUE and found and isinstance(turn.state.focus, Asking) else ""


def _same_bay_opening(turn: Turn, intent: Intent, slot: str) -> Length | None:
    """The opening that this one ought to be like."""
    if slot in ("top", "bottom"):
        found = open_form(turn.state)
        return found[2].get("bottom" if slot == "top" else "top") if found else None
    if intent.act is Act.VALUE or not turn.job.bays:
        return None
    bay = turn.job.bays[turn.job.current]
    return bay.opening("top" if intent.act is Act.SET_BOTTOM else "bottom")


def accept(turn: Turn, intent: Intent, *, chosen: bool = False, sure: bool = False) -> Length | None:
    """The value an intent gives, once nothing about it needs asking; None when a question was asked instead."""
    if intent.count is not None and intent.length is None:
        value: Length = Fraction(intent.count)
    else:
        found = readings(turn, intent)
        if len(found) > 1 and not chosen:
            turn.focus(Choosing(intent, found, turn.state.focus))
            turn.say(question(turn.state))
            return None
        value = found[0]
    if intent.length is not None and value > forms.LONGEST:
        turn.say("That is longer than any fence I can set out.", question(turn.state))
        return None
    refused = _refused(turn, intent, value)
    if refused:
        turn.say(refused, question(turn.state))
        return None
    reason = "" if sure else doubt(turn, intent, value)
    asks = not (reason or chosen or sure or isinstance(turn.state.focus, ConfirmingGap))
    if asks and isinstance(intent.length, SpokenLength) and value != intent.length.mm:
        # Twenty four taken for twenty four hundred, because only that is likely: likely is not certain.
        reason = labelled(given_for(turn.state, intent), spoken(turn.settings, value))
    if reason:
        turn.focus(Doubting(settled(intent, value), value, turn.state.focus))
        turn.say(reason, question(turn.state))
        return None
    return value


def _refused(turn: Turn, intent: Intent, value: Fraction) -> str:
    """Why an answer cannot be taken at all, in sentences; empty where it can."""
    found = open_form(turn.state)
    if intent.act is not Act.VALUE or found is None or not isinstance(turn.state.focus, Asking):
        return ""
    slot = found[1]
    said = say_count(int(value)) if intent.length is None else spoken(turn.settings, value)
    return f"{labelled(slot.name, said)} {slot.only}" if slot.only and not slot.likely(value) else ""


def settled(intent: Intent, value: Length) -> Intent:
    """The intent with one reading chosen, as if only that had been heard."""
    heard = intent.length
    if heard is None:
        return replace(intent, count=int(value))
    if isinstance(heard, Ambiguous):
        heard = next(c for c in heard.candidates if isinstance(c, SpokenLength) and c.mm == value)
    return replace(intent, length=replace(heard, mm=value))


def slot_answer(turn: Turn, slot: Slot, value: Fraction) -> tuple[tuple[str, Fraction], ...]:
    """The answers of the open form with one more."""
    found = open_form(turn.state)
    assert found is not None
    form, _, answers = found
    return tuple({**answers, answer_key(form, slot, answers): value}.items())
