"""The questions: each form asks for one number at a time, in order.

A slot says what it wants in a full and a short wording, and between which values an answer is likely; what lies outside is questioned,
not refused.  What a finished form does is in `finish`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from assistant.language.understanding import Wants
from assistant.setout.lengths import Length, feet, inches, metres, mm

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


OPENING = (mm(300), mm(6000))
"""Clear openings between posts that need no questioning.  Common practice, no source."""
PICKET = (mm(20), mm(250))
"""Picket widths that need no questioning.  Common practice, no source."""
GAP = (mm(5), mm(300))
"""Gaps that need no questioning.  Common practice, no source."""
CLEARANCE = (mm(2), mm(60))
"""Hinge, latch and meeting clearances of a gate that need no questioning.  Common practice, no source."""

LONGEST = metres(1000)
"""A longer length is refused.  Common practice, no source."""


def _slot(key: str, full: str, short: str, likely: tuple[Length, Length], **more: object) -> Slot:
    return Slot(key, full, short, *likely, **more)  # type: ignore[arg-type]


AGAIN = "again"
"""Goes with the answers of a bay that is measured once more: its number."""
GATE_FIRST = "gate first"
"""Goes with the settings when they were asked on the way to a gate."""

SETUP = Form(
    "setup",
    "settings",
    (
        _slot("picket", "How wide is a picket?", "Picket width?", PICKET),
        _slot("limit", "What is the largest gap?", "Largest gap?", GAP),
    ),
)
BAY = Form(
    "bay",
    "bay",
    (
        _slot("bottom", "Bottom opening?", "Bottom?", OPENING),
        _slot("top", "Top opening?", "Top?", OPENING, same_as="bottom"),
    ),
)
GATE = Form(
    "gate",
    "gate",
    (
        _slot("opening", "What is the clear opening between the gate posts?", "Gate opening?", OPENING),
        _slot("hinge", "How much clearance at the hinges?", "Hinge clearance?", CLEARANCE, zero=True),
        _slot("latch", "How much clearance at the latch?", "Latch clearance?", CLEARANCE, zero=True, same_as="hinge"),
        _slot("leaves", "One leaf or two?", "Leaves?", (Fraction(1), Fraction(2)), wants=Wants.COUNT),
        _slot(
            "meeting", "How wide is the gap where the leaves meet?", "Meeting gap?", CLEARANCE,
            when=lambda answers: answers.get("leaves") == 2, zero=True,
        ),
    ),
)
POSTS = Form(
    "posts",
    "posts",
    (
        _slot("run", "How long is the whole run, between the outer faces of the end posts?", "Whole run?",
              (mm(1000), feet(1000))),
        _slot("post", "How wide is a post?", "Post width?", (mm(40), mm(300))),
        _slot("opening", "What is the largest opening between posts?", "Largest opening?", OPENING),
    ),
)
RAKED = Form(
    "raked",
    "raked slope",
    (
        _slot("rise", "How much does the ground rise across the bay?", "Rise?", (mm(5), mm(3000))),
        _slot("going", "Over what level distance?", "Level distance?", OPENING),
    ),
)
STEPPED = Form("stepped", "stepped slope", RAKED.slots)
ALONG = Form(
    "along",
    "raked slope",
    (
        _slot("along", "How long is the rail between the posts, along the slope?", "Along the rail?", OPENING),
        _slot("going", "And the same on the level?", "On the level?", OPENING),
    ),
)
POLE = Form(
    "pole",
    "story pole",
    (
        _slot("pole", "How long is the pole?", "Pole length?", (mm(300), mm(6000))),
        _slot("tolerance", "How far may a mark be out?", "Tolerance?", (mm(0), mm(5)), zero=True),
    ),
)
WIDTHS = Form(
    "widths",
    "picket widths",
    (_slot("width", "Measure a picket. How wide is it?", "Width?", PICKET),),
    repeats=True,
)
RESPACE = Form(
    "respace",
    "spacing again",
    (
        _slot("picket", "Which picket slipped?", "Slipped picket?", (Fraction(1), Fraction(500)), wants=Wants.COUNT),
        _slot("actual", "Where is its mark now, from the post?", "Mark now?", (mm(0), mm(6000))),
    ),
)
TIMBER = Form(
    "timber",
    "timber list",
    (
        _slot("rails", "How many rails in a bay?", "Rails?", (Fraction(1), Fraction(5)), wants=Wants.COUNT),
        _slot("fixings", "How many fixings where a picket crosses a rail?", "Fixings each?", (Fraction(1), Fraction(4)),
              wants=Wants.COUNT),
        _slot("stock", "How long is a stock length of rail?", "Stock length?", (mm(1000), mm(7500))),
        _slot("waste", "How much waste on pickets, in percent?", "Waste percent?", (Fraction(0), Fraction(30)),
              wants=Wants.COUNT, zero=True),
    ),
)
DRYING = Form(
    "drying",
    "drying",
    (
        _slot("now", "What is the moisture of the timber now, in percent?", "Moisture now?",
              (Fraction(8), Fraction(30)), wants=Wants.COUNT),
        _slot("later", "And what will it dry to?", "Moisture later?", (Fraction(8), Fraction(19)), wants=Wants.COUNT),
    ),
)
CONTINUOUS = Form(
    "continuous",
    "continuous run",
    (_slot("post", "How wide is a post?", "Post width?", (mm(40), mm(300))),),
)

FORMS = {
    form.key: form
    for form in (SETUP, BAY, GATE, POSTS, RAKED, STEPPED, ALONG, POLE, WIDTHS, RESPACE, TIMBER, DRYING, CONTINUOUS)
}

TOP_TO_BOTTOM = inches(2)
"""Top and bottom openings that differ by more than this are questioned."""

UNLIKE_WIDTH = mm(10)
"""A measured picket width that differs by more than this from the job's is questioned."""
