"""Everything that can be said at one point, as an automaton of words: small, exact, and without a word too many.

Crosses the border: a `Net` is woven from phrases and number forms by whoever knows the language; a `WordGraph` goes to whoever
listens.  Words are lower case, one token a word.  What can be said may go round in a loop, through one named state.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import inf, log

Arcs = tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True, eq=False)
class WordGraph:
    """A deterministic automaton; state 0 is the start.  Compared and hashed as an object: it is built once and kept."""

    arcs: tuple[Arcs, ...]
    """For each state the words that may come next, and the state behind each."""
    finals: frozenset[int]
    """States in which everything has been said."""

    def accepts(self, words: Sequence[str]) -> bool:
        """Whether the words can be said, all of them."""
        state: int | None = 0
        for word in words:
            state = dict(self.arcs[state]).get(word) if state is not None else None
        return state in self.finals

    def prior(self, words: Sequence[str]) -> float:
        """Natural logarithm of the chance of saying the words, where everything that can come next is as likely as the rest.

        Minus infinity for what cannot be said.
        """
        state: int | None = 0
        total = 0.0
        for word in words:
            arcs = dict(self.arcs[state]) if state is not None else {}
            total -= log(len(arcs) + (state in self.finals)) if arcs else 0.0
            state = arcs.get(word)
        if state not in self.finals or state is None:
            return -inf
        return total - log(len(self.arcs[state]) + 1)

    def words(self) -> frozenset[str]:
        """Every word that occurs."""
        return frozenset(word for arcs in self.arcs for word, _ in arcs)

    def phrases(self) -> Iterator[tuple[str, ...]]:
        """Everything that can be said; for small graphs without a loop only."""

        def behind(state: int) -> Iterator[tuple[str, ...]]:
            if state in self.finals:
                yield ()
            for word, end in self.arcs[state]:
                for rest in behind(end):
                    yield (word, *rest)

        return behind(0)

    def beside(self, words: Iterable[str]) -> WordGraph:
        """The graph, with these words each alone as further things that may be said."""
        known = dict(self.arcs[0])
        single = len(self.arcs)
        more = tuple((word, single) for word in dict.fromkeys(words) if word not in known)
        return WordGraph((self.arcs[0] + more, *self.arcs[1:], ()), self.finals | {single})


class Net:
    """A net under way: states, words from one to another, and skips that say nothing."""

    def __init__(self) -> None:
        self._words: list[list[tuple[str, int]]] = []
        self._skips: list[list[int]] = []

    def state(self) -> int:
        """A new state."""
        self._words.append([])
        self._skips.append([])
        return len(self._words) - 1

    def skip(self, start: int, end: int) -> None:
        """From one state to another without a word."""
        self._skips[start].append(end)

    def chain(self, start: int, words: Sequence[str], end: int) -> None:
        """These words, one after another."""
        for place, word in enumerate(words):
            after = end if place == len(words) - 1 else self.state()
            self._words[start].append((word, after))
            start = after
        if not words:
            self.skip(start, end)

    def insert(self, graph: WordGraph, start: int, end: int) -> None:
        """A finished graph between two states."""
        states = [self.state() for _ in graph.arcs]
        self.skip(start, states[0])
        for state, arcs in zip(states, graph.arcs, strict=True):
            self._words[state].extend((word, states[after]) for word, after in arcs)
        for final in graph.finals:
            self.skip(states[final], end)

    def graph(self, start: int, end: int, loop: int | None = None) -> WordGraph:
        """What can be said between two states, as the smallest automaton.  Raises ValueError when nothing can.

        Every way round in a circle leads through `loop`, from which the end is reached without a word; the automaton is then small,
        if not the smallest.
        """
        arcs, finals, looping = self._determined(start, end, loop)
        return _smallest(arcs, finals, looping)

    def _determined(self, start: int, end: int, loop: int | None) -> tuple[list[dict[str, int]], set[int], set[int]]:
        first = self._closed((start,))
        number = {first: 0}
        waiting, arcs, finals, looping = [first], [], set(), set()
        for states in waiting:  # grows while it is read
            if end in states:
                finals.add(number[states])
            if loop in states:
                looping.add(number[states])
            reached: dict[str, set[int]] = {}
            for state in states:
                for word, after in self._words[state]:
                    reached.setdefault(word, set()).add(after)
            found = {}
            for word, after_all in reached.items():
                closed = self._closed(after_all)
                if closed not in number:
                    number[closed] = len(number)
                    waiting.append(closed)
                found[word] = number[closed]
            arcs.append(found)
        return arcs, finals, looping

    def _closed(self, states: Iterable[int]) -> frozenset[int]:
        reached = set(states)
        waiting = list(reached)
        while waiting:
            for after in self._skips[waiting.pop()]:
                if after not in reached:
                    reached.add(after)
                    waiting.append(after)
        return frozenset(reached)


def _smallest(arcs: list[dict[str, int]], finals: set[int], looping: set[int]) -> WordGraph:
    """States that everything can follow alike become one, from the last word backwards; dead ends go.

    Those on the loop stay apart, so that there is a last word to begin from.
    """
    kind: dict[int, int | None] = dict(zip(sorted(looping), range(len(looping)), strict=True))
    kinds: dict[tuple[bool, frozenset[tuple[str, int]]], int] = {}
    shapes: dict[int, tuple[bool, frozenset[tuple[str, int]]]] = {}

    def shape(state: int) -> tuple[bool, frozenset[tuple[str, int]]]:
        return state in finals, frozenset((word, after) for word, end in arcs[state].items() if (after := settle(end)) is not None)

    def settle(state: int) -> int | None:
        if state not in kind:
            alike = shape(state)
            kind[state] = kinds.setdefault(alike, len(looping) + len(kinds)) if alike[1] or state in finals else None
        return kind[state]

    start = settle(0)
    if start is None:
        raise ValueError("nothing can be said")
    for state in looping:
        own = kind[state]
        assert own is not None
        shapes[own] = shape(state)
    shapes.update((one, alike) for alike, one in kinds.items())
    order = [start, *(one for one in sorted(shapes) if one != start)]
    place = {one: at for at, one in enumerate(order)}
    return WordGraph(
        tuple(tuple(sorted((word, place[after]) for word, after in shapes[one][1])) for one in order),
        frozenset(place[one] for one in order if shapes[one][0]),
    )
