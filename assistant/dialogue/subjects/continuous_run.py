"""Pickets on the face of the posts: one row over all bays, its marks taken afresh from each post."""

from __future__ import annotations

from fractions import Fraction

from assistant.dialogue.forms import Form, slot
from assistant.dialogue.speaking import counted, spoken
from assistant.dialogue.subject import Answers, Subject
from assistant.dialogue.subjects.shared import beginning, fence_bays, say_and_keep
from assistant.dialogue.turn import Turn
from assistant.language.vocabulary import Act
from assistant.numbers import say_count
from assistant.set_out import mark_unit
from assistant.setout.continuous import Post, in_front_of, sections
from assistant.setout.lengths import mm, write
from assistant.setout.spacing import Bay, solve

CONTINUOUS = Form(
    "continuous",
    "continuous run",
    (slot("post", "How wide is a post?", "Post width?", (mm(40), mm(300))),),
)


def continuous(turn: Turn, answers: Answers) -> None:
    """One row from the outer face of the first post to that of the last."""
    settings = turn.settings
    bays = [made.bay for made in fence_bays(turn)]
    width = answers["post"]
    behind, place = [Post(Fraction(0), width)], width
    for bay in bays:
        place += max(opening for _, opening in bay.openings)
        behind.append(Post(place, width))
        place += width
    row = solve(Bay(place, bays[0].picket, bays[0].limit, settings.left, settings.right))
    turn.close()
    lines = [f"one row of {counted(row.count, 'picket')} over {counted(len(behind), 'post')}, gap {spoken(settings, row.gap)}"]
    for number, one in enumerate(behind, start=1):
        covering = in_front_of(row, one)
        if covering:
            lines.append(f"post {say_count(number)} is behind picket {' and '.join(map(say_count, covering))}")
    say_and_keep(turn, "Row past the posts", *lines)
    unit = mark_unit(settings.unit, settings.resolution)
    for section in sections(row, behind, settings.edge, settings.resolution):
        if section.marks:
            marks = ", ".join(f"{mark.index}: {write(mark.value, unit)}" for mark in section.marks)
            turn.keep_note(f"Row past the posts, marks from {write(section.start, unit)}", marks)


SUBJECT = Subject(handlers={Act.CONTINUOUS: beginning(CONTINUOUS, needs_bay=True)}, forms={CONTINUOUS: continuous})
