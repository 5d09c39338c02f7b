"""What is asked beside the bays, by a phrase: each begins a form, or answers at once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from assistant.dialogue import calculations, forms
from assistant.dialogue.asking import begin, question
from assistant.dialogue.finishing import told
from assistant.dialogue.forms import Form
from assistant.dialogue.speaking import bay_name, mark_words, sentence, spoken
from assistant.dialogue.turn import Turn
from assistant.job import BaySet
from assistant.language.understanding import Intent
from assistant.language.vocabulary import PUBLISHED_LIMITS, Act
from assistant.numbers import say_count
from assistant.plan import plan_bay
from assistant.setout.checks import Action, check_gap, check_marks
from assistant.setout.lengths import Length
from assistant.setout.posts import judge_openings
from assistant.setout.taper import Lean

Handler = Callable[[Turn, Intent], None]

_ACTION = {
    Action.CARRY_ON: "Inside the tolerance. Carry on.",
    Action.BACK_TO_THE_MARKS: "Set the picket after it to its own mark.",
    Action.MOVE_THE_PICKET: "That breaks the largest gap. Move the picket.",
}


def gap_measures(turn: Turn, intent: Intent, value: Length) -> None:
    """A gap measured on site, judged."""
    turn.redo = None
    if not turn.job.bays:
        turn.say("There is no bay yet.", question(turn.state))
        return
    check = check_gap(plan_bay(turn.job, turn.job.current).rails[0].layout, value)
    off = "as planned" if check.difference == 0 else (
        f"{spoken(turn.settings, abs(check.difference))} {'over' if check.difference > 0 else 'under'} the plan"
    )
    turn.say(sentence(f"{spoken(turn.settings, value)}, {off}"), _ACTION[check.action])


def check_every(turn: Turn, intent: Intent) -> None:
    """Check marks for those who set the gap with a spacer."""
    if not turn.job.bays:
        turn.say("There is no bay yet.", question(turn.state))
        return
    settings = turn.settings
    layout = plan_bay(turn.job, turn.job.current).rails[0].layout
    marks = check_marks(layout, intent.count or 0, settings.edge, settings.origin, settings.resolution)
    lines = [f"picket {say_count(one.mark.index)} at {mark_words(settings, one.mark.value)}" for one in marks]
    calculations.note(turn, f"Check marks, {bay_name(turn.job.bays[turn.job.current])}", *lines)


def judge(turn: Turn, intent: Intent) -> None:
    """How the openings of the job differ from the usual one."""
    calculations.layouts(turn)
    rows = [bay for bay in turn.job.bays if bay.gate is None]
    judged = judge_openings([max(opening for _, opening in bay.openings) for bay in rows])
    lines = [f"the usual opening is {spoken(turn.settings, judged.usual)}"]
    for odd in judged.odd:
        side = "over" if odd.difference > 0 else "short"
        lines.append(f"{bay_name(rows[odd.index])} is {spoken(turn.settings, abs(odd.difference))} {side}")
    if not judged.odd:
        lines.append("none stands out")
    calculations.note(turn, "Openings compared", *lines)


def _begin(form: Form, needs_bay: bool) -> Handler:
    def start(turn: Turn, intent: Intent) -> None:
        if needs_bay:
            calculations.layouts(turn)
        begin(turn, form, sentence(form.name))

    return start


def _slope(form: Form) -> Handler:
    def start(turn: Turn, intent: Intent) -> None:
        calculations.layouts(turn)
        bay = turn.job.bays[turn.job.current]
        if bay.gate is not None:
            turn.say("A gate hangs level. Choose a bay first.", question(turn.state))
        else:
            begin(turn, form, sentence(f"{bay_name(bay)}, {form.name}"))

    return start


def _bay(**changes: object) -> Handler:
    def change(turn: Turn, intent: Intent) -> None:
        if not turn.job.bays:
            turn.say("There is no bay yet.", question(turn.state))
            return
        index = turn.job.current
        turn.fact(BaySet(index, replace(turn.job.bays[index], **changes)))  # type: ignore[arg-type]
        told(turn)

    return change


def _middle(turn: Turn, intent: Intent) -> None:
    """A rail halfway between bottom and top, its opening interpolated on straight posts."""
    bay = turn.job.bays[turn.job.current] if turn.job.bays else None
    bottom, top = (bay.opening("bottom"), bay.opening("top")) if bay else (None, None)
    if bay is None or bottom is None or top is None:
        turn.say("A middle rail needs a bay with a bottom and a top opening.", question(turn.state))
        return
    opening = (bottom + top) / 2
    turn.fact(BaySet(turn.job.current, bay.measured("middle", opening)))
    turn.say(sentence(f"middle rail halfway up, opening {spoken(turn.settings, opening)}"))
    told(turn)


def _post(turn: Turn, intent: Intent) -> None:
    calculations.post(turn, intent.count)


def _which_limits(turn: Turn, intent: Intent) -> None:
    names = "; ".join(limit.name for limit in PUBLISHED_LIMITS.values())
    turn.say(f"You can use: {names}. For one of them, say: use the, its name, and limit.")


ACTIONS: dict[Act, Handler] = {
    Act.WHICH_LIMITS: _which_limits,
    Act.TIMBER: _begin(forms.TIMBER, needs_bay=True),
    Act.DRYING: _begin(forms.DRYING, needs_bay=True),
    Act.POSTS: _begin(forms.POSTS, needs_bay=False),
    Act.POST: _post,
    Act.POSTS_JUDGE: judge,
    Act.SLOPE_RAKED: _slope(forms.RAKED),
    Act.SLOPE_STEPPED: _slope(forms.STEPPED),
    Act.SLOPE_ALONG: _slope(forms.ALONG),
    Act.LEVEL: _bay(slope=None, along=None),
    Act.ADD_MIDDLE: _middle,
    Act.LEFT_LEANS: _bay(leans=Lean.LEFT),
    Act.RIGHT_LEANS: _bay(leans=Lean.RIGHT),
    Act.BOTH_LEAN: _bay(leans=Lean.BOTH),
    Act.POLE: _begin(forms.POLE, needs_bay=True),
    Act.WIDTHS: _begin(forms.WIDTHS, needs_bay=True),
    Act.CONTINUOUS: _begin(forms.CONTINUOUS, needs_bay=True),
    Act.RESPACE: _begin(forms.RESPACE, needs_bay=True),
    Act.CHECK_EVERY: check_every,
}

