"""What to order: pickets with waste, posts, fixings, and rails cut from stock lengths."""

from __future__ import annotations

from fractions import Fraction

from assistant.dialogue.forms import Form, slot
from assistant.dialogue.speaking import counted, impossible
from assistant.dialogue.subject import Answers, Subject
from assistant.dialogue.subjects.shared import beginning, fence_bays, say_and_keep
from assistant.dialogue.turn import Turn
from assistant.language.understanding import Wants
from assistant.language.vocabulary import Act
from assistant.measured import Slope
from assistant.numbers import say_count
from assistant.plan import set_out_of, steepness
from assistant.set_out import SetOut
from assistant.setout.lengths import Length, mm, write
from assistant.setout.stock import cut_stock
from assistant.setout.timber import Build, list_timber, with_waste
from assistant.setout.trouble import ImpossibleError

TIMBER = Form(
    "timber",
    "timber list",
    (
        slot("rails", "How many rails in a bay?", "Rails?", (Fraction(1), Fraction(5)), wants=Wants.COUNT),
        slot(
            "fixings", "How many fixings where a picket crosses a rail?", "Fixings each?", (Fraction(1), Fraction(4)), wants=Wants.COUNT
        ),
        slot("stock", "How long is a stock length of rail?", "Stock length?", (mm(1000), mm(7500))),
        slot(
            "waste", "How much waste on pickets, in percent?", "Waste percent?", (Fraction(0), Fraction(30)), wants=Wants.COUNT, zero=True
        ),
    ),
)


def timber(turn: Turn, answers: Answers) -> None:
    """The list for all bays, and the pickets of the gates."""
    settings = turn.settings
    bays = fence_bays(turn)
    gates = [set_out_of(turn.job, index) for index, bay in enumerate(turn.job.bays) if bay.gate is not None]
    build = Build(int(answers["rails"]), int(answers["fixings"]), waste=answers["waste"] / 100, end_posts=1 + len(gates))
    found = list_timber([made.rails[0].layout for made in bays], build)
    rails = [_rail_length(made) for made in bays for _ in range(build.rails)]
    try:
        cut = cut_stock(rails, answers["stock"])
    except ImpossibleError as error:
        # With the form left open only the waste would be asked for again, and it is the stock that is too short.
        turn.close()
        turn.say(impossible(settings, error))
        return
    turn.close()
    pickets = found.pickets + sum(gate.pickets for gate in gates)
    lines = [
        f"{counted(pickets, 'picket')}; buy {say_count(with_waste(pickets, build.waste))}",
        f"{counted(found.posts, 'post')}, {counted(found.fixings_to_buy, 'fixing')}",
        f"{counted(len(rails), 'rail')} from {counted(len(cut.sticks), 'stock length')}"
        + ("" if cut.proven else f"; no plan does with fewer than {say_count(cut.lower_bound)}"),
    ]
    if gates:
        lines.append("rails and frames of gates are not in it")
    say_and_keep(turn, "Timber", *lines)
    cuts = "; ".join(" + ".join(write(piece, settings.unit) for piece in stick) for stick in cut.sticks)
    turn.keep_note(f"Rails from stock lengths of {write(cut.stock, settings.unit)}", cuts)


def _rail_length(made: SetOut) -> Length:
    """What one rail of a bay is cut to: the widest opening; of a raked bay along the slope, to the nearest graduation."""
    widest = max(opening for _, opening in made.bay.openings)
    if made.bay.slope is not Slope.RAKED:
        return widest
    return steepness(made.bay).along(widest, made.resolution) * made.resolution.step


SUBJECT = Subject(handlers={Act.TIMBER: beginning(TIMBER, needs_bay=True)}, forms={TIMBER: timber})
