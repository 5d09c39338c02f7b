"""What drying does to a picket and to the gap, by general shrinkage."""

from __future__ import annotations

from fractions import Fraction

from assistant.dialogue.forms import Form, slot
from assistant.dialogue.speaking import bay_name, impossible, spoken
from assistant.dialogue.subject import Answers, Subject
from assistant.dialogue.subjects.shared import bay_talked_about, beginning, say_and_keep
from assistant.dialogue.turn import Turn
from assistant.language.understanding import Wants
from assistant.language.vocabulary import Act
from assistant.setout.drying import Side, gaps_after, shrinkage, size_at
from assistant.setout.trouble import ImpossibleError

_RULE = (Fraction(8), Fraction(19))
"""Moisture that the rule is made for, in percent; `setout.drying` names its source."""

DRYING = Form(
    "drying",
    "drying",
    (
        slot("now", "What is the moisture of the timber now, in percent?", "Moisture now?", _RULE, wants=Wants.COUNT),
        slot("later", "And what will it dry to?", "Moisture later?", _RULE, wants=Wants.COUNT),
    ),
)


def drying(turn: Turn, answers: Answers) -> None:
    """The bay that is being talked about, once its timber has dried or taken up water."""
    settings = turn.settings
    made = bay_talked_about(turn)
    layout = made.rails[0].layout
    try:
        shrinkage(Side.WIDTH, answers["now"])
    except ImpossibleError as error:
        # With the form left open only its last answer would be asked for again, and no answer to that could ever be taken.
        turn.close()
        turn.say(impossible(settings, error))
        return
    width = size_at(layout.bay.picket, answers["now"], answers["later"])
    moved = gaps_after(layout, width)
    turn.close()
    lines = [f"a picket of {spoken(settings, layout.bay.picket)} becomes {spoken(settings, width)}"]
    if moved.closed:
        lines.append(f"the pickets of {bay_name(made.bay)} meet, and push each other off: leave a larger gap")
    else:
        lines.append(f"the gap of {bay_name(made.bay)} becomes {spoken(settings, moved.gap)}")
        if not moved.allowed:
            lines.append("that is over the largest gap")
    say_and_keep(turn, "Drying", *lines)
    turn.keep_note("Drying, where it comes from", "General shrinkage from green, FPL-RP-489; for most species, not redwood or cedar.")


SUBJECT = Subject(handlers={Act.DRYING: beginning(DRYING, needs_bay=True)}, forms={DRYING: drying})
