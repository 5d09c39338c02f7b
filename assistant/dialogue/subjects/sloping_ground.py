"""A bay on sloping ground: rails that follow it, rails that step, and level again."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import isqrt

from assistant.dialogue.forms import OPENING, Form, slot
from assistant.dialogue.speaking import bay_name, sentence, spoken
from assistant.dialogue.subject import Answers, Finisher, Handler, Subject
from assistant.dialogue.subjects.shared import NO_BAY
from assistant.dialogue.turn import Turn
from assistant.job import BaySet
from assistant.language.understanding import Intent
from assistant.language.vocabulary import Act
from assistant.measured import Bay, Slope
from assistant.numbers import say_count
from assistant.plan import steepness
from assistant.setout.lengths import Length, mm
from assistant.setout.slope import from_along

_RISE_AND_GOING = (
    slot("rise", "How much does the ground rise across the bay?", "Rise?", (mm(5), mm(3000))),
    slot("going", "Over what level distance?", "Level distance?", OPENING),
)
RAKED = Form("raked", "raked slope", _RISE_AND_GOING)
STEPPED = Form("stepped", "stepped slope", _RISE_AND_GOING)
ALONG = Form(
    "along",
    "raked slope",
    (
        slot("along", "How long is the rail between the posts, along the slope?", "Along the rail?", OPENING),
        slot("going", "And the same on the level?", "On the level?", OPENING),
    ),
)


def _beginning(form: Form) -> Handler:
    def begin(turn: Turn, intent: Intent) -> None:
        if not turn.job.bays:
            turn.say(NO_BAY)
            return
        index = turn.job.current
        bay = turn.job.bays[index]
        if bay.gate is not None:
            turn.say("A gate hangs level. Choose a bay first.")
        elif turn.require_open(index):
            turn.begin(form, sentence(f"{bay_name(bay)}, {form.name}"))

    return begin


def _finishing(kind: Slope) -> Finisher:
    def finish(turn: Turn, answers: Answers) -> None:
        along, going = answers.get("along"), answers["going"]
        rise = answers["rise"] if along is None else _rise(along, going)
        bay = replace(turn.job.bays[turn.job.current], slope=kind, rise=rise, going=going, along=along)
        told = _raked(bay) if kind is Slope.RAKED else _stepped(turn, bay)
        turn.close()
        turn.fact(BaySet(turn.job.current, bay))
        turn.say(sentence(told))
        turn.told()

    return finish


def _raked(bay: Bay) -> str:
    whole, _, tenths = f"{round(steepness(bay).angle * 10) / 10:g}".partition(".")
    angle = say_count(int(whole)) + (f" point {say_count(int(tenths))}" if tenths else "")
    return f"{bay_name(bay)} is raked, {angle} degrees; marks run along the rail, pickets stay plumb"


def _stepped(turn: Turn, bay: Bay) -> str:
    """The step is the rise over the bay's own opening, which need not be the distance that the rise was measured over."""
    step = bay.rise * max(opening for _, opening in bay.openings) / bay.going
    return f"{bay_name(bay)} is stepped; its rails are level, and step {spoken(turn.settings, step)}"


def _rise(along: Length, going: Length) -> Length:
    """The rise to draw by, to a tenth of a millimetre; the marks use the exact lengths.  Raises ImpossibleError for a rail too short."""
    from_along(along, going)
    return Fraction(isqrt(int((along**2 - going**2) * 100)), 10)


def level(turn: Turn, intent: Intent) -> None:
    """The current bay on level ground again."""
    if not turn.job.bays:
        turn.say(NO_BAY)
        return
    index = turn.job.current
    if turn.require_open(index):
        bay = replace(turn.job.bays[index], slope=None, rise=Fraction(0), going=Fraction(0), along=None)
        turn.fact(BaySet(index, bay))
        turn.say(sentence(f"{bay_name(bay)} is level"))
        turn.told()


SUBJECT = Subject(
    handlers={
        Act.SLOPE_RAKED: _beginning(RAKED),
        Act.SLOPE_STEPPED: _beginning(STEPPED),
        Act.SLOPE_ALONG: _beginning(ALONG),
        Act.LEVEL: level,
    },
    forms={RAKED: _finishing(Slope.RAKED), STEPPED: _finishing(Slope.STEPPED), ALONG: _finishing(Slope.RAKED)},
)
