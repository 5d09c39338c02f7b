"""A bay on sloping ground: rails that follow it, rails that step, and level again.

How steep it is is known by rise and level length, by an angle, or by the length along the rail.  Whether the opening itself was taped
level is asked: along the slope it is longer than the bay is.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import isqrt

from assistant.dialogue.forms import OPENING, Form, slot
from assistant.dialogue.speaking import bare, bay_name, sentence, spoken
from assistant.dialogue.state import Deciding, Decision
from assistant.dialogue.subject import Answers, Handler, Subject
from assistant.dialogue.subjects.shared import NO_BAY
from assistant.dialogue.turn import Turn
from assistant.job import BaySet, DraftChanged
from assistant.language.understanding import Intent
from assistant.language.vocabulary import Act
from assistant.measured import Bay, Slope
from assistant.numbers import say_count
from assistant.plan import steepness
from assistant.setout.lengths import Length, mm
from assistant.setout.slope import Slope as Steepness
from assistant.setout.slope import from_along, from_rise, require_not_steep, rise_of, step_of
from assistant.setout.tolerances import LENGTHS_AGREE
from assistant.setout.trouble import ImpossibleError, Problem

_RISE = slot("rise", "How much does the ground rise across the bay?", "Rise?", (mm(5), mm(3000)))
_GOING = slot("going", "Over what level distance?", "Level distance?", OPENING)
_UNDER = slot("under", "At the high end, how far are the pickets off the ground?", "Off the ground?", (mm(5), mm(300)), zero=True)

RAKED = Form("raked", "raked slope", (_RISE, _GOING))
STEPPED = Form("stepped", "stepped slope", (_RISE, _GOING, _UNDER))
ALONG = Form(
    "along",
    "raked slope",
    (
        slot("along", "How long is the rail between the posts, along the slope?", "Along the rail?", OPENING),
        slot("going", "And the same on the level?", "On the level?", OPENING),
    ),
)


def _which(turn: Turn, intent: Intent) -> None:
    """A slope, and no word of how its bay is built."""
    turn.say("Where the rails follow the ground, say: raked slope.", "Where they stay level, say: stepped slope.")


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


def in_degrees(half: Fraction) -> Handler:
    """“Twelve degrees” in place of a rise: the rise that makes over the opening of the bay."""

    def by_angle(turn: Turn, intent: Intent) -> None:
        draft = turn.job.draft
        if draft is None or draft.form not in (RAKED.key, STEPPED.key) or intent.count is None:
            turn.say("Degrees are for a slope. Here I need a number.")
            return
        opening = _opening(_bay(turn))
        rise = rise_of(intent.count + half, opening)
        require_not_steep(from_rise(rise, opening))
        answers = {**dict(draft.answers), "rise": rise, "going": opening}
        turn.fact(DraftChanged(replace(draft, answers=tuple(answers.items()))))
        turn.ask()
        turn.say(sentence(f"a rise of {spoken(turn.settings, rise)} over {bare(turn.settings, opening)}"))
        if draft.form == RAKED.key:
            raked(turn, answers)

    return by_angle


def _bay(turn: Turn) -> Bay:
    return turn.job.bays[turn.job.current]


def _opening(bay: Bay) -> Length:
    return max(opening for _, opening in bay.openings)


def raked(turn: Turn, answers: Answers) -> None:
    """The slope is known; how the opening was taped is asked.  Raises ImpossibleError for a slope too steep."""
    require_not_steep(from_rise(answers["rise"], answers["going"]))
    turn.focus(Deciding(Decision.TAPED_LEVEL, _bay(turn).number))


def taped_level(turn: Turn) -> None:
    """Yes: the opening is the level distance between the posts."""
    _set(turn, _sloping(_bay(turn), _answered(turn)))


def taped_along(turn: Turn) -> None:
    """No: it was taped along the slope, and is shorter on the level."""
    _set(turn, _shortened(turn, _sloping(_bay(turn), _answered(turn))))


def _answered(turn: Turn) -> Answers:
    draft = turn.job.draft
    assert draft is not None
    return dict(draft.answers)


def _sloping(bay: Bay, answers: Answers) -> Bay:
    return replace(bay, slope=Slope.RAKED, rise=answers["rise"], going=answers["going"], along=None, under=None)


def _shortened(turn: Turn, bay: Bay) -> Bay:
    """The bay with its openings, taped along the slope, on the level."""
    slope = steepness(bay)
    made = replace(bay, openings=tuple((rail, slope.level(opening)) for rail, opening in bay.openings), count=None)
    taped, on_the_level = bare(turn.settings, _opening(bay)), spoken(turn.settings, _opening(made))
    turn.say(sentence(f"{bay_name(bay)}: {taped} along the slope is {on_the_level} level"))
    return made


def along(turn: Turn, answers: Answers) -> None:
    """Both lengths of the rail: the opening has to be one of them.  Raises ImpossibleError where it is neither, or too steep."""
    bay, length, going = _bay(turn), answers["along"], answers["going"]
    slope = from_along(length, going)
    require_not_steep(slope)
    made = replace(bay, slope=Slope.RAKED, rise=_rise(length, going), going=going, along=length, under=None)
    opening = _opening(bay)
    if abs(opening - going) <= LENGTHS_AGREE:
        _set(turn, made)
    elif abs(opening - length) <= LENGTHS_AGREE:
        _set(turn, _shortened(turn, made))
    else:
        raise ImpossibleError(
            Problem.OUT_OF_RANGE,
            "Neither length goes with the opening of {opening}. Say the level length again, or: back.",
            lengths={"opening": opening},
        )


def _set(turn: Turn, bay: Bay) -> None:
    settings, slope = turn.settings, steepness(bay)
    turn.close()
    turn.fact(BaySet(turn.job.current, bay))
    turn.say(
        sentence(f"{bay_name(bay)} is raked, {degrees(slope)}"),
        "Marks run along the rail, pickets stay plumb.",
        sentence(f"its rails are {spoken(settings, slope.stretched(_opening(bay)))} long"),
        sentence(f"cut both ends plumb, at {degrees(slope)}"),
    )
    turn.told()


def stepped(turn: Turn, answers: Answers) -> None:
    """Level rails that step.  Raises ImpossibleError for a slope too steep."""
    settings, index = turn.settings, turn.job.current
    slope = from_rise(answers["rise"], answers["going"])
    require_not_steep(slope)
    under = answers["under"]
    bay = replace(turn.job.bays[index], slope=Slope.STEPPED, rise=answers["rise"], going=answers["going"], along=None, under=under)
    step = step_of(slope, _opening(bay), under)
    turn.close()
    turn.fact(BaySet(index, bay))
    turn.say(
        sentence(f"{bay_name(bay)} is stepped; its rails are level"),
        sentence(f"step {spoken(settings, step.step)}"),
        sentence(f"under its low end the gap is {spoken(settings, step.under_low_end)}"),
    )
    if not bay.limit.allows(step.under_low_end):
        turn.say("That is over the largest gap. Close it, or rake the bay.")
    turn.told()


def degrees(slope: Steepness) -> str:
    """“sixteen point three degrees”."""
    whole, _, tenths = f"{round(slope.angle, 1):.1f}".partition(".")
    return say_count(int(whole)) + (f" point {say_count(int(tenths))}" if tenths != "0" else "") + " degrees"


def _rise(length: Length, going: Length) -> Length:
    """The rise to draw by, to a tenth of a millimetre; the marks use the exact lengths."""
    return Fraction(isqrt(int((length**2 - going**2) * 100)), 10)


def level(turn: Turn, intent: Intent) -> None:
    """The current bay on level ground again."""
    if not turn.job.bays:
        turn.say(NO_BAY)
        return
    index = turn.job.current
    if turn.require_open(index):
        bay = replace(turn.job.bays[index], slope=None, rise=Fraction(0), going=Fraction(0), along=None, under=None)
        turn.fact(BaySet(index, bay))
        turn.say(sentence(f"{bay_name(bay)} is level, its opening {bare(turn.settings, _opening(bay))}"))
        turn.told()


SUBJECT = Subject(
    handlers={
        Act.SLOPE_RAKED: _beginning(RAKED),
        Act.SLOPE_STEPPED: _beginning(STEPPED),
        Act.SLOPE: _which,
        Act.SLOPE_ALONG: _beginning(ALONG),
        Act.DEGREES: in_degrees(Fraction(0)),
        Act.DEGREES_AND_HALF: in_degrees(Fraction(1, 2)),
        Act.LEVEL: level,
    },
    forms={RAKED: raked, STEPPED: stepped, ALONG: along},
)
