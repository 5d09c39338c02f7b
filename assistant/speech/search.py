"""What was said, out of everything that can be said: a beam over prefixes of phonemes, scored by CTC.

Crosses the border: the log probabilities of blank and phonemes in each frame, and a `SoundGraph`, come in; the likeliest strings of
phonemes go out.  A string's score is the probability of all its alignments together (Graves et al. 2006), not of the best one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from assistant.speech.soundgraph import Ints, Phones, SoundGraph

BEAMS = ((12.0, 700), (22.0, 3000))
"""A prefix so much less likely than the best one (natural logarithm) is given up, and so many are kept from one frame to the next; the
second pair where the first leaves nothing sayable at the end."""
STRINGS = 200
"""The most strings that come out."""
BLANK = 0

Posteriors = NDArray[np.float32]
"""(frames, 40) natural logarithms; each row sums up to one: blank, then the phonemes by number."""


@dataclass(frozen=True, slots=True)
class Said:
    """A string of phonemes that may have been said."""

    phones: Phones
    score: float
    """Natural logarithm of its probability."""


def search(posteriors: Posteriors, graph: SoundGraph, beams: Sequence[tuple[float, int]] = BEAMS) -> tuple[Said, ...]:
    """The likeliest strings, the best first; none when nothing sayable is left in any beam at the end."""
    frames = np.exp(posteriors.astype(np.float64))
    return next((found for beam, most in beams if (found := _Beam(graph, beam, most).run(frames))), ())


class _Beam:
    """Prefixes as nodes of a tree that grows where it is reached.

    Each node has the probability of the frames so far given that they spell its prefix and end in a blank, or in its last phoneme.
    """

    def __init__(self, graph: SoundGraph, beam: float, most: int) -> None:
        self._graph, self._cut, self._most = graph, float(np.exp(-beam)), most
        room = 1 << 14
        self._state = np.zeros(room, dtype=np.int32)
        self._phone = np.zeros(room, dtype=np.int32)
        self._parent = np.full(room, -1, dtype=np.int32)
        self._children = np.full(room, -1, dtype=np.int32)
        """Where a node's children begin, one for each arc of its state; -1 while it has none."""
        self._blank = np.zeros(room)
        self._sound = np.zeros(room)
        self._alive = np.zeros(room, dtype=bool)
        self._used = 1

    def run(self, frames: NDArray[np.float64]) -> tuple[Said, ...]:
        self._blank[0], self._alive[0] = 1.0, True
        alive: Ints = np.zeros(1, dtype=np.int32)
        log_scale = 0.0
        for frame in frames:
            alive, scale = self._step(alive, frame)
            log_scale += float(np.log(scale))
        ended = alive[self._graph.final[self._state[alive]]]
        scores = np.log(self._blank[ended] + self._sound[ended]) + log_scale
        best = np.argsort(-scores, kind="stable")[:STRINGS]
        return tuple(Said(self._spelt(int(ended[at])), float(scores[at])) for at in best)

    def _step(self, alive: Ints, frame: NDArray[np.float64]) -> tuple[Ints, float]:
        """The prefixes after one more frame, and what their probabilities were divided by."""
        blank, sound, phone = self._blank[alive], self._sound[alive], self._phone[alive]
        both = blank + sound
        stay_blank, stay_sound = both * frame[BLANK], sound * frame[phone]
        least = self._cut * float((stay_blank + stay_sound).max())
        going = both * frame[1:].max() > least
        grown, mass = self._grow(alive[going], blank[going], both[going], phone[going], frame, least)
        self._blank[alive], self._sound[alive] = stay_blank, stay_sound
        fresh = grown[~self._alive[grown]]
        self._sound[grown] += mass  # each node has one parent, so none stands here twice
        self._alive[fresh] = True
        alive = np.concatenate([alive, fresh])
        scores = self._blank[alive] + self._sound[alive]
        top = float(scores.max())
        least = self._cut * top
        if len(alive) > self._most:
            least = max(least, float(np.partition(scores, -self._most)[-self._most]))
        kept = scores >= least
        gone, alive = alive[~kept], alive[kept]
        self._blank[gone] = self._sound[gone] = 0.0
        self._alive[gone] = False
        self._blank[alive] /= top
        self._sound[alive] /= top
        return alive, top

    def _grow(
        self,
        nodes: Ints,
        blank: NDArray[np.float64],
        both: NDArray[np.float64],
        phone: Ints,
        frame: NDArray[np.float64],
        least: float,
    ) -> tuple[Ints, NDArray[np.float64]]:
        """The children that this frame leads to, and with what probability; a phoneme follows itself only across a blank."""
        graph = self._graph
        self._bear(nodes)
        states = self._state[nodes]
        counts = graph.count[states]
        row = np.repeat(np.arange(len(nodes)), counts)
        offset = np.arange(len(row)) - np.repeat(np.cumsum(counts) - counts, counts)
        phones = graph.phones[graph.first[states][row] + offset]
        mass = np.where(phones == phone[row], blank[row], both[row]) * frame[phones]
        kept = mass > least
        return (self._children[nodes][row] + offset)[kept].astype(np.int32), mass[kept]

    def _bear(self, nodes: Ints) -> None:
        """Gives the nodes their children, where they have none yet."""
        nodes = nodes[self._children[nodes] < 0]
        if not len(nodes):
            return
        graph = self._graph
        graph.work_out(self._state[nodes])
        states = self._state[nodes]
        counts = graph.count[states]
        starts = self._used + np.cumsum(counts) - counts
        total = int(counts.sum())
        while self._used + total > len(self._state):
            self._double()
        new = slice(self._used, self._used + total)
        arcs = np.repeat(graph.first[states], counts) + np.arange(total) - np.repeat(np.cumsum(counts) - counts, counts)
        self._children[nodes] = starts
        self._parent[new] = np.repeat(nodes, counts)
        self._phone[new] = graph.phones[arcs]
        self._state[new] = graph.target[arcs]
        self._used += total

    def _double(self) -> None:
        room = len(self._state)
        self._state, self._phone, self._alive = (np.append(one, np.zeros_like(one)) for one in (self._state, self._phone, self._alive))
        self._blank, self._sound = (np.append(one, np.zeros(room)) for one in (self._blank, self._sound))
        self._parent, self._children = (np.append(one, np.full_like(one, -1)) for one in (self._parent, self._children))

    def _spelt(self, node: int) -> Phones:
        phones = []
        while node > 0:
            phones.append(int(self._phone[node]))
            node = int(self._parent[node])
        return tuple(reversed(phones))
