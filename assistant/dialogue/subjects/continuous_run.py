"""Pickets on the face of the posts: one row over all bays, its marks taken afresh from each post."""

from __future__ import annotations

from fractions import Fraction

from assistant.dialogue.forms import Form, slot
from assistant.dialogue.speaking import counted, spoken
from assistant.dialogue.subject import Answers, Subject
from assistant.dialogue.subjects.shared import beginning, fence_bays, say_and_keep
from assistant.dialogue.turn import Turn
from assistant.language.vocabulary import Act
from assistant.measured import Bay
from assistant.numbers import say_count
from assistant.plan import set_out_of
from assistant.set_out import mark_unit
from assistant.setout import spacing
from assistant.setout.continuous import Post, in_front_of, sections
from assistant.setout.lengths import Length, mm, write
from assistant.setout.spacing import Layout, solve

CONTINUOUS = Form(
    "continuous",
    "continuous run",
    (slot("post", "How wide is a post?", "Post width?", (mm(40), mm(300))),),
)


def continuous(turn: Turn, answers: Answers) -> None:
    """One row from the outer face of the first post to that of the last, and from gate post to gate post where gates stand between."""
    fence_bays(turn)  # says so where there is none
    width = answers["post"]
    rows = [_row(turn, stretch, width) for stretch in _stretches(turn)]
    turn.close()
    several = len(rows) > 1
    first_post = 1
    for number, (bays, row, behind) in enumerate(rows, start=1):
        title = f"Row past the posts, {bays[0].name} to {bays[-1].name}" if several else "Row past the posts"
        lines = [
            f"{f'row {say_count(number)}' if several else 'one row'} of {counted(row.count, 'picket')}"
            f" over {counted(len(behind), 'post')}, gap {spoken(turn.settings, row.gap)}"
        ]
        for place, one in enumerate(behind, start=first_post):
            covering = in_front_of(row, one)
            if covering:
                lines.append(f"post {say_count(place)} is behind picket {' and '.join(map(say_count, covering))}")
        first_post += len(behind)
        say_and_keep(turn, title, *lines)
        _keep_marks(turn, title, row, behind)


def _stretches(turn: Turn) -> list[list[Bay]]:
    """The bays between one gate and the next: a row of pickets stops at a gate."""
    found: list[list[Bay]] = [[]]
    for index, bay in enumerate(turn.job.bays):
        if bay.gate is not None:
            found.append([])
        else:
            found[-1].append(set_out_of(turn.job, index).bay)
    return [stretch for stretch in found if stretch]


def _row(turn: Turn, bays: list[Bay], width: Length) -> tuple[list[Bay], Layout, list[Post]]:
    behind, place = [Post(Fraction(0), width)], width
    for bay in bays:
        place += max(opening for _, opening in bay.openings)
        behind.append(Post(place, width))
        place += width
    row = solve(spacing.Bay(place, bays[0].picket, bays[0].limit, turn.settings.left, turn.settings.right))
    return bays, row, behind


def _keep_marks(turn: Turn, title: str, row: Layout, behind: list[Post]) -> None:
    settings = turn.settings
    unit = mark_unit(settings.unit, settings.resolution)
    for section in sections(row, behind, settings.edge, settings.resolution):
        if section.marks:
            marks = ", ".join(f"{mark.index}: {write(mark.value, unit)}" for mark in section.marks)
            turn.keep_note(f"{title}, marks from {write(section.start, unit)}", marks)


SUBJECT = Subject(handlers={Act.CONTINUOUS: beginning(CONTINUOUS, needs_bay=True)}, forms={CONTINUOUS: continuous})
