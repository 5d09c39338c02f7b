"""Story poles: the fewest that carry the marks of the bays, and where a short one is set on again.

A pole carries equal gaps counted from the post that the marks of its bays are measured from, so bays whose pickets stand otherwise,
after a slip or along a slope, are left out by name.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from assistant.dialogue.forms import Form, slot
from assistant.dialogue.speaking import bay_name, counted, impossible, spoken
from assistant.dialogue.subject import Answers, Subject
from assistant.dialogue.subjects.shared import beginning, fence_bays, say_and_keep
from assistant.dialogue.turn import Turn
from assistant.language.vocabulary import Act
from assistant.measured import Slope
from assistant.numbers import say_count
from assistant.set_out import Rail, SetOut
from assistant.setout.ends import set_gap
from assistant.setout.lengths import Length, mm
from assistant.setout.marks import Origin
from assistant.setout.pole import fewest_poles, re_register
from assistant.setout.spacing import Layout
from assistant.setout.trouble import ImpossibleError

POLE = Form(
    "pole",
    "story pole",
    (
        slot("pole", "How long is the pole?", "Pole length?", (mm(300), mm(6000))),
        slot("tolerance", "How far may a mark be out?", "Tolerance?", (mm(0), mm(5)), zero=True),
    ),
)


@dataclass(frozen=True, slots=True)
class _Carried:
    """A row of marks that a pole can carry."""

    name: str
    layout: Layout
    made: SetOut


def pole(turn: Turn, answers: Answers) -> None:
    """The poles, which bays each serves, and the marks a short one is set on."""
    settings = turn.settings
    bays = fence_bays(turn)
    carried = [one for made in bays for one in _carried(made)]
    try:
        poles = _poles(carried, answers["tolerance"])
        again = [_set_again(one, answers["pole"]) for one in carried]
    except ImpossibleError as error:
        # With the form left open only the tolerance would be asked for again, and it is the pole that is too short.
        turn.close()
        turn.say(impossible(settings, error))
        return
    turn.close()
    lines = [counted(len(poles), "story pole")]
    for number, (origin, served, worst) in enumerate(poles, start=1):
        serves = " and ".join(one.name for one in served)
        lines.append(f"pole {say_count(number)}, from the {origin.value}, serves {serves}, worst mark out by {spoken(settings, worst)}")
    lines += [text for text in again if text]
    lines += [f"{bay_name(made.bay)} is left out: {reason}" for made in bays if (reason := _unlike_a_pole(made))]
    say_and_keep(turn, "Story poles", *lines)


def _unlike_a_pole(made: SetOut) -> str:
    """Why no pole carries the marks of a bay; empty where one does."""
    if made.slips or made.bay.slip is not None:
        return "a picket of it slipped"
    return "it is raked" if made.bay.slope is Slope.RAKED else ""


def _carried(made: SetOut) -> list[_Carried]:
    """The rows of a bay: one, or one for each marked rail where the rails differ."""
    if _unlike_a_pole(made):
        return []
    name = bay_name(made.bay)
    if len({rail.spaces for rail in made.rails}) == 1:
        return [_Carried(name, _as_it_stands(made.rails[0]), made)]
    return [_Carried(f"{name} {rail.name} rail", _as_it_stands(rail), made) for rail in made.rails]


def _as_it_stands(rail: Rail) -> Layout:
    """The rail's row with its own end spaces, which on rails plumbed from another are not those of the layout."""
    layout = rail.layout
    if rail.spaces == layout.spaces():
        return layout
    left, right = set_gap(rail.left_space), set_gap(rail.right_space)
    return replace(layout, bay=replace(layout.bay, opening=rail.opening, left=left, right=right))


def _poles(carried: list[_Carried], tolerance: Length) -> list[tuple[Origin, list[_Carried], Length]]:
    """(post, rows, worst mark) of each pole; rows seen from different posts share none."""
    poles = []
    for origin in Origin:
        rows = [one for one in carried if one.made.origin is origin]
        for found in fewest_poles([one.layout for one in rows], tolerance, origin):
            poles.append((origin, [rows[place] for place in found.bays], found.worst))
    return poles


def _set_again(one: _Carried, length: Length) -> str:
    """Where a pole of this length is set on again; empty where it reaches every mark at once."""
    made = one.made
    further = re_register(one.layout, length, made.edge, made.resolution, made.origin).placements[1:]
    starts = " and ".join(f"mark {say_count(placement.start_index)}" for placement in further)
    return f"in {one.name} set the pole again on {starts}" if starts else ""


SUBJECT = Subject(handlers={Act.POLE: beginning(POLE, needs_bay=True)}, forms={POLE: pole})
