"""What to order: pickets and fixings with waste, posts by their length, and rails cut from stock lengths."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction

from assistant.dialogue.cautions import CUTTING
from assistant.dialogue.forms import Form, slot
from assistant.dialogue.speaking import counted, impossible, spoken
from assistant.dialogue.subject import Answers, Subject
from assistant.dialogue.subjects.shared import beginning, fence_bays, say_and_keep
from assistant.dialogue.turn import Turn
from assistant.job import DraftChanged
from assistant.language.understanding import Wants
from assistant.language.vocabulary import Act
from assistant.measured import RAILS, Slope
from assistant.numbers import say_count
from assistant.plan import set_out_of, steepness
from assistant.set_out import SetOut
from assistant.setout.lengths import Length, Unit, mm, write
from assistant.setout.stock import CutPlan, cut_stock
from assistant.setout.timber import Build, TimberList, list_timber, rail_lengths
from assistant.setout.trouble import ImpossibleError

TIMBER = Form(
    "timber",
    "timber list",
    (
        slot("rails", "How many rails in a bay?", "Rails?", (Fraction(1), Fraction(5)), wants=Wants.COUNT),
        slot("fixings", "How many fixings where a picket crosses a rail?", "Fixings each?", (Fraction(1), Fraction(4)), wants=Wants.COUNT),
        slot("stock", "How long is a stock length of rail?", "Stock length?", (mm(1000), mm(7500))),
        slot("kerf", "How wide is a saw cut?", "Saw cut?", (mm(1), mm(6)), zero=True),
        slot("length", "How long is a picket? Zero leaves that out.", "Picket length?", (mm(300), mm(2500)), zero=True),
        slot(
            "picket stock",
            "How long is what pickets are cut from? Or: the same.",
            "Picket stock?",
            (mm(300), mm(7500)),
            same_as="length",
            when=lambda answers: answers.get("length", 0) > 0,
        ),
        slot("above", "How high do posts stand? Zero leaves that out.", "Post height?", (mm(300), mm(2700)), zero=True),
        slot(
            "depth",
            "How deep do posts go in the ground?",
            "Post depth?",
            (mm(150), mm(1500)),
            when=lambda answers: answers.get("above", 0) > 0,
            zero=True,
        ),
        slot(
            "waste",
            "How much spare on pickets and fixings, in percent?",
            "Spare percent?",
            (Fraction(0), Fraction(30)),
            wants=Wants.COUNT,
            zero=True,
        ),
    ),
)
"""What needs no questioning is common practice, no source."""


def timber(turn: Turn, answers: Answers) -> None:
    """The list for all bays, and the pickets of the gates."""
    bays = fence_bays(turn)
    gates = [set_out_of(turn.job, index) for index, bay in enumerate(turn.job.bays) if bay.gate is not None]
    build = Build(int(answers["rails"]), int(answers["fixings"]), waste=answers["waste"] / 100)
    found = list_timber([made.pickets for made in bays], [made.pickets for made in gates], build)
    cut = _cut(turn, "stock", [length for made in bays for length in _rails(made, build.rails)], answers)
    if cut is None:
        return
    pickets = None
    if answers.get("length"):
        pickets = _cut(turn, "picket stock", [answers["length"]] * found.pickets_to_buy, answers)
        if pickets is None:
            return
    turn.close()
    post = answers["above"] + answers["depth"] if answers.get("above") else None
    written = _written(turn.settings.unit, found, cut, pickets, post)
    if post is not None:
        unit = turn.settings.unit
        written += (f"Each post {write(answers['above'], unit)} above the ground and {write(answers['depth'], unit)} in it",)
    written += (f"For {', '.join(made.bay.name for made in (*bays, *gates))}",)
    lines = _spoken(turn, found, cut, pickets, post)
    if gates:
        lines += ("rails and frames of gates are not in it",)
        written += ("Rails and frames of gates are not in it",)
    say_and_keep(turn, "Timber", *lines, written=written)
    turn.keep_note("Rails to cut", *_cuts(turn.settings.unit, cut))
    turn.caution(CUTTING)


def _cut(turn: Turn, slot_key: str, pieces: list[Length], answers: Answers) -> CutPlan | None:
    """A plan; None where a piece is longer than what it is cut from, which is then asked for again."""
    try:
        return cut_stock(pieces, answers[slot_key], answers["kerf"])
    except ImpossibleError as error:
        draft = turn.job.draft
        assert draft is not None
        kept = tuple((key, value) for key, value in draft.answers if key != slot_key)
        turn.fact(DraftChanged(replace(draft, answers=kept)))
        turn.ask()
        turn.say(impossible(turn.settings, error), next(slot.full for slot in TIMBER.slots if slot.key == slot_key))
        return None


def _spoken(turn: Turn, found: TimberList, cut: CutPlan, pickets: CutPlan | None, post: Length | None) -> tuple[str, ...]:
    settings = turn.settings
    lines = [f"{counted(found.pickets, 'picket')}; buy {say_count(found.pickets_to_buy)}"]
    if pickets is not None:
        lines.append(f"they come from {counted(len(pickets.sticks), 'stock length')}")
    lines.append(f"{counted(found.posts, 'post')}, {counted(found.fixings_to_buy, 'fixing')}")
    if post is not None:
        lines.append(f"each post is {spoken(settings, post)} long")
    lines.append(f"{counted(sum(map(len, cut.sticks)), 'rail')} from {counted(len(cut.sticks), 'stock length')}")
    if not cut.proven:
        lines.append(f"perhaps fewer would do, but not under {say_count(cut.lower_bound)}")
    return tuple(lines)


def _written(unit: Unit, found: TimberList, cut: CutPlan, pickets: CutPlan | None, post: Length | None) -> tuple[str, ...]:
    lines = [f"{_figures(found.pickets, 'picket')}; buy {found.pickets_to_buy}"]
    if pickets is not None:
        each = f"{len(pickets.sticks[0])} of {write(pickets.sticks[0][0], unit)} from each" if pickets.sticks else ""
        lines.append(f"Pickets from {_figures(len(pickets.sticks), 'stock length')} of {write(pickets.stock, unit)}: {each}")
    lines.append(_figures(found.posts, "post") + ("" if post is None else f" of {write(post, unit)}"))
    lines.append(f"{_figures(found.fixings, 'fixing')}; buy {found.fixings_to_buy}")
    bound = "the fewest there can be" if cut.proven else f"no plan does with fewer than {cut.lower_bound}"
    rails = _figures(sum(map(len, cut.sticks)), "rail")
    lines.append(f"{rails} from {_figures(len(cut.sticks), 'stock length')} of {write(cut.stock, unit)}; {bound}")
    return tuple(lines)


def _figures(count: int, one: str) -> str:
    return f"{count} {one if count == 1 else one + 's'}"


def _cuts(unit: Unit, cut: CutPlan) -> tuple[str, ...]:
    """Each way a stock length is cut, how often, and what is left of it."""
    ways = Counter(zip(cut.sticks, cut.offcuts, strict=True))
    lines = [
        f"{often} × {' + '.join(write(piece, unit) for piece in stick)}, {write(left, unit)} left" for (stick, left), often in ways.items()
    ]
    return (*lines, f"Saw cut {write(cut.kerf, unit)}")


_HEIGHTS = {name: Fraction(place) for place, name in enumerate(RAILS)}


def _rails(made: SetOut, rails: int) -> tuple[Length, ...]:
    """What the rails of a bay are cut to; of a raked bay along the slope, to the nearest graduation."""
    level = rail_lengths({_HEIGHTS[name]: opening for name, opening in made.bay.openings}, rails)
    if made.bay.slope is not Slope.RAKED:
        return level
    return tuple(steepness(made.bay).along(length, made.resolution) * made.resolution.step for length in level)


SUBJECT = Subject(handlers={Act.TIMBER: beginning(TIMBER, needs_bay=True)}, forms={TIMBER: timber})
