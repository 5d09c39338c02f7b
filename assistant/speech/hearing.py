"""What the recogniser is set to in an open state, from a file and from a microphone alike.

Crosses the border: the phrases that count come in, the recogniser's grammar is changed, and what the model cannot hear is told once.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from assistant.speech.recogniser import Grammar, Recogniser

NUMBER_PAUSE_S = 0.45
"""A breath shorter than this does not end a number."""
COMMAND_PAUSE_S = 0.4
"""So much quiet ends a command."""
DECOYS = 150
"""Ordinary words listed beside the phrases, so that talk among people has something better to be than a command."""


@dataclass(slots=True)
class Hearing:
    """A recogniser, and who is told what it cannot hear."""

    recogniser: Recogniser
    tell: Callable[[str], None]
    _told: bool = False

    def tune(self, wanted: Sequence[str], number: bool) -> tuple[str, ...]:
        """Listen for these phrases from the next utterance on; `number` allows for a breath inside one.

        Gives the phrases the model can hear; the others are left out, and that is told once.
        """
        phrases = self.recogniser.sayable(wanted)
        if len(phrases) < len(wanted) and not self._told:
            self._told = True
            unknown = ", ".join(self.recogniser.missing(word for phrase in wanted for word in phrase.split()))
            self.tell(f"This speech model does not know: {unknown}. What needs them cannot be said.")
        used = {word for phrase in phrases for word in phrase.split()}
        decoys = tuple(word for word in self.recogniser.decoys[:DECOYS] if word not in used)
        self.recogniser.listen_for(Grammar(phrases, decoys, pause=NUMBER_PAUSE_S if number else COMMAND_PAUSE_S))
        return phrases
