"""Phone inventory and the (phone -> pdf -> transition-id) numbering used everywhere.

The neural network only knows *base* phones (39 ARPAbet + SIL + SPN).  Kaldi's
lattice word alignment wants word-position-dependent phones (AH_B, AH_I, ...), so
the transition model lists those, and all four variants share one pair of pdfs:

    pdf 2*b     emitted on the first frame of base phone b   ("forward" pdf)
    pdf 2*b+1   emitted on every later frame of it           ("self-loop" pdf)

Each phone has one emitting HMM state with two transitions: index 0 = self-loop,
index 1 = forward.  Kaldi numbers transition-ids from 1 in order of transition
state, so phone number k (1-based) owns ids 2k-1 (self-loop) and 2k (forward).
"""

from __future__ import annotations

ARPA = [
    "AA",
    "AE",
    "AH",
    "AO",
    "AW",
    "AY",
    "B",
    "CH",
    "D",
    "DH",
    "EH",
    "ER",
    "EY",
    "F",
    "G",
    "HH",
    "IH",
    "IY",
    "JH",
    "K",
    "L",
    "M",
    "N",
    "NG",
    "OW",
    "OY",
    "P",
    "R",
    "S",
    "SH",
    "T",
    "TH",
    "UH",
    "UW",
    "V",
    "W",
    "Y",
    "Z",
    "ZH",
]
BASE = ["SIL", "SPN", *ARPA]  # index in this list = base phone number
BASE_ID = {p: i for i, p in enumerate(BASE)}
NUM_BASE = len(BASE)
NUM_PDFS = 2 * NUM_BASE

# Kaldi phone symbols.  0 is <eps>; SIL and SPN have no position variants.
SYMS = ["<eps>", "SIL", "SPN"] + [p + "_" + pos for p in ARPA for pos in "BEIS"]
SYM_ID = {s: i for i, s in enumerate(SYMS)}
NUM_PHONES = len(SYMS) - 1


def base_of(phone_id: int) -> int:
    """Base phone number of a Kaldi phone number."""
    return BASE_ID[SYMS[phone_id].split("_")[0]]


def fwd_tid(phone_id: int) -> int:
    return 2 * phone_id


def loop_tid(phone_id: int) -> int:
    return 2 * phone_id - 1


def word_boundary_lines() -> list[str]:
    """Contents of graph/phones/word_boundary.int."""
    kind = {"B": "begin", "E": "end", "I": "internal", "S": "singleton"}
    out = []
    for i, s in enumerate(SYMS):
        if i == 0:
            continue
        if s == "SIL":
            out.append(f"{i} nonword")
        elif s == "SPN":
            out.append(f"{i} singleton")
        else:
            out.append(f"{i} {kind[s[-1]]}")
    return out


def positions(prons: list[str]) -> list[int]:
    """['AH','N'] -> Kaldi phone ids of AH_B, N_E (or AH_S for one phone)."""
    n = len(prons)
    ids = []
    for i, p in enumerate(prons):
        if p in ("SIL", "SPN"):
            ids.append(SYM_ID[p])
            continue
        pos = "S" if n == 1 else "B" if i == 0 else "E" if i == n - 1 else "I"
        ids.append(SYM_ID[f"{p}_{pos}"])
    return ids
