"""What both ears are set to in an open state, from a file and from a microphone alike, and what they hear together.

Crosses the border: the phrases that count come in, the recogniser's grammar is changed, and what the model cannot hear is told once.
An utterance of the first ear goes in, and the one that both stand for comes out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from assistant.events import Ending, Meaning, Utterance
from assistant.speech.judgement import AskAgain, AskWhich, Heard, NotForUs, Take, Verdict, judge
from assistant.speech.readings import Expected, Opinion
from assistant.speech.recogniser import Grammar, Recogniser, Wait
from assistant.speech.secondear import SecondEar

WAITS = {
    Ending.FINISHED: Wait(0.3, 0.0, 0.6),
    Ending.COMPLETE: Wait(0.35, 0.2),
    Ending.OPEN: Wait(0.6, 0.3),
    Ending.BREATH: Wait(0.8, 0.3),
}
"""How long more words are waited for.  A breath inside a number takes up to 0.4 s; its quiet begins before it, and the word behind it
begins weakly and is made out 0.2 s late."""
DECOYS = 150
"""Ordinary words listed beside the phrases, so that talk among people has something better to be than a command."""


@dataclass(slots=True)
class Hearing:
    """A recogniser, a second ear if there is one, and who is told what they cannot hear."""

    recogniser: Recogniser
    tell: Callable[[str], None]
    second: SecondEar | None = None
    _told: bool = False
    _expected: Expected | None = None
    _unsure: Meaning | None = None

    def tune(self, wanted: Sequence[str], ending: Callable[[tuple[str, ...]], Ending], expected: Expected | None = None) -> tuple[str, ...]:
        """Listen for these phrases from the next utterance on; `ending` tells whether more is to be expected behind words.

        ``expected`` is what the second ear is bound to; without it the first is believed.
        Gives the phrases the model can hear; the others are left out, and that is told once.
        """
        phrases = self.recogniser.sayable(wanted)
        if len(phrases) < len(wanted) and not self._told:
            self._told = True
            unknown = ", ".join(self.recogniser.missing(word for phrase in wanted for word in phrase.split()))
            self.tell(f"This speech model does not know: {unknown}. What needs them cannot be said.")
        self.bind(Grammar(phrases, self._decoys(phrases), wait=lambda words: WAITS[ending(words)]), expected)
        return phrases

    def bind(self, grammar: Grammar, expected: Expected | None) -> None:
        """Sets both ears, each to its own."""
        self.recogniser.listen_for(grammar)
        self._expected = expected
        if self.second is not None and expected is not None:
            try:
                self.second.sounds(expected.graph, self._decoys(expected.graph.words()))  # made now, not while somebody waits
            except Exception as error:
                self._do_without(error)

    def judged(self, utterance: Utterance) -> Utterance:
        """An utterance that has just ended, as both ears stand for it; as it is where there is no second ear."""
        if self.second is None or self._expected is None:
            return utterance
        try:
            return settled(utterance, self.opinion(utterance)[1])
        except Exception as error:
            self._do_without(error)
            return replace(utterance, doubt=(utterance.words,)) if utterance.understood else utterance  # asked for once more

    def _do_without(self, error: Exception) -> None:
        """The second ear has failed, in whatever way: the first goes on alone, as on a machine without a second."""
        self.second = None
        self.tell(f"The second ear failed ({type(error).__name__}: {error}). From now on the first hears alone.")

    def opinion(self, utterance: Utterance) -> tuple[Opinion, Verdict]:
        """What the second ear makes of an utterance that has just ended, and what comes of both.  Call only where there is one."""
        assert self.second is not None and self._expected is not None
        expected = self._expected
        opinion = self.second.hear(self.recogniser.sound(utterance), expected, self._decoys(expected.graph.words()))
        meaning = expected.meaning(utterance.words) if utterance.understood else None
        best = opinion.readings[0].meaning if opinion.readings else None
        if meaning is None and best is not None and best == self._unsure:
            meaning = best  # it was asked for once more and comes once more: the same ear twice is two ears
        heard = Heard(utterance.words, meaning, 0.0 if meaning is None else expected.prior(utterance.words))
        verdict = judge(heard, opinion)
        self._unsure = expected.meaning(verdict.words) if isinstance(verdict, AskAgain) else None
        return opinion, verdict

    def _decoys(self, phrases: Iterable[str]) -> tuple[str, ...]:
        used = {word for phrase in phrases for word in phrase.split()}
        return tuple(word for word in self.recogniser.decoys[:DECOYS] if word not in used)


def settled(utterance: Utterance, verdict: Verdict) -> Utterance:
    """The utterance as the verdict has it."""
    match verdict:
        case Take(words):
            return replace(utterance, words=words, understood=True)
        case AskWhich(first, second):
            return replace(utterance, words=first, understood=True, doubt=(first, second))
        case AskAgain(words):
            return replace(utterance, words=words, understood=True, doubt=(words,))
        case NotForUs():
            return replace(utterance, understood=False)
