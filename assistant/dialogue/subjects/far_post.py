"""What is left from a mark to the far post: said with the last mark of a rail, so that the tape can tell whether the bay was right.

The pure half: words and judgement.  Who says yes, no or a number, and what is marked next, stands in `dialogue.last_mark`.
"""

from __future__ import annotations

from assistant.dialogue.forms import Form, slot
from assistant.dialogue.speaking import bare, in_digits, mark_words, sentence
from assistant.dialogue.state import Deciding, Decision, Walking
from assistant.dialogue.subject import Answers, Subject
from assistant.dialogue.turn import Turn
from assistant.job import Settings
from assistant.plan import Marking, marking
from assistant.setout.lengths import Length, mm, rounded

FAR_POST = Form("far post", "far post", (slot("left", "How far is it to the far post?", "To the far post?", (mm(0), mm(6000))),))


def to_far_post(settings: Settings, at: Marking, *, asks: bool) -> str:
    """“ninety eight to the far post; does the tape agree?”; of a gate, which is built and not measured, nothing."""
    if at.set_out.gate is not None:
        return ""
    left = mark_words(settings, at.set_out.unit, _left(at))
    return f"{left} to the far post" + ("; does the tape agree?" if asks else "")


def agrees_with(at: Marking, value: Length) -> bool:
    """Whether what the tape says is left is as near as marks are set."""
    return abs(value - _left(at)) <= at.set_out.resolution.step


def judge(turn: Turn, value: Length) -> None:
    """What the tape says is left beside what should be."""
    at = marking(turn.job)
    assert at is not None
    off = value - _left(at)
    if agrees_with(at, value):
        turn.say("The tape agrees.")
        return
    settings = turn.settings
    turn.say(sentence(f"{bare(settings, abs(off))} {'more' if off > 0 else 'less'} than it should be"))
    right = at.rail.opening + off
    if at.set_out.bay.slope is None and right > 0:
        turn.say(sentence(f"the {at.rail.name} opening may be {in_digits(settings, right)}"))
    turn.say("Or the last mark is off.")
    turn.focus(Deciding(Decision.FAR_POST, at.set_out.bay.number))


def _left(at: Marking) -> Length:
    return rounded(at.rail.to_far_post(at.mark), at.set_out.resolution)


def far_post(turn: Turn, answers: Answers) -> None:
    """The distance that was asked for is known."""
    turn.close()
    turn.focus(Walking())
    judge(turn, answers["left"])


SUBJECT = Subject(handlers={}, forms={FAR_POST: far_post})
