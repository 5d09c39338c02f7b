"""The calculations beside the bays."""

from __future__ import annotations

from collections.abc import Callable

from assistant.dialogue.speaking import say_count
from assistant.dialogue.turn import Turn
from assistant.dialogue.understand import Intent
from assistant.dialogue.vocabulary import Act
from assistant.setout.lengths import Length


def number(value: int) -> str:
    return say_count(value)


def gap_measures(turn: Turn, intent: Intent, value: Length) -> None:
    turn.say("x")


ACTIONS: dict[Act, Callable[[Turn, Intent], None]] = {}
