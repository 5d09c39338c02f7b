"""The questions: each form asks for one thing at a time, in order.

A slot says what it wants in a full and a short wording, and between which values an answer is likely; what lies outside is questioned,
not refused.  What a finished form does stands beside it, in its subject.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from assistant.language.understanding import Wants
from assistant.numbers import say_count
from assistant.setout.lengths import Length, inches, metres, mm

Answers = Mapping[str, Fraction]


@dataclass(frozen=True, slots=True)
class Slot:
    """One question."""

    key: str
    full: str
    short: str
    low: Fraction
    """Answers below this are questioned."""
    high: Fraction
    """Answers above this are questioned."""
    wants: Wants = Wants.LENGTH
    same_as: str = ""
    """The slot that “the same” takes its answer from."""
    when: Callable[[Answers], bool] = lambda answers: True
    """Whether the question is asked at all."""
    zero: bool = False
    """Whether nothing at all is a likely answer too."""
    only: str = ""
    """Why no other answer than a likely one can be taken, where that is so: it is said, and the question asked again."""

    @property
    def name(self) -> str:
        """What the answer is, in a word or two: said with every read-back, so that a number taken for another is noticed."""
        return self.short[:1].lower() + self.short[1:].rstrip("?")

    def likely(self, value: Fraction) -> bool:
        """Whether an answer needs no questioning by itself."""
        return self.low <= value <= self.high or (self.zero and value == 0)


@dataclass(frozen=True, slots=True)
class Form:
    """A row of questions."""

    key: str
    name: str
    slots: tuple[Slot, ...]
    repeats: bool = False
    """The last question is asked again until the user says that all is measured."""

    def next_slot(self, answers: Answers) -> Slot | None:
        """The first question not answered yet; None when the form is full."""
        for slot in self.slots:
            if slot.key not in answers and slot.when(answers):
                return slot
        return self.slots[-1] if self.repeats else None

    def questions(self, answers: Answers) -> str:
        """How many questions there are still to come, in a sentence; empty where it is few, or the trade of every bay."""
        open_slots = [slot for slot in self.slots if slot.key not in answers]
        if self.repeats or len(open_slots) < _MANY or self.key in _EVERY_BAY:
            return ""
        sure = all(slot.when(answers) for slot in open_slots)
        count = say_count(len(open_slots))
        return f"{count.capitalize()} questions." if sure else f"Up to {count} questions."


_MANY = 3
"""So many questions are told beforehand."""
_EVERY_BAY = ("setup", "bay", "gate")
"""Forms whose questions need no telling."""

OPENING = (mm(300), mm(6000))
"""Clear openings between posts that need no questioning.  Common practice, no source."""
PICKET = (mm(20), mm(250))
"""Picket widths that need no questioning.  Common practice, no source."""
GAP = (mm(5), mm(300))
"""Gaps that need no questioning.  Common practice, no source."""
CLEARANCE = (mm(2), mm(60))
"""Hinge and latch clearances of a gate that need no questioning.  Common practice, no source."""

LONGEST = metres(1000)
"""A longer length is refused.  Common practice, no source."""


def slot(key: str, full: str, short: str, likely: tuple[Length, Length], **more: object) -> Slot:
    """A question whose answers are likely between two lengths."""
    return Slot(key, full, short, *likely, **more)  # type: ignore[arg-type]


SETUP = Form(
    "setup",
    "settings",
    (
        slot("picket", "How wide is a picket?", "Picket width?", PICKET),
        slot("limit", "What is the largest gap?", "Largest gap?", GAP),
    ),
)
BAY = Form(
    "bay",
    "bay",
    (
        slot("bottom", "Bottom opening?", "Bottom?", OPENING),
        slot("top", "Top opening?", "Top?", OPENING, same_as="bottom"),
    ),
)
GATE = Form(
    "gate",
    "gate",
    (
        slot("opening", "What is the clear opening between the gate posts?", "Gate opening?", OPENING),
        slot("hinge", "How much clearance at the hinges?", "Hinge clearance?", CLEARANCE, zero=True),
        # One question for both: where there are two leaves, the latch is where they meet.
        slot("latch", "How much clearance at the latch, or between two leaves?", "Latch clearance?", CLEARANCE, zero=True, same_as="hinge"),
        slot("leaves", "One leaf or two?", "Leaves?", (Fraction(1), Fraction(2)), wants=Wants.COUNT),
    ),
)
CORE = (SETUP, BAY, GATE)
"""The forms of setting out itself; every subject brings its own."""

TOP_TO_BOTTOM = inches(2)
"""Top and bottom openings that differ by more than this are questioned."""

UNLIKE_WIDTH = mm(10)
"""A measured picket width that differs by more than this from the job's is questioned."""
