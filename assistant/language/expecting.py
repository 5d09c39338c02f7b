"""Everything that can be said in a state, whole, and what it means there: for an ear that is bound to it and ranks meanings.

The phrases are those that `listening` lists; where a number may stand, the whole number grammar hangs.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from assistant.events import Meaning, Price
from assistant.language.patterns import expand, parse_template
from assistant.language.understanding import Intent, Wants, understand
from assistant.language.vocabulary import PHRASES, Act, Stage
from assistant.numbers import Ambiguous, PhraseKind, SpokenLength, number_graph
from assistant.setout.lengths import Unit
from assistant.wordgraph import Net, WordGraph

_DEAR = frozenset(
    (
        Act.CONFIRM_GAP, Act.UNDERSTOOD, Act.YES, Act.UNDO, Act.REMOVE_BAY, Act.CHANGE_BAY, Act.FIRST, Act.SECOND, Act.SAME,
        Act.ALL_MEASURED, Act.SLEEP, Act.WORK_MM, Act.WORK_INCHES, Act.WORK_FEET, Act.USE_LIMIT, Act.GO_BAY, Act.GO_MARK,
    )
)  # fmt: skip
"""What removes, confirms, acknowledges or answers a doubt, or is hard to notice when it was never said."""


@dataclass(frozen=True, slots=True)
class Expected:
    """What can be said in one state."""

    stage: Stage
    wants: Wants
    unit: Unit

    @property
    def graph(self) -> WordGraph:
        """All of it; the same object for the same state."""
        return _graph(self.stage, self.wants, self.unit in (Unit.MM, Unit.CM, Unit.M))

    def meaning(self, words: tuple[str, ...]) -> Meaning | None:
        """What the words mean here; None when they mean nothing here."""
        return _meaning(words, self.stage, self.wants, self.unit)


@lru_cache(maxsize=64)
def _graph(stage: Stage, wants: Wants, metric: bool) -> WordGraph:
    lengths = number_graph(PhraseKind.MILLIMETRES if metric else PhraseKind.INCHES)
    counts = number_graph(PhraseKind.COUNT)
    slots = {"<length>": counts if wants is Wants.COUNT else lengths, "<count>": counts}
    net = Net()
    start, end = net.state(), net.state()
    last: dict[str, int] = {}
    for phrase in PHRASES:
        if stage not in phrase.stages:
            continue
        for template in phrase.templates:
            for words in expand(parse_template(template)):
                at = next((place for place, word in enumerate(words) if word in slots), None)
                if at is None:
                    net.chain(start, words, end)
                    continue
                slot, behind = words[at], words[at + 1 :]
                if behind or slot not in last:
                    before, after = net.state(), net.state()
                    net.insert(slots[slot], before, after)
                    net.chain(after, behind, end)
                    if not behind:
                        last[slot] = before  # behind other words the same numbers end the phrase just so
                else:
                    before = last[slot]
                net.chain(start, words[:at], before)
    return net.graph(start, end)


@lru_cache(maxsize=8192)
def _meaning(words: tuple[str, ...], stage: Stage, wants: Wants, unit: Unit) -> Meaning | None:
    intent = understand(words, stage, wants, unit)
    if not isinstance(intent, Intent):
        return None
    match intent.length:
        case None:
            values = () if intent.count is None else (intent.count,)
        case Ambiguous(candidates):
            values = tuple(candidate.mm for candidate in candidates if isinstance(candidate, SpokenLength))
        case SpokenLength(mm=mm):
            values = (mm,)
    price = Price.NUMBER if intent.length is not None or (intent.act is Act.VALUE) else Price.DEAR if intent.act in _DEAR else Price.CHEAP
    return Meaning(intent.act.name, values, price)
