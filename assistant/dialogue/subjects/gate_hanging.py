"""On which side a gate hangs: drawn and written so, and the leaf stays the same."""

from __future__ import annotations

from dataclasses import replace

from assistant.dialogue.speaking import bay_name, sentence
from assistant.dialogue.subject import Handler, Subject
from assistant.dialogue.turn import Turn
from assistant.job import BaySet
from assistant.language.understanding import Intent
from assistant.language.vocabulary import Act
from assistant.measured import Side


def hinges(side: Side) -> Handler:
    """The gate that is talked about, else the last one, hangs on this side."""

    def said(turn: Turn, intent: Intent) -> None:
        job = turn.job
        gates = [index for index, bay in enumerate(job.bays) if bay.gate is not None]
        if not gates:
            turn.say("There is no gate yet. To measure one, say: gate.")
            return
        index = job.current if job.current in gates else gates[-1]
        bay = job.bays[index]
        assert bay.gate is not None
        if bay.gate.leaves == 2:
            turn.say(sentence(f"{bay_name(bay)} has two leaves: hinges on both sides"))
        elif turn.require_open(index):
            turn.fact(BaySet(index, replace(bay, gate=replace(bay.gate, hinges=side))))
            turn.say(sentence(f"{bay_name(bay)}: hinges on the {side.value}"))

    return said


SUBJECT = Subject(handlers={Act.HINGES_LEFT: hinges(Side.LEFT), Act.HINGES_RIGHT: hinges(Side.RIGHT)}, forms={})
