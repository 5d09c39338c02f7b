"""Writes the graph of a model anew from the word list, without training: run it after adding words to words.txt.

usage: python -m models.build.regraph models/site-en
"""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from . import graph, sums, vocabulary

UNK_COST, MIN_UNK, WORD_COST = -1.0, 4, -1.0
"""Chosen on speakers set aside: cost of the garbage word, its shortest length (30 ms each), cost of every word."""


def write(model: str, unk_cost: float = UNK_COST, min_unk: int = MIN_UNK, word_cost: float = WORD_COST) -> int:
    """graph/ and SHA256SUMS of a model directory; returns the number of words."""
    vocab = vocabulary.all_words()
    words = ["<eps>", "[unk]", *vocab]
    number = {w: i for i, w in enumerate(words)}
    lexicon = [(w, p) for w in vocab for p in vocabulary.prons(w)]
    silent = sorted(set(vocab) - {w for w, _ in lexicon})
    if silent:
        raise SystemExit(f"no pronunciation for {', '.join(silent)}: write it behind the word in words.txt")
    hcl = graph.build_hcl(lexicon, number, unk_cost, min_unk, word_cost)
    graph.write_graph(os.path.join(model, "graph"), hcl, words, graph.unigram_g(words))
    sums.write(Path(model))
    return len(vocab)


def main() -> None:
    p = argparse.ArgumentParser()
    p.add_argument("model")
    p.add_argument("--unk-cost", type=float, default=UNK_COST)
    p.add_argument("--min-unk", type=int, default=MIN_UNK)
    p.add_argument("--word-cost", type=float, default=WORD_COST)
    a = p.parse_args()
    print(write(a.model, a.unk_cost, a.min_unk, a.word_cost), "words")


if __name__ == "__main__":
    main()
