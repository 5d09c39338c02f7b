"""A graph of words as a graph of sounds: a deterministic automaton of phonemes, worked out only where somebody has listened.

Crosses the border: a `WordGraph` and pronunciations (phonemes by number, from 1) come in; rows of arcs go to the search as arrays,
and phonemes are turned back into the words they may have been.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from assistant.wordgraph import WordGraph

Phones = tuple[int, ...]
Lexicon = Mapping[str, tuple[Phones, ...]]
"""For each word its pronunciations."""
Ints = NDArray[np.int32]


class SoundGraph:
    """What can be said, by its sounds.  State 0 is the start."""

    def __init__(self, graph: WordGraph, lexicon: Lexicon) -> None:
        """A word without a pronunciation cannot be heard, nor any phrase with it."""
        self._graph, self._lexicon = graph, lexicon
        self._roots: dict[int, int] = {}
        self._root_of: dict[int, int] = {}
        self._next: list[dict[int, int]] = []
        self._ends: list[list[tuple[str, int]]] = []
        self._number: dict[frozenset[int], int] = {}
        self._sets: list[frozenset[int]] = []
        self.final = np.zeros(64, dtype=bool)
        """For each state whether everything may have been said."""
        self.first = np.full(64, -1, dtype=np.int32)
        """For each state where its arcs begin; -1 while they are not worked out."""
        self.count = np.zeros(64, dtype=np.int32)
        """For each state how many arcs it has."""
        self.phones = np.zeros(256, dtype=np.int32)
        """For each arc its phoneme."""
        self.target = np.zeros(256, dtype=np.int32)
        """For each arc the state behind it."""
        self._arcs = 0
        self._state(frozenset((self._root(0),)))

    @property
    def states(self) -> int:
        """How many states are known so far."""
        return len(self._sets)

    def work_out(self, states: Ints) -> None:
        """Makes the arcs of these states known."""
        for state in np.unique(states[self.first[states] < 0]).tolist():
            self._expand(state)

    def wordings(self, phones: Sequence[int]) -> tuple[tuple[str, ...], ...]:
        """Everything sayable that is pronounced so."""
        found: list[tuple[str, ...]] = []

        def behind(state: int, at: int, words: tuple[str, ...]) -> None:
            if at == len(phones):
                if state in self._graph.finals:
                    found.append(words)
                return
            node = self._root(state)
            while at < len(phones) and phones[at] in self._next[node]:
                node = self._next[node][phones[at]]
                at += 1
                for word, after in self._ends[node]:
                    behind(after, at, (*words, word))

        behind(0, 0, ())
        return tuple(dict.fromkeys(found))

    def _root(self, state: int) -> int:
        """The pronunciations of all words that may come next, as a tree; its first node."""
        if state not in self._roots:
            root = self._roots[state] = self._node()
            self._root_of[root] = state
            for word, after in self._graph.arcs[state]:
                for phones in self._lexicon.get(word, ()):
                    node = root
                    for phone in phones:
                        node = self._next[node].setdefault(phone, len(self._next))
                        if node == len(self._next):
                            self._node()
                    self._ends[node].append((word, after))
        return self._roots[state]

    def _node(self) -> int:
        self._next.append({})
        self._ends.append([])
        return len(self._next) - 1

    def _state(self, nodes: frozenset[int]) -> int:
        if nodes not in self._number:
            number = self._number[nodes] = len(self._sets)
            self._sets.append(nodes)
            if number == len(self.final):
                self.final = np.append(self.final, np.zeros(number, dtype=bool))
                self.first = np.append(self.first, np.full(number, -1, dtype=np.int32))
                self.count = np.append(self.count, np.zeros(number, dtype=np.int32))
            self.final[number] = any(self._root_of.get(node) in self._graph.finals for node in nodes)
        return self._number[nodes]

    def _expand(self, state: int) -> None:
        reached: dict[int, set[int]] = {}
        for node in self._sets[state]:
            for phone, after in self._next[node].items():
                reached.setdefault(phone, set()).update(self._closed(after))
        targets = [self._state(frozenset(nodes)) for nodes in reached.values()]
        end = self._arcs + len(targets)
        while end > len(self.phones):
            self.phones = np.append(self.phones, np.zeros_like(self.phones))
            self.target = np.append(self.target, np.zeros_like(self.target))
        self.phones[self._arcs : end] = list(reached)
        self.target[self._arcs : end] = targets
        self.first[state], self.count[state] = self._arcs, len(targets)
        self._arcs = end

    def _closed(self, node: int) -> Iterable[int]:
        """The node, and the beginnings of what may follow where a word ends in it."""
        if self._next[node]:
            yield node
        for _, after in self._ends[node]:
            yield self._root(after)
