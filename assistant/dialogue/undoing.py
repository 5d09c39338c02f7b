"""What a turn did, in words: what undo says that it took back."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields

from assistant.dialogue.registry import FORMS
from assistant.dialogue.speaking import bay_name
from assistant.dialogue.state import Past
from assistant.job import (
    BayChosen,
    BayRemoved,
    BayReopened,
    BaySet,
    CalledByIndex,
    CautionAcknowledged,
    ConfirmedByIndex,
    DraftChanged,
    Fact,
    Job,
    MarkCalled,
    NoteMade,
    PicketSlipped,
    PostsSet,
    SetOutConfirmed,
    SettingsChanged,
)
from assistant.numbers import say_count

_NAMES = {
    "unit": "the unit",
    "resolution": "what marks are set to",
    "picket": "the picket width",
    "limit": "the largest gap",
    "left": "the left end",
    "right": "the right end",
    "edge": "the edge that is marked",
    "origin": "the post marks are measured from",
    "share_lean": "what becomes of a leaning post",
    "likeness": "how alike the gaps are",
    "full": "how long answers are",
    "numbers": "how numbers are spoken",
    "headset": "headset or loudspeaker",
}


def undone_words(past: Past) -> str:
    """“Undone: bay two, removed.”"""
    for kind, told in _TOLD:
        for fact in past.facts:
            if isinstance(fact, kind):
                text = told(past.job, fact)
                if text:
                    return f"Undone: {text}."
    return "Undone: the last step."


def _number(job: Job, number: int) -> str:
    index = job.index_of(number)
    return f"bay {say_count(number)}" if index is None else bay_name(job.bays[index])


def _removed(job: Job, fact: BayRemoved) -> str:
    return f"{bay_name(job.bays[fact.index])} stands again"


def _reopened(job: Job, fact: BayReopened) -> str:
    return f"{_number(job, fact.number)} stands as it was set out"


def _slipped(job: Job, fact: PicketSlipped) -> str:
    return f"the slip of picket {say_count(fact.slip.picket)} in {_number(job, fact.number)}"


def _confirmed(job: Job, fact: SetOutConfirmed) -> str:
    return f"the gap of {_number(job, fact.number)} is not confirmed any more"


def _called(job: Job, fact: MarkCalled) -> str:
    at = fact.position
    rail = at.rail if "leaf" in at.rail else f"{at.rail} rail"
    return f"mark {say_count(at.mark)}, {_number(job, at.bay)}, {rail}"


def _bay(job: Job, fact: BaySet) -> str:
    name = bay_name(fact.bay)
    if fact.index >= len(job.bays):
        return f"{name}, just measured"
    return f"the change of {name}" if job.bays[fact.index] != fact.bay else ""


def _settings(job: Job, fact: SettingsChanged) -> str:
    before, after = job.settings, fact.settings
    names = [_NAMES[one.name] for one in fields(after) if getattr(before, one.name) != getattr(after, one.name)]
    return f"{' and '.join(names)}, as before" if names else ""


def _draft(job: Job, fact: DraftChanged) -> str:
    before, after = job.draft, fact.draft
    if after is None or (before is not None and before.form == after.form and len(before.answers) > len(after.answers)):
        return "at the question that was left" if before is not None else ""
    form = FORMS[after.form]
    if before is None or before.form != after.form or not after.answers:
        return f"{form.name}, just begun"
    key = after.answers[-1][0]
    return next((f"the {slot.name}" for slot in form.slots if key.split()[0] == slot.key), "the last answer")


def _caution(job: Job, fact: CautionAcknowledged) -> str:
    return "the caution is not acknowledged any more"


def _note(job: Job, fact: NoteMade) -> str:
    return f"{fact.note.title[:1].lower()}{fact.note.title[1:]}"


def _chosen(job: Job, fact: BayChosen) -> str:
    return f"at {bay_name(job.bays[job.current])} again" if job.bays else ""


_Told = Callable[..., str]
_TOLD: tuple[tuple[type[Fact], _Told], ...] = (
    (BayRemoved, _removed),
    (BayReopened, _reopened),
    (PicketSlipped, _slipped),
    (SetOutConfirmed, _confirmed),
    (BaySet, _bay),
    (SettingsChanged, _settings),
    (PostsSet, lambda job, fact: "the posts"),
    (NoteMade, _note),
    (DraftChanged, _draft),
    (CautionAcknowledged, _caution),
    (MarkCalled, _called),
    (BayChosen, _chosen),
    (ConfirmedByIndex, lambda job, fact: f"the gap of {bay_name(job.bays[fact.index])} is not confirmed any more"),
    (CalledByIndex, lambda job, fact: f"mark {say_count(fact.mark)}, {bay_name(job.bays[fact.bay])}"),
)
"""What tells most of a turn comes first."""
