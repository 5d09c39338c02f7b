"""Checks on site: a gap that was measured, check marks for who works with a spacer, openings beside each other."""

from __future__ import annotations

from assistant.dialogue.speaking import bay_name, mark_words, sentence, spoken
from assistant.dialogue.subject import Subject
from assistant.dialogue.subjects.shared import NO_BAY, fence_bays, say_and_keep
from assistant.dialogue.turn import Turn
from assistant.language.understanding import Intent
from assistant.language.vocabulary import Act
from assistant.numbers import say_count
from assistant.plan import marking, set_out_of
from assistant.set_out import Rail, SetOut
from assistant.setout.checks import Action, check_gap, check_marks, spacer_for
from assistant.setout.lengths import Length
from assistant.setout.marks import Origin
from assistant.setout.posts import judge_openings

_ACTION = {
    Action.CARRY_ON: "Inside the tolerance. Carry on.",
    Action.BACK_TO_THE_MARKS: "Set the picket after it to its own mark.",
    Action.MOVE_THE_PICKET: "That breaks the largest gap. Move the picket.",
}


def gap_measures(turn: Turn, intent: Intent, value: Length) -> None:
    """A gap measured on site, in mm, judged by the rail that is being marked and by its gap after a slip."""
    turn.redo = None
    if not turn.job.bays:
        turn.say(NO_BAY)
        return
    made, rail = _at_hand(turn)
    check = check_gap(rail.gap, made.bay.limit, value)
    off = f"{spoken(turn.settings, abs(check.difference))} {'over' if check.difference > 0 else 'under'} the plan"
    told = f"{spoken(turn.settings, value)}, {off if check.difference else 'as planned'}"
    if len({one.gap for one in made.rails}) > 1:
        told = f"{rail.name} rail: {told}"
    turn.say(sentence(told), _ACTION[check.action])


def check_every(turn: Turn, intent: Intent) -> None:
    """The mark of every so many pickets and of the last, on the rail that is being marked.  Raises ImpossibleError for none."""
    if not turn.job.bays:
        turn.say(NO_BAY)
        return
    made, rail = _at_hand(turn)
    checks = check_marks(rail.layout, intent.count or 0, made.edge, made.origin, made.resolution)
    # Where they are is read from the rail itself: after a slip, and on a raked rail, its marks are not those of the layout.
    marks = [rail.marks[one.mark.index - 1] for one in checks]
    lines = [f"picket {say_count(mark.index)} at {mark_words(turn.settings, made.unit, mark.value)}" for mark in marks]
    drift = checks[-1].drift
    if drift and not made.slips:
        lines.append(f"a spacer puts the last {spoken(turn.settings, abs(drift))} {'past' if drift > 0 else 'short of'} its mark")
    name = bay_name(made.bay) + (f", {rail.name} rail" if len({one.values() for one in made.rails}) > 1 else "")
    say_and_keep(turn, f"Check marks, {name}", *lines)


def _at_hand(turn: Turn) -> tuple[SetOut, Rail]:
    """The bay and the rail that are being marked; else the current bay and its first rail."""
    at = marking(turn.job)
    if at is not None and at.index == turn.job.current:
        return at.set_out, at.rail
    made = set_out_of(turn.job, turn.job.current)
    return made, made.rails[0]


def judge(turn: Turn, intent: Intent) -> None:
    """How the openings of the job differ from the usual one."""
    bays = [made.bay for made in fence_bays(turn)]
    judged = judge_openings([max(opening for _, opening in bay.openings) for bay in bays])
    lines = [f"the usual opening is {spoken(turn.settings, judged.usual)}"]
    for odd in judged.odd:
        side = "over" if odd.difference > 0 else "short"
        lines.append(f"{bay_name(bays[odd.index])} is {spoken(turn.settings, abs(odd.difference))} {side}")
    if not judged.odd:
        lines.append("none stands out")
    say_and_keep(turn, "Openings compared", *lines)


def spacer(turn: Turn, intent: Intent) -> None:
    """Whether a spacer block will do on the rail at hand, and its size."""
    if not turn.job.bays:
        turn.say(NO_BAY)
        return
    made, rail = _at_hand(turn)
    if made.slips:
        turn.say(sentence(f"a picket of {bay_name(made.bay)} slipped, so its gaps differ"), "Use the marks.")
        return
    far = rail.right_space if made.origin is Origin.LEFT else rail.left_space
    block = spacer_for(rail.gap, rail.row.count, far, made.bay.limit, made.resolution)
    size = f"{bay_name(made.bay)}: a spacer of {spoken(turn.settings, block.size)}"
    ends = f"sets the last picket {spoken(turn.settings, abs(block.out))} {'past' if block.out > 0 else 'short of'} its mark"
    if not block.out:
        say_and_keep(turn, "Spacer block", f"{size} ends on the last mark", "set the first picket on its mark")
    elif block.works:
        say_and_keep(turn, "Spacer block", f"{size} will do", f"it {ends}", "set the first picket on its mark")
    else:
        say_and_keep(turn, "Spacer block", f"{size} will not do", f"it {ends}", "use the marks")


SUBJECT = Subject(handlers={Act.SPACER: spacer, Act.CHECK_EVERY: check_every, Act.POSTS_JUDGE: judge}, forms={})
