"""Turns of the subjects for tests: a phrase said, or a form just filled in, in a job of given bays."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from assistant.dialogue.forms import Form
from assistant.dialogue.state import Asking, Deciding, Decision, State
from assistant.dialogue.subjects import SUBJECTS
from assistant.dialogue.subjects.sloping_ground import taped_along, taped_level
from assistant.dialogue.turn import Turn
from assistant.job import Draft, Job, Settings
from assistant.language.understanding import Intent
from assistant.language.vocabulary import Act
from assistant.measured import Bay
from assistant.setout.limits import GapLimit

PICKET = Fraction(90)
LIMIT = GapLimit(Fraction(100), strict=False)
SETTINGS = Settings(picket=PICKET, limit=LIMIT)


def bay(number: int, *openings: int | str | Fraction, **more: object) -> Bay:
    """A bay with its openings in millimetres, bottom first."""
    names = {1: ("bottom",), 2: ("bottom", "top")}[len(openings)]
    measured = tuple((name, Fraction(opening)) for name, opening in zip(names, openings, strict=True))
    return replace(Bay(number, measured, PICKET, LIMIT), **more)


def job(*bays: Bay, current: int = 0, **settings: object) -> Job:
    """A job of these bays, none set out."""
    return Job(settings=replace(SETTINGS, **settings), bays=bays, current=current)


def said_to(made: Job, act: Act, count: int | None = None, words: str = "") -> Turn:
    """The turn of a phrase."""
    (handler,) = [subject.handlers[act] for subject in SUBJECTS if act in subject.handlers]
    turn = Turn(State(job=made))
    handler(turn, Intent(act, count=count, words=tuple(words.split())))
    return turn


def filled_in(
    made: Job, form: Form, *, level: bool = True, cautioned: frozenset[str] = frozenset({"cutting"}), **answers: int | str | Fraction
) -> Turn:
    """The turn in which the last answer of a form was accepted; where it is asked, the opening was taped level, or along the slope."""
    (finisher,) = [subject.forms[form] for subject in SUBJECTS if form in subject.forms]
    given = {key.replace("_", " "): Fraction(value) for key, value in answers.items()}
    draft = Draft(form.key, tuple(given.items()))
    turn = Turn(State(job=replace(made, draft=draft), focus=Asking(), cautioned=cautioned))
    finisher(turn, given)
    if isinstance(turn.state.focus, Deciding) and turn.state.focus.about is Decision.TAPED_LEVEL:
        (taped_level if level else taped_along)(turn)
    return turn


def said(turn: Turn) -> str:
    """What is answered, as one text."""
    return " ".join(turn.parts)


def kept(turn: Turn) -> dict[str, tuple[str, ...]]:
    """The notes of the job by title."""
    return {note.title: note.lines for note in turn.job.notes}
