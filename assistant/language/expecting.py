"""Everything that can be said in a state, whole, and what it means there: for an ear that is bound to it and ranks meanings.

The phrases are those that `listening` lists; where a number may stand, the whole number grammar hangs.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from assistant.events import Ending, Meaning, Price
from assistant.language import listening
from assistant.language.listening import JOINED_AT, listened_for_at
from assistant.language.patterns import expand, parse_template
from assistant.language.understanding import Intent, LengthReading, Wants, intents, understand_as_said
from assistant.language.vocabulary import BEHIND_A_LENGTH, OPENING_A_BAY, Act, Stage
from assistant.numbers import Ambiguous, PhraseKind, alternatives, number_graph
from assistant.setout.lengths import Unit
from assistant.wordgraph import Net, WordGraph

_DEAR = frozenset(
    (
        Act.CONFIRM_GAP, Act.UNDERSTOOD, Act.YES, Act.NO, Act.FIRST, Act.SECOND, Act.UNDO, Act.REMOVE_BAY, Act.CHANGE_BAY,
        Act.SLEEP, Act.END,
    )
)  # fmt: skip
"""What removes, confirms, acknowledges or answers a doubt, or stops the listening."""
_NUMBERS = frozenset((Act.VALUE, Act.SAME, Act.SAME_BAY))
"""What gives a number, said or unsaid: the second ear alone may be sure of it."""
_ALIKE = {(Stage.WALK, Act.YES): Act.NEXT}
"""What does the same as another act in a stage, and may sound like it: while marking a yes, that the tape agrees, goes on like “next”."""
UNLIKELY = -12.0
"""What it counts, as a natural logarithm, that a number is far from anything the question asks for: it is noise more often than news."""
LIKELY = (Fraction(0), Fraction(6000))
"""mm; where no question says what is likely."""
_RUN = (Fraction(0), Fraction(100_000))
"""mm; for the length of a run."""
_OVER_A_RUN = frozenset((Act.RUN_IS, Act.RUN_OUTSIDE, Act.RUN_INSIDE))


@dataclass(frozen=True, slots=True)
class Expected:
    """What can be said in one state."""

    stage: Stage
    wants: Wants
    unit: Unit
    likely: tuple[Fraction, Fraction] = LIKELY
    """The numbers that are likely here: mm, or how many where a count is wanted."""

    @property
    def graph(self) -> WordGraph:
        """All of it; the same object for the same state."""
        return _graph(self.stage, self.wants, self.unit in (Unit.MM, Unit.CM, Unit.M))

    def meaning(self, words: tuple[str, ...]) -> Meaning | None:
        """What the words mean here; None when they mean nothing here.  Of several readings only the likely ones, where there are any."""
        meant = _meant(words, self.stage, self.wants, self.unit)
        if not meant:
            return None
        values: list[Fraction | int] = []
        for intent in meant:
            said = _values(intent)
            values += [one for one in said if self._in_range(intent, one)] or said
        acts = tuple(_ALIKE.get((self.stage, intent.act), intent.act) for intent in meant)
        return Meaning(" ".join(act.name for act in acts), tuple(values), _price(meant, acts))

    def prior(self, words: tuple[str, ...]) -> float:
        """How likely it is that the words are said here, before anything is heard; a natural logarithm."""
        meant = _meant(words, self.stage, self.wants, self.unit)
        return self.graph.prior(words) + (0.0 if all(self._is_likely(intent) for intent in meant) else UNLIKELY)

    def phrases(self) -> tuple[str, ...]:
        """The same as a list of phrases, for an ear that turns it into pairs of words."""
        return listening.phrases(self.stage, self.wants, self.unit)

    def ending(self, words: tuple[str, ...]) -> Ending:
        """Whether the words heard so far may be followed by others."""
        return listening.ending(words, self.stage, self.wants, self.unit, self.likely)

    def _in_range(self, intent: Intent, value: Fraction | int) -> bool:
        low, high = self.likely if intent.act is Act.VALUE else _RUN if intent.act in _OVER_A_RUN else LIKELY
        return low <= value <= high

    def _is_likely(self, intent: Intent) -> bool:
        """Whether a reading is likely, or would be if a hundred or a unit was left out."""
        if intent.length is None:
            return intent.count is None or self._in_range(intent, intent.count)
        heard = intent.length.candidates if isinstance(intent.length, Ambiguous) else (intent.length,)
        return any(self._in_range(intent, other.mm) for one in heard for other in alternatives(one))


@lru_cache(maxsize=64)
def _graph(stage: Stage, wants: Wants, metric: bool) -> WordGraph:
    lengths = number_graph(PhraseKind.MILLIMETRES if metric else PhraseKind.INCHES)
    counts = number_graph(PhraseKind.COUNT)
    slots = {"<length>": counts if wants is Wants.COUNT else lengths, "<count>": counts}
    net = Net()
    start, end, loop = net.state(), net.state(), net.state()
    net.skip(loop, end)
    numbers: dict[tuple[str, ...], int] = {}
    joined = stage in JOINED_AT and wants is not Wants.COUNT

    def weave(at: int, words: tuple[str, ...], last: int) -> None:
        """The words from a state to the last; the same numbers with the same words behind them stand there once."""
        place = next((place for place, word in enumerate(words) if word in slots), None)
        if place is None:
            net.chain(at, words, last)
            return
        rest = words[place:]
        if rest not in numbers:
            numbers[rest], after = net.state(), net.state()
            net.insert(slots[rest[0]], numbers[rest], after)
            # Behind a length others can follow.
            weave(after, rest[1:], loop if joined and rest == ("<length>",) else last)
        net.chain(at, words[:place], numbers[rest])

    for template in (*listened_for_at(stage, wants), *(OPENING_A_BAY if joined else ())):
        for words in expand(parse_template(template)):
            weave(start, words, end)
    for template in BEHIND_A_LENGTH if joined else ():
        for words in expand(parse_template(template)):
            weave(loop, words, loop)
    return net.graph(start, end, loop)


def _meant(words: tuple[str, ...], stage: Stage, wants: Wants, unit: Unit) -> tuple[Intent, ...]:
    return intents(understand_as_said(words, stage, wants, unit))


def _values(intent: Intent) -> list[Fraction | int]:
    """What is counted, and the lengths that may be meant."""
    counted: list[Fraction | int] = [] if intent.count is None else [intent.count]
    return counted if intent.length is None else [*counted, *_lengths(intent.length)]


def _lengths(heard: LengthReading) -> tuple[Fraction, ...]:
    return tuple(one.mm for one in heard.candidates) if isinstance(heard, Ambiguous) else (heard.mm,)


def _price(meant: tuple[Intent, ...], acts: tuple[Act, ...]) -> Price:
    if any(intent.length is not None or intent.act in _NUMBERS for intent in meant):
        return Price.NUMBER
    return Price.DEAR if any(act in _DEAR for act in acts) else Price.CHEAP
