"""What the recogniser is set to in an open state, from a file and from a microphone alike.

Crosses the border: the phrases that count come in, the recogniser's grammar is changed, and what the model cannot hear is told once.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from assistant.events import Ending
from assistant.speech.recogniser import Grammar, Recogniser, Wait

WAITS = {Ending.FINISHED: Wait(0.3, 0.0, 0.6), Ending.COMPLETE: Wait(0.35, 0.2), Ending.OPEN: Wait(0.6, 0.3)}
"""How long more words are waited for.  A breath inside a number takes up to 0.4 s, and its quiet begins before it."""
DECOYS = 150
"""Ordinary words listed beside the phrases, so that talk among people has something better to be than a command."""


@dataclass(slots=True)
class Hearing:
    """A recogniser, and who is told what it cannot hear."""

    recogniser: Recogniser
    tell: Callable[[str], None]
    _told: bool = False

    def tune(self, wanted: Sequence[str], ending: Callable[[tuple[str, ...]], Ending]) -> tuple[str, ...]:
        """Listen for these phrases from the next utterance on; `ending` tells whether more is to be expected behind words.

        Gives the phrases the model can hear; the others are left out, and that is told once.
        """
        phrases = self.recogniser.sayable(wanted)
        if len(phrases) < len(wanted) and not self._told:
            self._told = True
            unknown = ", ".join(self.recogniser.missing(word for phrase in wanted for word in phrase.split()))
            self.tell(f"This speech model does not know: {unknown}. What needs them cannot be said.")
        used = {word for phrase in phrases for word in phrase.split()}
        decoys = tuple(word for word in self.recogniser.decoys[:DECOYS] if word not in used)
        self.recogniser.listen_for(Grammar(phrases, decoys, wait=lambda words: WAITS[ending(words)]))
        return phrases
