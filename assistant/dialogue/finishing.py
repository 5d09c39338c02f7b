"""What a finished form does: the facts it leaves, and what is said of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction

from assistant.dialogue import forms
from assistant.dialogue.asking import begin, question
from assistant.dialogue.cautions import Caution
from assistant.dialogue.speaking import bare, limit_words, sentence, spoken, summary
from assistant.dialogue.state import Cautioning, Hub
from assistant.dialogue.turn import Turn
from assistant.job import Bay, BaySet, DraftChanged, Gate
from assistant.plan import plan_bay
from assistant.setout.limits import GapLimit
from assistant.setout.tolerances import OUT_OF_PLUMB

Answers = Mapping[str, Fraction]


def finish(turn: Turn, answers: Answers) -> None:
    """Close the open form.  Raises ImpossibleError when what it describes cannot exist; the caller then takes the answer back."""
    draft = turn.job.draft
    assert draft is not None
    FINISHERS[draft.form](turn, answers)


def caution(turn: Turn, what: Caution) -> None:
    """Say a caution and wait for its acknowledgement, unless it was acknowledged since the job was opened."""
    if what.key not in turn.state.cautioned:
        turn.focus(Cautioning(what, turn.state.focus))
        turn.say(what.spoken, question(turn.state))


def close(turn: Turn) -> None:
    """The form is done with."""
    turn.fact(DraftChanged(None))
    turn.focus(Hub())


def setup(turn: Turn, answers: Answers) -> None:
    """Picket width and largest gap, then on to the first bay."""
    close(turn)
    kept = turn.settings.limit
    limit = kept if kept is not None and kept.value == answers["limit"] else GapLimit(answers["limit"], strict=False)
    turn.settle(picket=answers["picket"], limit=limit)
    if turn.settings.full:
        width = spoken(turn.settings, answers["picket"])
        turn.say(sentence(f"pickets {width}, gaps {limit_words(turn.settings, limit)}"))
    if forms.GATE_FIRST in answers:
        begin(turn, forms.GATE, "Gate one.")
    elif not turn.job.bays:
        begin(turn, forms.BAY, "Bay one.")


def next_number(turn: Turn) -> int:
    """The number the next bay gets: one past the highest so far."""
    return max((bay.number for bay in turn.job.bays), default=0) + 1


def bay(turn: Turn, answers: Answers) -> None:
    """A bay measured bottom and top."""
    settings = turn.settings
    assert settings.picket is not None and settings.limit is not None
    openings = (("bottom", answers["bottom"]), ("top", answers["top"]))
    again = [index for index, one in enumerate(turn.job.bays) if one.number == answers.get(forms.AGAIN)]
    if again:
        close(turn)
        turn.fact(BaySet(again[0], replace(turn.job.bays[again[0]], openings=openings, count=None, slip=None)))
        told(turn)
        turn.say(question(turn.state))
        return
    _add(turn, Bay(next_number(turn), openings, settings.picket, settings.limit))


def gate(turn: Turn, answers: Answers) -> None:
    """A gate, hung in its opening."""
    settings = turn.settings
    assert settings.picket is not None and settings.limit is not None
    hung = Gate(answers["hinge"], answers["latch"], int(answers["leaves"]), answers.get("meeting", Fraction(0)))
    opening = (("bottom", answers["opening"]),)
    _add(turn, Bay(next_number(turn), opening, settings.picket, settings.limit, gate=hung))


def _add(turn: Turn, made: Bay) -> None:
    close(turn)
    turn.fact(BaySet(len(turn.job.bays), made))
    told(turn)
    turn.say(question(turn.state))


def told(turn: Turn) -> None:
    """The summary of the current bay, and what is to be said about it."""
    plan = plan_bay(turn.job, turn.job.current)
    turn.say(summary(turn.settings, plan))
    openings = [opening for _, opening in plan.bay.openings]
    if max(openings) - min(openings) > OUT_OF_PLUMB:
        difference = max(openings) - min(openings)
        turn.say(
            turn.by_length(
                f"The openings differ by {spoken(turn.settings, difference)}: a post is out of plumb.",
                f"Out of plumb by {bare(turn.settings, difference)}.",
            )
        )
    if plan.plumb is not None and len(plan.rails) == 1:
        rail = plan.rails[0].rail
        # How it is done is said for the first such bay, and in full answers every time.
        earlier = turn.job.bays[: turn.job.current]
        known = not turn.settings.full and any(len({opening for _, opening in one.openings}) > 1 for one in earlier)
        turn.say(f"Mark the {rail} rail" + ("." if known else " and plumb every picket from it."))


FINISHERS: dict[str, Callable[[Turn, Answers], None]] = {
    forms.SETUP.key: setup,
    forms.BAY.key: bay,
    forms.GATE.key: gate,
}
"""What each form does when it is full; `calculations` adds its own."""
