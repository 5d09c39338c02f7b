"""What several subjects need: the bays of the fence, a form begun by a phrase, a result said and kept.

No subject itself: it has no phrases and no forms.
"""

from __future__ import annotations

from assistant.dialogue.forms import Form
from assistant.dialogue.speaking import sentence
from assistant.dialogue.subject import Handler
from assistant.dialogue.turn import Turn
from assistant.language.understanding import Intent
from assistant.plan import set_out_of
from assistant.set_out import SetOut
from assistant.setout.trouble import ImpossibleError, Problem

NO_BAY = "There is no bay yet. Measure one first."


def fence_bays(turn: Turn) -> list[SetOut]:
    """What holds for every bay that is not a gate, in order.  Raises ImpossibleError where there is none, or one cannot be set out."""
    found = [set_out_of(turn.job, index) for index, bay in enumerate(turn.job.bays) if bay.gate is None]
    if not found:
        raise ImpossibleError(Problem.NOTHING_GIVEN, NO_BAY, lengths={})
    return found


def bay_talked_about(turn: Turn) -> SetOut:
    """The current bay, or the first where that is a gate.  Raises ImpossibleError as `fence_bays` does."""
    found = fence_bays(turn)
    number = turn.job.bays[turn.job.current].number
    return next((made for made in found if made.bay.number == number), found[0])


def beginning(form: Form, *, needs_bay: bool) -> Handler:
    """A handler that begins a form; where it needs a bay, only once there is one that can be set out."""

    def begin(turn: Turn, intent: Intent) -> None:
        if needs_bay:
            fence_bays(turn)
        turn.begin(form, sentence(form.name))

    return begin


def say_and_keep(turn: Turn, title: str, *lines: str, written: tuple[str, ...] = ()) -> None:
    """Say the result of a calculation, and keep it for the sheet: in the same words, or as it is `written` there in figures."""
    sentences = [sentence(line) for line in lines]
    turn.keep_note(title, *(written or sentences))
    turn.say(*sentences)
