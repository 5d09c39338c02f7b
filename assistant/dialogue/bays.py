"""Choosing, measuring again and taking away bays."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from assistant.dialogue import forms
from assistant.dialogue.asking import begin, question
from assistant.dialogue.finishing import next_number, told
from assistant.dialogue.speaking import bay_name, counted, sentence
from assistant.dialogue.state import Hub, Removing
from assistant.dialogue.turn import Turn
from assistant.job import BayChosen, BayRemoved, BaySet
from assistant.numbers import say_count
from assistant.plan import plan_bay
from assistant.setout.lengths import Length


def new(turn: Turn) -> None:
    """Measure another bay; the settings first if they are not known."""
    if turn.settings.picket is None or turn.settings.limit is None:
        begin(turn, forms.SETUP, "First the pickets.")
    else:
        begin(turn, forms.BAY, f"Bay {say_count(next_number(turn))}.")


def new_gate(turn: Turn) -> None:
    """Measure a gate; the settings first if they are not known."""
    if turn.settings.picket is None or turn.settings.limit is None:
        begin(turn, forms.SETUP, "First the pickets.", {forms.GATE_FIRST: Fraction(1)})
    else:
        begin(turn, forms.GATE, f"Gate {say_count(next_number(turn))}.")


def index_of(turn: Turn, number: int | None) -> int | None:
    """The bay with a number; says so when there is none."""
    for index, bay in enumerate(turn.job.bays):
        if bay.number == number:
            return index
    known = ", ".join(bay_name(bay) for bay in turn.job.bays) or "no bay yet"
    turn.say(sentence(f"there is no bay {say_count(number or 0)}; there is {known}"))
    return None


def choose(turn: Turn, number: int | None) -> None:
    """Talk about another bay."""
    index = index_of(turn, number)
    if index is not None:
        turn.fact(BayChosen(index))
        turn.focus(Hub())
        told(turn)
        turn.say(question(turn.state))


def set_opening(turn: Turn, rail: str, opening: Length, heard: str) -> None:
    """One opening of the current bay measured again, or a rail added."""
    job = turn.job
    if not job.bays:
        turn.say("There is no bay yet.", question(turn.state))
        return
    turn.fact(BaySet(job.current, replace(job.bays[job.current].measured(rail, opening), count=None)))
    turn.say(sentence(f"{rail} {heard}"))
    told(turn)


def change(turn: Turn, number: int | None) -> None:
    """Measure a bay again from the first question; the old figures hold until the new are complete."""
    index = index_of(turn, number)
    if index is not None:
        turn.fact(BayChosen(index))
        bay = turn.job.bays[index]
        if bay.gate is not None:
            turn.say("To change a gate, remove it and add it once more.", question(turn.state))
        else:
            begin(turn, forms.BAY, sentence(f"{bay_name(bay)} once more"), {forms.AGAIN: Fraction(bay.number)})


def ask_remove(turn: Turn, number: int | None) -> None:
    """A bay is taken away only after a yes."""
    index = index_of(turn, number)
    if index is not None:
        turn.focus(Removing(index))
        turn.say(question(turn.state))


def remove(turn: Turn, index: int) -> None:
    """Take a bay away."""
    name = bay_name(turn.job.bays[index])
    turn.fact(BayRemoved(index))
    turn.focus(Hub())
    turn.say(sentence(f"{name} removed"), question(turn.state))


def neighbour(turn: Turn, by: int) -> None:
    """One picket more or fewer in the current bay."""
    job = turn.job
    if not job.bays:
        turn.say("There is no bay yet.", question(turn.state))
        return
    count = plan_bay(job, job.current).count + by
    turn.fact(BaySet(job.current, replace(job.bays[job.current], count=count)))
    told(turn)


def all_measured(turn: Turn) -> None:
    """Every bay in a sentence, and on to marking the first that is not confirmed."""
    job = turn.job
    if not job.bays:
        turn.say("There is no bay yet.", question(turn.state))
        return
    turn.say(sentence(counted(len(job.bays), "bay")))
    first = next((index for index in range(len(job.bays)) if index not in job.confirmed), 0)
    if turn.settings.full:
        for index in range(len(job.bays)):
            plan = plan_bay(job, index)
            turn.say(sentence(f"{bay_name(plan.bay)}, {counted(plan.count, 'picket')}"))
    turn.fact(BayChosen(first))
    turn.say(f"For {bay_name(job.bays[first])}, say: start marking.")
