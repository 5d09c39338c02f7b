"""Pickets of uneven width: what that does to the last gap, and how to mark for it."""

from __future__ import annotations

from assistant.dialogue.forms import PICKET, Form, slot
from assistant.dialogue.speaking import bay_name, counted, limit_words, spoken
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
    """The measured widths against the bay that is being talked about: the worst they can do, held against the limit."""
    settings = turn.settings
    made = bay_talked_about(turn)
    study = study_widths(made.rails[0].layout, list(answers.values()), made.resolution)
    turn.close()
    marks, spacer = study.effect(study.recommended), study.effect(Method.SPACER)
    lines = [
        f"{counted(len(answers), 'picket')} measured, mean {spoken(settings, study.mean)}",
        f"they go from {spoken(settings, study.narrowest)} to {spoken(settings, study.widest)}",
        f"{_USE[study.recommended]}; the last gap of {bay_name(made.bay)} is then out by up to {spoken(settings, marks.worst)}",
    ]
    if spacer.worst > marks.worst:
        lines.append(f"a spacer block could be out there by {spoken(settings, spacer.worst)}")
    lines.append(f"the widest gap that marks can leave is {spoken(settings, study.largest)}")
    if not study.allowed:
        lines.append(f"that is over the largest gap, {limit_words(settings, made.bay.limit)}")
        lines.append(f"to stay under it, set pickets to {spoken(settings, study.narrowest)}: {counted(study.safe.count, 'picket')}")
    # A bay that is set out keeps its count; any other would get the fewest of this width.
    on_mean = study.resolved if turn.job.standing_of(made.bay.number) is None else study.kept
    lines.append(f"of the mean width, {counted(on_mean.count, 'picket')} leave a gap of {spoken(settings, on_mean.gap)}")
    say_and_keep(turn, "Picket widths", *lines)


SUBJECT = Subject(handlers={Act.WIDTHS: beginning(WIDTHS, needs_bay=True)}, forms={WIDTHS: widths})
