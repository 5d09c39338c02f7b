"""What a finished form does: the facts it leaves, and what is said of them."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from assistant.dialogue import forms
from assistant.dialogue.bays import next_number
from assistant.dialogue.forms import Form
from assistant.dialogue.registry import FORMS
from assistant.dialogue.speaking import limit_words, sentence, spoken
from assistant.dialogue.subject import Answers, Finisher
from assistant.dialogue.subjects import SUBJECTS
from assistant.dialogue.turn import Turn
from assistant.job import BaySet
from assistant.measured import Bay, Gate
from assistant.setout.limits import GapLimit


def finish(turn: Turn, answers: Answers) -> None:
    """Close the open form.  Raises ImpossibleError when what it describes cannot exist; the caller then takes the answer back."""
    draft = turn.job.draft
    assert draft is not None
    FINISHERS[FORMS[draft.form]](turn, answers)


def setup(turn: Turn, answers: Answers) -> None:
    """Picket width and largest gap, then on to the first bay."""
    gate_next = turn.job.draft is not None and turn.job.draft.gate_next
    turn.close()
    kept = turn.settings.limit
    limit = kept if kept is not None and kept.value == answers["limit"] else GapLimit(answers["limit"], strict=False)
    turn.settle(picket=answers["picket"], limit=limit)
    if turn.settings.full:
        width = spoken(turn.settings, answers["picket"])
        turn.say(sentence(f"pickets {width}, gaps {limit_words(turn.settings, limit)}"))
    if gate_next:
        turn.begin(forms.GATE, "Gate one.")
    elif not turn.job.bays:
        turn.begin(forms.BAY, "Bay one.")


def bay(turn: Turn, answers: Answers) -> None:
    """A bay measured bottom and top."""
    settings = turn.settings
    assert settings.picket is not None and settings.limit is not None
    openings = (("bottom", answers["bottom"]), ("top", answers["top"]))
    number = turn.job.draft.bay if turn.job.draft is not None else None
    again = None if number is None else turn.job.index_of(number)
    if again is None:
        _add(turn, Bay(next_number(turn), openings, settings.picket, settings.limit))
        return
    turn.close()
    turn.fact(BaySet(again, replace(turn.job.bays[again], openings=openings, count=None, slip=None)))
    turn.told()


def gate(turn: Turn, answers: Answers) -> None:
    """A gate, hung in its opening; one that is changed stays where it stands."""
    settings = turn.settings
    assert settings.picket is not None and settings.limit is not None
    leaves, latch = int(answers["leaves"]), answers["latch"]
    hung = Gate(answers["hinge"], latch, leaves, answers.get("meeting", latch) if leaves == 2 else Fraction(0))
    opening = (("bottom", answers["opening"]),)
    number = turn.job.draft.bay if turn.job.draft is not None else None
    again = None if number is None else turn.job.index_of(number)
    if again is None:
        _add(turn, Bay(next_number(turn), opening, settings.picket, settings.limit, gate=hung))
    else:
        before = turn.job.bays[again]
        side = before.gate.hinges if before.gate is not None and leaves == 1 else None
        turn.close()
        turn.fact(BaySet(again, replace(before, openings=opening, count=None, slip=None, gate=replace(hung, hinges=side))))
        turn.told()
    made = turn.job.bays[turn.job.current].gate
    if made is not None and made.leaves == 1 and made.hinges is None:
        turn.say("Hinges on the left, or on the right?")


def _add(turn: Turn, made: Bay) -> None:
    turn.close()
    turn.fact(BaySet(len(turn.job.bays), made))
    turn.told()


FINISHERS: dict[Form, Finisher] = {
    forms.SETUP: setup,
    forms.BAY: bay,
    forms.GATE: gate,
    **{form: finisher for subject in SUBJECTS for form, finisher in subject.forms.items()},
}
"""What each form does when it is full."""
