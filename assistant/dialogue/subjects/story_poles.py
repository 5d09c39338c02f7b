"""Story poles: the fewest that carry the marks of the bays, where a short one is set on again, and a rod for the heights of the rails.

A pole carries equal gaps, counted from one post: the one that the marks of its bays are measured from, or the one that is named.  A bay
whose pickets stand otherwise, after a slip or along a slope, gets a pole of its own.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from assistant.dialogue.forms import Form, slot
from assistant.dialogue.speaking import bay_name, counted, impossible, spoken
from assistant.dialogue.subject import Answers, Finisher, Subject
from assistant.dialogue.subjects.shared import bay_talked_about, beginning, fence_bays, say_and_keep
from assistant.dialogue.turn import Turn
from assistant.language.vocabulary import Act
from assistant.measured import RAILS, Slope
from assistant.numbers import say_count
from assistant.plan import steepness
from assistant.set_out import Rail, SetOut
from assistant.setout.ends import set_gap
from assistant.setout.lengths import Length, mm, round_to
from assistant.setout.marks import Edge, Origin
from assistant.setout.pole import fewest_poles, re_register, rod
from assistant.setout.slope import step_of
from assistant.setout.spacing import Layout
from assistant.setout.trouble import ImpossibleError

_SLOTS = (
    slot("pole", "How long is the pole?", "Pole length?", (mm(300), mm(6000))),
    slot("tolerance", "How far may a mark be out?", "Tolerance?", (mm(0), mm(5)), zero=True),
)
POLE = Form("pole", "story pole", _SLOTS)
FROM = {origin: Form(f"pole from the {origin.value}", f"story pole, from the {origin.value}", _SLOTS) for origin in Origin}
HEIGHTS = Form(
    "heights",
    "height rod",
    (
        slot("low", "How high off the ground is the bottom rail?", "Bottom rail?", (mm(50), mm(600))),
        slot("high", "And the top rail?", "Top rail?", (mm(400), mm(2400))),
    ),
)


@dataclass(frozen=True, slots=True)
class _Carried:
    """A row of marks that a pole can carry."""

    name: str
    made: SetOut
    rail: Rail
    origin: Origin
    """The post its pole counts from."""

    @property
    def why_alone(self) -> str:
        """Why it needs a pole of its own; empty where it can share one."""
        if self.made.slips or self.made.bay.slip is not None:
            return "a picket of it slipped"
        return "it is raked" if self.made.bay.slope is Slope.RAKED else ""

    @property
    def layout(self) -> Layout:
        """The row with its own end spaces, which on rails plumbed from another are not those of the layout."""
        rail = self.rail
        if rail.spaces == rail.layout.spaces():
            return rail.layout
        left, right = set_gap(rail.left_space), set_gap(rail.right_space)
        return replace(rail.layout, bay=replace(rail.layout.bay, opening=rail.opening, left=left, right=right))

    def running(self) -> tuple[int, ...]:
        """Its marks from that post, in graduations: as they are called, or seen from the other post."""
        made = self.made
        if self.origin is made.origin:
            return tuple(mark.steps for mark in self.rail.marks)
        row = self.rail.row if self.origin is Origin.LEFT else self.rail.row.turned()
        near = Edge.LEFT if self.origin is Origin.LEFT else Edge.RIGHT
        offset = row.picket / 2 if made.edge is Edge.CENTRE else Fraction(0) if made.edge is near else row.picket
        return tuple(self._steps(edge + offset) for edge in row.near_edges())

    def _steps(self, level: Length) -> int:
        if self.made.bay.slope is not Slope.RAKED:
            return round_to(level, self.made.resolution)
        return steepness(self.made.bay).along(level, self.made.resolution)

    def set_again(self, pole: Length) -> str:
        """Where a pole of this length is set on again; empty where it reaches every mark at once."""
        resolution = self.made.resolution
        far = self._steps(self.rail.opening) * resolution.step
        further = re_register(self.running(), far, pole, resolution).placements[1:]
        starts = [f"mark {say_count(placement.start_index)}" for placement in further]
        return f"in {self.name} set the pole again on {'; '.join(starts)}" if starts else ""


def _finishing(origin: Origin | None) -> Finisher:
    """The poles, which bays each serves, and the marks a short one is set on; from the post of each bay where none is named."""

    def finish(turn: Turn, answers: Answers) -> None:
        settings = turn.settings
        carried = [one for made in fence_bays(turn) for one in _carried(made, origin)]
        shared = [one for one in carried if not one.why_alone]
        try:
            poles = _poles(shared, answers["tolerance"])
            again = [one.set_again(answers["pole"]) for one in carried]
        except ImpossibleError as error:
            # With the form left open only the tolerance would be asked for again, and it is the pole that is too short.
            turn.close()
            turn.say(impossible(settings, error))
            return
        turn.close()
        alone = [one for one in carried if one.why_alone]
        lines = [counted(len(poles) + len(alone), "story pole")]
        for number, (side, served, worst) in enumerate(poles, start=1):
            serves = "; ".join(one.name for one in served)
            lines.append(f"pole {say_count(number)}, from the {side.value}, serves {serves}. Worst mark out by {spoken(settings, worst)}")
        for number, one in enumerate(alone, start=len(poles) + 1):
            lines.append(f"pole {say_count(number)}, from the {one.origin.value}, is for {one.name} alone: {one.why_alone}")
        say_and_keep(turn, "Story poles", *lines, *(text for text in again if text))

    return finish


def _carried(made: SetOut, origin: Origin | None) -> list[_Carried]:
    """A row for each rail that has marks of its own."""
    name, side = bay_name(made.bay), origin or made.origin
    if len({rail.values() for rail in made.rails}) == 1:
        return [_Carried(name, made, made.rails[0], side)]
    return [_Carried(f"{name} {rail.name} rail", made, rail, side) for rail in made.rails]


def _poles(carried: list[_Carried], tolerance: Length) -> list[tuple[Origin, list[_Carried], Length]]:
    """(post, rows, worst mark) of each pole; rows seen from different posts share none."""
    poles = []
    for origin in Origin:
        rows = [one for one in carried if one.origin is origin]
        for found in fewest_poles([one.layout for one in rows], tolerance, origin):
            poles.append((origin, [rows[place] for place in found.bays], found.worst))
    return poles


def heights(turn: Turn, answers: Answers) -> None:
    """Where the rails of the bay that is talked about stand on a rod, from the ground; with the step where it is stepped."""
    settings, bay = turn.settings, bay_talked_about(turn).bay
    names = [name for name in RAILS if name != "middle" or bay.opening("middle") is not None]
    found = rod(answers["low"], answers["high"], len(names))
    lines = [f"{name} rail at {spoken(settings, height)}" for name, height in zip(names, found, strict=True)]
    if bay.slope is Slope.STEPPED:
        opening = max(opening for _, opening in bay.openings)
        step = step_of(steepness(bay), opening, Fraction(0)).step
        lines = [f"at the high post, {lines[0]}", *lines[1:], f"at the low post add {spoken(settings, step)} to each"]
    turn.close()
    say_and_keep(turn, f"Height rod, {bay_name(bay)}", "from the ground up", *lines)


SUBJECT = Subject(
    handlers={
        Act.POLE: beginning(POLE, needs_bay=True),
        Act.POLE_LEFT: beginning(FROM[Origin.LEFT], needs_bay=True),
        Act.POLE_RIGHT: beginning(FROM[Origin.RIGHT], needs_bay=True),
        Act.HEIGHTS: beginning(HEIGHTS, needs_bay=True),
    },
    forms={POLE: _finishing(None), **{form: _finishing(origin) for origin, form in FROM.items()}, HEIGHTS: heights},
)
