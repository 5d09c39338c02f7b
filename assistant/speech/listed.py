"""A list of phrases as what can be said: for scoring, where no conversation tells what words mean.

Crosses the border: phrases come in; the result is what the second ear is bound to.  Pure.
"""

from __future__ import annotations

from collections.abc import Iterable

from assistant.events import Meaning, Price
from assistant.numbers import number_words
from assistant.wordgraph import Net, WordGraph

SAME = {"oh": "zero"}
"""Two words for one digit."""


def plain(words: Iterable[str]) -> tuple[str, ...]:
    """The words, with one word for each digit."""
    return tuple(SAME.get(word, word) for word in words)


class Listed:
    """These phrases and no others; each means itself."""

    def __init__(self, phrases: Iterable[str]) -> None:
        net = Net()
        start, end = net.state(), net.state()
        for phrase in phrases:
            net.chain(start, phrase.split(), end)
        self.graph: WordGraph = net.graph(start, end)

    def meaning(self, words: tuple[str, ...]) -> Meaning | None:
        """The words themselves; a number where all of them are words of numbers."""
        price = Price.NUMBER if number_words().issuperset(words) else Price.CHEAP
        return Meaning(" ".join(plain(words)), price=price) if self.graph.accepts(words) else None

    def prior(self, words: tuple[str, ...]) -> float:
        """What the graph tells."""
        return self.graph.prior(words)
