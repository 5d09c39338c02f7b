"""What drying does to a picket and to the gap: by the timber that is named, else by general shrinkage."""

from __future__ import annotations

from fractions import Fraction

from assistant.dialogue.forms import Form, Slot
from assistant.dialogue.speaking import bay_name, sentence, spoken
from assistant.dialogue.subject import Answers, Finisher, Subject
from assistant.dialogue.subjects.shared import bay_talked_about, say_and_keep
from assistant.dialogue.turn import Turn
from assistant.language.understanding import Intent, Wants
from assistant.language.vocabulary import DRYING_TIMBERS, Act, named_by
from assistant.setout.drying import LEAST, MOST, SPECIES, Species, gaps_after, size_at, width_at

GENERAL = "General shrinkage from green, FPL-RP-489; for most species, not redwood or cedar."
"""Where the rule for timber without a name comes from."""
_GREEN = Fraction(60)
"""Percent of moisture beyond which an answer is questioned: common practice, no source."""


def _slots(least: Fraction, most: Fraction, only: str) -> tuple[Slot, ...]:
    return (
        Slot("now", "What is the moisture of the timber now, in percent?", "Moisture now?", least, most, Wants.COUNT, only=only),
        Slot("later", "And what will it dry to?", "Moisture later?", least, most, Wants.COUNT, only=only),
    )


_ONLY = f"That rule goes from eight to nineteen percent. For wetter timber: leave it, then say: {next(iter(DRYING_TIMBERS))}."
DRYING = Form("drying", "drying", _slots(Fraction(LEAST), Fraction(MOST), _ONLY))
OF_TIMBER = {one: Form(f"drying {one.name}", f"drying, {one.name}", _slots(Fraction(4), _GREEN, "")) for one in SPECIES}
"""The questions for each timber that can be named; which one stays with the draft."""


def begin(turn: Turn, intent: Intent) -> None:
    """“Drying”, or “moisture of western red cedar”: for the bay that is being talked about."""
    made = bay_talked_about(turn)
    timber = named_by(DRYING_TIMBERS, intent.words)
    form = DRYING if timber is None else OF_TIMBER[timber]
    turn.begin(form, sentence(f"{bay_name(made.bay)}, {form.name}"))


def _drying(timber: Species | None) -> Finisher:
    def finish(turn: Turn, answers: Answers) -> None:
        settings = turn.settings
        made = bay_talked_about(turn)
        layout = made.rails[0].layout
        now, later = answers["now"], answers["later"]
        before = layout.bay.picket
        width = size_at(before, now, later) if timber is None else width_at(before, timber, now, later)
        moved = gaps_after(layout, width)
        turn.close()
        if width == before:
            lines = [f"a picket of {spoken(settings, before)} stays as it is. The timber is green at both"]
        else:
            lines = [f"a picket of {spoken(settings, before)} becomes {spoken(settings, width)}"]
        if moved.closed:
            lines.append(f"the pickets of {bay_name(made.bay)} meet, and push each other off: leave a larger gap")
        else:
            lines.append(f"the gap of {bay_name(made.bay)} becomes {spoken(settings, moved.gap)}")
            if not moved.allowed:
                lines.append("that is over the largest gap")
        say_and_keep(turn, "Drying", *lines)
        turn.keep_note("Drying, where it comes from", GENERAL if timber is None else f"{timber.name.capitalize()}: {timber.source}.")

    return finish


SUBJECT = Subject(
    handlers={Act.DRYING: begin, Act.DRYING_OF: begin},
    forms={DRYING: _drying(None), **{form: _drying(timber) for timber, form in OF_TIMBER.items()}},
)
