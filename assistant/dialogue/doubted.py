"""Which openings were in doubt before they were taken: what a sum that does not close is looked at by.

Crosses the border: a turn and what was meant in it; facts are added to the turn.
"""

from __future__ import annotations

from collections.abc import Iterator

from assistant.dialogue import forms
from assistant.dialogue.state import Choosing, Doubting
from assistant.dialogue.turn import Turn
from assistant.job import BaySet, DraftChanged, HeardUnsure
from assistant.language.vocabulary import Act

_RAILS = {forms.BAY.key: {"bottom": "bottom", "top": "top"}, forms.GATE.key: {"opening": "bottom"}}
"""Form -> answer -> the rail whose opening it is."""


def keep_doubts(turn: Turn, act: Act) -> None:
    """An opening taken in this turn after a question about it, or in the place of another, is kept as unsure."""
    if not (isinstance(turn.start.focus, (Choosing, Doubting)) or act is Act.CORRECT):
        return
    for number, rail in dict.fromkeys(_taken(turn)):
        if (number, rail) not in turn.job.unsure:
            turn.fact(HeardUnsure(number, rail))


def _taken(turn: Turn) -> Iterator[tuple[int, str]]:
    """(number of the bay, rail) of each opening that this turn took."""
    job = turn.start.past[-1].job if turn.undone else turn.start.job
    draft, asked = job.draft, False
    for fact in turn.facts:
        match fact:
            case DraftChanged(changed):
                if changed is not None and changed.form in _RAILS:
                    asked = True
                    before = dict(draft.answers) if draft is not None and draft.form == changed.form else {}
                    for key, value in changed.answers:
                        if key in _RAILS[changed.form] and before.get(key) != value:
                            yield changed.bay or job.next_number, _RAILS[changed.form][key]
                draft = changed
            case BaySet(index, bay) if not asked and index < len(job.bays):
                for rail, opening in bay.openings:
                    if job.bays[index].opening(rail) != opening:
                        yield bay.number, rail
