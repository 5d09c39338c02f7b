"""hama: a small network that hears phonemes; a search through the grammar makes words of them."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assistant.speech.recogniser import Grammar
from assistant.speech.wav import Samples
from peers.whole import END, IPA, START, Peer, bigram, pronunciations

_LIKE = {"ʌ": "ə", "ɝ": "ɚ", "ɡ": "g"}
"""A second sign of the network for the same phoneme; its unstressed “ah” is ə."""


class Phonemes(Peer):
    """Connectionist temporal classification, searched with the same bigram as the others."""

    title = "hama"
    package = "hama"
    weight = 0.1
    """Of the grammar against the sound."""
    floor = -2.0
    """Mean logarithm a frame of the best path below the freest one; what is worse is not meant for us."""
    decoys = 0
    blank = -1.5
    """Added to the blank; without it the network leaves out half the phonemes of a short word."""

    def __init__(self) -> None:
        super().__init__()
        import hama

        self._model = hama.ASRModel()

    @property
    def tuned(self) -> str:
        """In words."""
        return f"grammar weight {self.weight:g}, {self.decoys} decoys, floor {self.floor:g}, blank {self.blank:g}; our word list"

    @property
    def files(self) -> list[Path]:
        """The network of the recogniser."""
        return [Path(str(resources.files("hama.assets").joinpath("asr_waveform.hama")))]

    def prepare(self, grammar: Grammar) -> None:
        """States for each phoneme of each pronunciation, each with a blank after it."""
        decoys = grammar.decoys[: self.decoys]
        self._foreign = frozenset(decoys)
        chances = bigram([*grammar.phrases, *decoys])
        self._words = sorted(set(chances) - {START})
        number = {word: n for n, word in enumerate(self._words)}
        size = len(self._words)
        self._first = np.full(size, -np.inf)
        self._last = np.full(size, -np.inf)
        self._next = np.full((size, size), -np.inf)
        for before, after in chances.items():
            for word, chance in after.items():
                if before == START:
                    self._first[number[word]] = self.weight * chance
                elif word == END:
                    self._last[number[before]] = self.weight * chance
                else:
                    self._next[number[before], number[word]] = self.weight * chance
        signs = self._model.decoder_tokens
        label: list[int] = []
        skip: list[bool] = []
        starts: list[tuple[int, int]] = []
        ends: list[tuple[int, int]] = []
        for word in self._words:
            for phones in pronunciations(word):
                starts.append((len(label), number[word]))
                for place, phone in enumerate(phones):
                    label += [signs.index(IPA[phone]), self._model.blank_id]
                    skip += [place > 0 and phones[place - 1] != phone, False]
                ends.append((len(label) - 1, number[word]))
        self._label, self._skip = np.array(label), np.array(skip)
        self._starts, self._ends = np.array(starts), np.array(ends)

    def hear(self, sound: Samples) -> tuple[str, ...] | None:
        """The best path through the grammar; foreign when it holds a decoy or is much worse than what was heard freely."""
        wave = (sound / 32768).astype(np.float32).reshape(1, -1)
        given = {"waveform": wave, "waveform_lengths": np.array([wave.shape[1]])}
        frames, lengths = self._model.session.run(["log_probs", "out_lengths"], given)
        frames = np.array(frames[0][: int(np.reshape(lengths, -1)[0])], dtype=np.float64)
        words, loss = self._search(self._scores(frames))
        if not words:
            return ()
        return None if loss < self.floor or not self._foreign.isdisjoint(words) else words

    def _scores(self, frames: NDArray[np.float64]) -> NDArray[np.float64]:
        """Logarithms for each frame and sign; a word boundary counts as a blank, two signs of one phoneme as one."""
        signs, blank = self._model.decoder_tokens, self._model.blank_id
        scores = frames - np.logaddexp.reduce(frames, axis=1, keepdims=True)
        scores[:, blank] = np.logaddexp(scores[:, blank], scores[:, signs.index("<wb>")]) + self.blank
        for one, other in _LIKE.items():
            scores[:, signs.index(one)] = np.logaddexp(scores[:, signs.index(one)], scores[:, signs.index(other)])
        return scores

    def _search(self, scores: NDArray[np.float64]) -> tuple[tuple[str, ...], float]:
        """Viterbi: the words, and how much worse than the freest path, for each frame that is no blank there."""
        starts, start_word = self._starts.T
        ends, end_word = self._ends.T
        state = np.full(len(self._label), -np.inf)
        trace = np.full(len(self._label), -1)
        history: list[tuple[int, int]] = []  # (node before, word)
        quiet = 0.0
        for scores_now in scores:
            exits = np.full(len(self._words), -np.inf)
            exit_trace = np.full(len(self._words), -1)
            final = np.maximum(state[ends], state[ends - 1])
            for place in np.argsort(final):
                exits[end_word[place]] = final[place]
                better = ends[place] if state[ends[place]] >= state[ends[place] - 1] else ends[place] - 1
                exit_trace[end_word[place]] = trace[better]
            after = exits[:, None] + self._next
            best = after.argmax(axis=0)
            enter = after[best, np.arange(len(best))]
            fresh = quiet + self._first
            nodes = np.array([exit_trace[b] if enter[w] > fresh[w] else -1 for w, b in enumerate(best)])
            enter = np.maximum(enter, fresh)
            before = np.concatenate([[-np.inf], state[:-1]])
            before2 = np.where(self._skip, np.concatenate([[-np.inf, -np.inf], state[:-2]]), -np.inf)
            came = np.concatenate([[-1], trace[:-1]])
            came2 = np.concatenate([[-1, -1], trace[:-2]])
            before[starts] = -np.inf
            choice = np.stack([state, before, before2]).argmax(axis=0)
            state = np.maximum(np.maximum(state, before), before2)
            trace = np.choose(choice, [trace, came, came2])
            opens = enter[start_word] > state[starts]
            base = len(history)
            history += [(int(nodes[w]), w) for w in range(len(self._words))]
            trace[starts[opens]] = base + start_word[opens]
            state[starts] = np.maximum(state[starts], enter[start_word])
            state += scores_now[self._label]
            quiet += scores_now[self._model.blank_id]
        final = np.maximum(state[ends], state[ends - 1]) + self._last[end_word]
        place = int(final.argmax())
        freest = scores.max(axis=1)
        spoken = max(1, int((scores.argmax(axis=1) != self._model.blank_id).sum()))
        if quiet >= final[place]:
            return (), 0.0
        node = int(trace[ends[place]] if state[ends[place]] >= state[ends[place] - 1] else trace[ends[place] - 1])
        words: list[str] = []
        while node >= 0:
            node, word = history[node]
            words.append(self._words[word])
        return tuple(reversed(words)), float(final[place] - freest.sum()) / spoken
