"""What is asked in each state, in the style the user chose."""

from __future__ import annotations

from fractions import Fraction

from assistant.dialogue.deciding import decision_question
from assistant.dialogue.forms import BAY, Form, Slot
from assistant.dialogue.registry import FORMS
from assistant.dialogue.speaking import bare, bay_called, bay_name, distinctly, gaps, limit_words, sentence, spoken
from assistant.dialogue.state import (
    Asking,
    Cautioning,
    Choosing,
    ConfirmingGap,
    Deciding,
    Doubting,
    Focus,
    Hub,
    Kind,
    State,
    Walking,
)
from assistant.language.expecting import LIKELY
from assistant.language.understanding import Intent, Wants
from assistant.language.vocabulary import Act, Stage
from assistant.measured import Bay
from assistant.numbers import say_count
from assistant.plan import is_confirmed, marking, next_to_mark, set_out_of
from assistant.setout.lengths import Unit
from assistant.setout.trouble import ImpossibleError


def open_form(state: State) -> tuple[Form, Slot, dict[str, Fraction]] | None:
    """The form being filled in, its next question and the answers so far; None when there is none."""
    draft = state.job.draft
    if draft is None:
        return None
    form, answers = FORMS[draft.form], dict(draft.answers)
    asking = settled_focus(state.focus)
    named = asking.about if isinstance(asking, Asking) else ""
    slot = next((one for one in form.slots if one.key == named), None) or form.next_slot(answers)
    return (form, slot, answers) if slot else None


def settled_focus(focus: Focus) -> Focus:
    """What is waited for once the number in question, if there is one, is settled."""
    return focus.under if isinstance(focus, (Choosing, Doubting)) else focus


def wanted(state: State) -> Wants:
    """The kind of number that would answer the question on the table."""
    found = open_form(state)
    if isinstance(state.focus, (Choosing, Doubting)):
        return Wants.COUNT if state.focus.intent.count is not None and state.focus.intent.length is None else Wants.LENGTH
    if state.focus.kind is Kind.ASKING and found:
        return found[1].wants
    if state.focus.kind is Kind.WALKING and not at_last_mark(state):
        return Wants.NOTHING
    return Wants.LENGTH


def at_last_mark(state: State) -> bool:
    """Whether the last mark of a rail is being called, with what is left to the far post: the tape may agree with it or not."""
    at = marking(state.job)
    return state.focus.kind is Kind.WALKING and at is not None and at.mark == len(at.rail.marks) and at.set_out.gate is None


def listened_for(state: State) -> tuple[Stage, Wants, Unit]:
    """What decides what is listened for: the stage, the number that is wanted, and the unit of the job."""
    return state.stage, wanted(state), state.job.settings.unit


def likely_answers(state: State) -> tuple[Fraction, Fraction]:
    """Between which values an answer to the question on the table is likely: mm, or how many where a count is wanted."""
    found = open_form(state)
    return (found[1].low, found[1].high) if isinstance(state.focus, Asking) and found else LIKELY


def answer_key(form: Form, slot: Slot, answers: dict[str, Fraction]) -> str:
    """Where an answer is kept; repeated questions are numbered."""
    return f"{slot.key} {len(answers) + 1}" if form.repeats else slot.key


def question(state: State) -> str:
    """What is asked in this state, in the style the user chose; empty when nothing is."""
    settings = state.job.settings
    match state.focus:
        case Asking():
            found = open_form(state)
            if found is None:
                return ""
            form, slot, answers = found
            if form.repeats and answers:
                return "The next one? Or say: all measured."
            return slot.full if settings.full else slot.short
        case Choosing() as focus:
            return choice_question(state, focus)
        case Doubting(off=off) if off:
            return f"How much {'under' if off < 0 else 'over'}? Or say the whole length."
        case Doubting():
            return "Is that right? Yes, or the right number."
        case Deciding() as focus:
            return decision_question(state.job, focus)
        case ConfirmingGap():
            return gap_question(state)
        case Cautioning():
            return "Say: understood."
        case Walking():
            return ""
        case Hub():
            return hub_question(state)


_GIVEN_FOR = {
    Act.SET_PICKET: "picket width",
    Act.SET_LARGEST_GAP: "largest gap",
    Act.SET_GAP_UNDER: "largest gap",
    Act.SET_BOTTOM: "bottom",
    Act.SET_TOP: "top",
    Act.SET_MIDDLE: "middle",
    Act.ENDS_SET: "end gap",
    Act.GAP_MEASURES: "gap measured",
    **dict.fromkeys((Act.RUN_IS, Act.RUN_OUTSIDE, Act.RUN_INSIDE), "run"),
}


def given_for(state: State, intent: Intent) -> str:
    """What a number was given for, in a word or two; empty where there is nothing to tell apart."""
    if intent.act in (Act.SET_BOTTOM, Act.SET_TOP) and intent.count is not None:
        return f"bay {say_count(intent.count)}, {_GIVEN_FOR[intent.act]}"
    job = state.job
    asking = settled_focus(state.focus).kind is Kind.ASKING  # then an opening is of the bay that is asked about
    if intent.act in (Act.SET_BOTTOM, Act.SET_TOP, Act.SET_MIDDLE) and job.bays and not asking:
        return f"{bay_name(job.bays[job.current])}, {_GIVEN_FOR[intent.act]}"
    if intent.act in _GIVEN_FOR:
        return _GIVEN_FOR[intent.act]
    found = open_form(state)
    return found[1].name if found and asking else ""


def labelled(name: str, text: str) -> str:
    """“Bottom: …”."""
    return sentence(f"{name}: {text}" if name else text)


def choice_question(state: State, focus: Choosing) -> str:
    """“Bottom: was that one eight one five, or one eight five zero?”"""
    readings = [distinctly(state.job.settings, reading, focus.intent) for reading in focus.readings]
    return labelled(given_for(state, focus.intent), f"was that {', or '.join(readings)}?")


def gap_question(state: State) -> str:
    """The gap that is to be confirmed aloud, what it comes from, and how."""
    job, settings = state.job, state.job.settings
    try:
        made = set_out_of(job, job.current)
    except ImpossibleError as error:
        return str(error)
    verb = "the gap is" if len({rail.gap for rail in made.rails}) == 1 else "the gaps are"
    # The space that breaks the limit need not be the gap: it may be beside a picket that slipped, or beside a post.
    limit = limit_words(settings, made.bay.limit)
    over = "" if made.allowed else f" The widest space is {spoken(settings, made.widest_space)}, over your limit, {limit}."
    told = f"{bay_called(made.bay)}, {_measured(state, made.bay)}"
    return f"{sentence(told)} {sentence(f'{verb} {gaps(settings, made, spoken)}')}{over} If that is right, say: gap confirmed."


def _measured(state: State, bay: Bay) -> str:
    """What was measured of a bay: nobody knows the gap beforehand, but everybody knows what he measured.

    The width of the pickets only until a gap was confirmed with it.
    """
    job, settings = state.job, state.job.settings
    openings = dict(bay.openings)
    if len(set(openings.values())) > 1:
        texts = [f"{rail} {bare(settings, opening)}" for rail, opening in openings.items()]
    else:
        texts = [f"opening {bare(settings, bay.openings[0][1])}"]
    if all(standing.set_out.bay.picket != bay.picket for _, standing in job.standing):
        texts.append(f"pickets {bare(settings, bay.picket)}")
    return ", ".join(texts)


def hub_question(state: State) -> str:
    """What can be done next, in a few words."""
    job = state.job
    if not job.bays:
        return "Say: new bay."
    if not job.settings.full:
        return ""
    if not job.standing:
        return "Say: next bay, gate, or no more bays."
    following = next_to_mark(job)
    if following is None:
        return "Every bay is marked. Say: new bay, or gate."
    at = marking(job)
    if at is not None and at.index == following and is_confirmed(job, following):
        return sentence(f"{bay_name(job.bays[following])} is left at mark {say_count(at.mark)}") + " To go on, say: carry on."
    return f"For {bay_name(job.bays[following])}, say: start marking."


def takes(state: State) -> tuple[str, ...]:
    """What answers the question on the table, as help names it; empty where nothing is asked and any phrase goes."""
    match state.focus:
        case Asking():
            found = open_form(state)
            return _answers_to(state, *found) if found else ()
        case Choosing():
            return ("the first", "the second", "or the number once more")
        case Doubting():
            return ("yes", "no", "or the right number")
        case Deciding():
            return ("yes", "no")
        case ConfirmingGap():
            return ("gap confirmed", "no", "or the gap itself")
        case Cautioning():
            return ("understood", "say again")
        case Walking() | Hub():
            return ()


def _answers_to(state: State, form: Form, slot: Slot, answers: dict[str, Fraction]) -> tuple[str, ...]:
    found = ["a number" if slot.wants is Wants.COUNT else "a length"]
    if slot.same_as in answers or (form is BAY and state.job.bays):
        found.append("the same")
    if form.repeats and answers:
        found.append("all measured")
    if form is BAY and not answers and state.job.bays:
        found.append("no more bays")
    return tuple(found)
