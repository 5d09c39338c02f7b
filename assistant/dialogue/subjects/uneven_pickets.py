"""Pickets of uneven width: what that does to the last gap, and how to mark for it."""

from __future__ import annotations

from assistant.dialogue.forms import PICKET, Form, slot
from assistant.dialogue.speaking import bay_name, counted, spoken
from assistant.dialogue.subject import Answers, Subject
from assistant.dialogue.subjects.shared import bay_talked_about, beginning, say_and_keep
from assistant.dialogue.turn import Turn
from assistant.language.vocabulary import Act
from assistant.setout.widths import Method, study_widths

WIDTHS = Form(
    "widths",
    "picket widths",
    (slot("width", "Measure a picket. How wide is it?", "Width?", PICKET),),
    repeats=True,
)

_USE = {Method.EDGE: "edge marks will do", Method.CENTRE: "use centre marks"}
"""What is said of the method that is recommended; a spacer block never is."""


def widths(turn: Turn, answers: Answers) -> None:
    """The measured widths against the bay that is being talked about."""
    settings = turn.settings
    made = bay_talked_about(turn)
    study = study_widths(made.rails[0].layout, list(answers.values()))
    turn.close()
    lines = [
        f"{counted(len(answers), 'picket')} measured, mean {spoken(settings, study.mean)}, "
        f"from {spoken(settings, study.narrowest)} to {spoken(settings, study.widest)}"
    ]
    for effect in study.effects:
        worst = max(abs(effect.least), abs(effect.most))
        lines.append(f"with {effect.method.value} the last gap of {bay_name(made.bay)} is out by up to {spoken(settings, worst)}")
    # A bay that is set out keeps its count; any other would get the fewest of this width.
    on_mean = study.resolved if turn.job.standing_of(made.bay.number) is None else study.kept
    gap = f"of the mean width, {counted(on_mean.count, 'picket')} leave a gap of {spoken(settings, on_mean.gap)}"
    lines.append(f"{_USE[study.recommended]}; {gap}")
    say_and_keep(turn, "Picket widths", *lines)


SUBJECT = Subject(handlers={Act.WIDTHS: beginning(WIDTHS, needs_bay=True)}, forms={WIDTHS: widths})
