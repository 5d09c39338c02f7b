"""Lattice-free MMI with a dense phone-bigram denominator, for one-state phones.

Emission of base phone b at frame t: column 2b of the network output on the phone's
first frame, column 2b+1 on all later ones.  The forward-backward passes are in fb.cpp
(OpenMP); the library is compiled on first use.
"""

from __future__ import annotations

import ctypes
import os
import random
import subprocess
from collections.abc import Callable, Collection, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt
import torch

from . import phones as ph

SIL, SPN = ph.BASE_ID["SIL"], ph.BASE_ID["SPN"]

Prons = Callable[[str], list[list[str]]]
"""The pronunciations of a word."""
Graph = tuple[list[int], list[list[int]], list[int], list[int]]
"""Phone per state, predecessors per state, start states, final states."""
Flat = tuple[npt.NDArray[np.int64], ...]
"""A graph as arrays: see ``flat``; or several, see ``pack``."""
Floats = npt.NDArray[np.float32]
Denominator = tuple[Floats, Floats, Floats]
"""A bigram over base phones: from one to the next, at the beginning, at the end."""


def numerator_graph(
    words: Sequence[str],
    prons_of: Prons,
    spn_prob: float = 0.0,
    rnd: random.Random | None = None,
    protect: Collection[str] = (),
) -> Graph:
    """Words -> graph with optional silence between words and parallel pronunciations.

    Returns (phone per state, predecessors per state, start states, final states).
    The word "<unk>" stands for a cut from running speech: one garbage phone and nothing else (silence must
    not be allowed here, or it learns to cover speech; nor a garbage loop, whose free transitions the
    denominator pays for).
    """
    phones: list[int] = []
    preds: list[list[int]] = []
    starts: list[int] = []

    def new(p: int, pr: Sequence[int | None]) -> int:
        phones.append(p)
        preds.append([e for e in pr if e is not None])
        if None in pr:
            starts.append(len(phones) - 1)
        return len(phones) - 1

    new(SIL, [None])
    garbage = False
    ends: list[int | None] = [0, None]  # None = beginning of the utterance
    for w in words:
        if w == "<unk>":  # a cut from the middle of speech: garbage from the first to the last frame
            return [SPN], [[]], [0], [0]
        if spn_prob and rnd and w not in protect and rnd.random() < spn_prob:
            if garbage:  # neighbouring garbage words are one stretch
                continue
            s = new(SPN, ends)
            q = new(SIL, [s])
            garbage, ends = True, [s, q]
            continue
        garbage = False
        alts = [[ph.BASE_ID[x] for x in p] for p in prons_of(w)]
        word_ends: list[int | None] = []
        tree: dict[tuple[int, ...], int] = {}  # share prefixes of alternative pronunciations
        for alt in alts:
            prev = ends
            for n, b in enumerate(alt, 1):
                key = tuple(alt[:n])
                if key not in tree:
                    tree[key] = new(b, prev)
                prev = [tree[key]]
            if prev[0] not in word_ends:
                word_ends += prev
        ends = [*word_ends, new(SIL, word_ends)]
    return phones, preds, starts, [e for e in ends if e is not None]


def flat(g: Graph) -> Flat:
    """Graph -> small integer arrays (phone, number of predecessors, predecessors, start, final)."""
    p, pr, st, fi = g
    s, f = np.zeros(len(p), np.int64), np.zeros(len(p), np.int64)
    s[st] = 1
    f[fi] = 1
    return (
        np.array(p, np.int64),
        np.array([len(q) for q in pr], np.int64),
        np.array([x for q in pr for x in q], np.int64),
        s,
        f,
        np.zeros(len(p), np.int64),
        np.full(len(p), 1 << 40, np.int64),
    )


def held_within(g: Flat, a: int, b: int) -> Flat:
    """A flat graph whose words lie between frames a and b, so that they do not learn to cover the silence round them."""
    spoken = g[0] != SIL
    if g[0][0] != SIL:  # a cut from the middle of speech
        return g
    return (*g[:5], np.where(spoken, max(0, a), g[5]), np.where(spoken, b, g[6]))


def garbage_between(a: int, b: int, slack: int) -> Flat:
    """Silence, garbage, silence with the garbage held to frames a..b (give or take slack), as a flat graph.

    Left free, silence would learn to cover the speech, or garbage the silence.
    """
    i = np.int64
    return (
        np.array([SIL, SPN, SIL], i),
        np.array([0, 1, 1], i),
        np.array([0, 1], i),
        np.array([1, int(a - slack <= 0), 0], i),
        np.array([0, 1, 1], i),
        np.array([0, max(0, a - slack), b - slack], i),
        np.array([a + slack, b + slack, 1 << 40], i),
    )


def pack(flats: Sequence[Flat], skip: Sequence[int] | None = None) -> Flat:
    """Concatenates flat graphs into CSR arrays; skip = output frames of each utterance left out at its beginning."""
    c = [np.concatenate([f[i] for f in flats]) for i in range(7)]
    sk = np.zeros(len(flats), np.int64) if skip is None else np.asarray(skip, np.int64)
    so = np.cumsum([0] + [len(f[0]) for f in flats]).astype(np.int64)
    po = np.concatenate([[0], np.cumsum(c[1])]).astype(np.int64)
    return so, c[0], po, c[2], c[3], c[4], c[5], c[6], sk


_lib: ctypes.CDLL | None = None


def lib() -> ctypes.CDLL:
    global _lib
    if _lib is None:
        d = os.path.dirname(os.path.abspath(__file__))
        b = os.environ.get("AM_BUILD_DIR", d)  # -march=native: never carry fb.so to another machine
        os.makedirs(b, exist_ok=True)
        so = os.path.join(b, "fb.so")
        src = os.path.join(d, "fb.cpp")
        if not os.path.exists(so) or os.path.getmtime(so) < os.path.getmtime(src):
            subprocess.run(
                [
                    "g++",
                    "-O3",
                    "-march=native",
                    "-ffast-math",
                    "-fno-finite-math-only",
                    "-fopenmp",
                    "-shared",
                    "-fPIC",
                    src,
                    "-o",
                    f"{so}.{os.getpid()}",
                ],
                check=True,
            )
            os.replace(f"{so}.{os.getpid()}", so)
        _lib = ctypes.CDLL(so)
    return _lib


def _p(a: npt.NDArray[Any]) -> ctypes.c_void_p:
    return ctypes.c_void_p(a.ctypes.data)


def occupancies(
    out: Floats, packed: Flat, A: Floats, init: Floats, final: Floats, g: Floats | None = None
) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.float64], Floats]:
    """out: (B, T, D) float32 array.  Returns numerator and denominator scores and d(num - den)/d(out)."""
    out = np.ascontiguousarray(out, np.float32)
    B, T, D = out.shape
    num, den = np.zeros(B), np.zeros(B)
    g = np.empty(out.shape, np.float32) if g is None else g
    i = ctypes.c_int64
    lib().lfmmi(
        _p(out),
        i(B),
        i(T),
        i(D),
        *[_p(x) for x in packed],
        i(len(init)),
        _p(A),
        _p(init),
        _p(final),
        _p(num),
        _p(den),
        _p(g),
    )
    return num, den, g


_locked: list[torch.Tensor] = []


def _buffers(n: int) -> list[torch.Tensor]:
    if not _locked or _locked[0].numel() < n:
        _locked[:] = [torch.empty(int(n * 1.3), pin_memory=True) for _ in range(2)]
    return _locked


def objective(
    out: torch.Tensor, packed: Flat, den: Denominator
) -> tuple[torch.Tensor, npt.NDArray[np.float64], npt.NDArray[np.float64], npt.NDArray[np.bool_]]:
    """(surrogate loss whose gradient is -(num - den) occupancies, num and den of each utterance, whether each came through)."""
    A, init, final = den
    if out.is_cuda:  # buffers in locked memory: the copies are most of the time otherwise
        x, y = _buffers(out.numel())
        x, y = x[: out.numel()].view(out.shape), y[: out.numel()].view(out.shape)
        x.copy_(out.detach())
        num, dn, _ = occupancies(x.numpy(), packed, A, init, final, y.numpy())
        gradient = y.to(out.device)
    else:
        num, dn, g = occupancies(out.detach().float().numpy(), packed, A, init, final)
        gradient = torch.from_numpy(g)
    ok = num > -1e29
    return -(gradient * out).sum(), num, dn, ok


def bigram(
    sentence_sets: Sequence[tuple[Sequence[Sequence[str]], Callable[[str], float], float]],
    prons_of: Prons,
    smooth: float = 0.5,
    sil_between: float = 0.3,
) -> Denominator:
    """sentence_sets: [(list of word lists, spn probability function, weight)].
    Returns (A, init, final) of a bigram over base phones from expected counts."""
    n = ph.NUM_BASE
    ci, c, cf = np.zeros(n), np.zeros((n, n)), np.zeros(n)
    for sents, spn, wt in sentence_sets:
        for words in sents:
            ci[SIL] += 0.9 * wt
            cf[SIL] += 0.9 * wt
            prev = [(SIL, 0.9)]
            for i, w in enumerate(words):
                if w == "<unk>":
                    alts = [([SPN], 1.0)]
                else:
                    p_spn = spn(w)
                    found = prons_of(w)
                    alts = [([ph.BASE_ID[x] for x in a], (1 - p_spn) / len(found)) for a in found]
                    if p_spn:
                        alts.append(([SPN], p_spn))
                ends = []
                for a, pa in alts:
                    if i == 0:
                        ci[a[0]] += 0.1 * pa * wt
                    for p, q in prev:
                        c[p, a[0]] += q * pa * wt
                    for x, y in zip(a, a[1:]):
                        c[x, y] += pa * wt
                    ends.append((a[-1], pa))
                last = i == len(words) - 1
                s = 0.9 if last else sil_between
                for p, q in ends:
                    c[p, SIL] += q * s * wt
                    if last:
                        cf[p] += q * (1 - s) * wt
                prev = [(p, q * (1 - s)) for p, q in ends] + [(SIL, s)]
    tot = c.sum(1) + cf + smooth * (n + 1)
    init = ci + smooth
    f = np.float32
    return ((c + smooth) / tot[:, None]).astype(f), (init / init.sum()).astype(f), ((cf + smooth) / tot).astype(f)
