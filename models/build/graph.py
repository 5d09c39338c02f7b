"""Builds the dynamic decoding graph: HCLr.fst (olabel_lookahead), Gr.fst, words.txt.

HCL is written down directly as a lexical prefix tree over transition-ids, so no
determinisation and no disambiguation symbols are needed (homophones are simply
parallel arcs with different word labels; epsilon arcs join word end to word start).

Reordered self-loops, as Kaldi's --reorder=true: an arc that enters a phone carries
its *forward* transition-id and the state it enters has the self-loop.
Every state is entered by one phone only, so one self-loop per state is enough.

The out-of-grammar word "[unk]" is the garbage phone SPN, with a cost and a shortest duration.
"""

from __future__ import annotations

import glob
import math
import os
import subprocess
import tempfile
from collections.abc import Mapping, Sequence

from . import phones as ph

# folder of Debian's libfst22-plugins-base; set FST_PLUGINS elsewhere
PLUGIN_DIR = os.environ.get("FST_PLUGINS") or next(iter(sorted(glob.glob("/usr/lib/*/fst/22"))), "")


class Hcl:
    def __init__(self) -> None:
        self.n = 0
        self.arcs: list[tuple[int, int, int, int, float]] = []  # (src, dst, ilabel, olabel, cost)
        self.finals: dict[int, float] = {}

    def state(self, phone: int | None = None) -> int:
        s = self.n
        self.n += 1
        if phone is not None:
            self.arcs.append((s, s, ph.loop_tid(phone), 0, 0.0))
        return s

    def arc(self, s: int, d: int, il: int = 0, ol: int = 0, w: float = 0.0) -> None:
        self.arcs.append((s, d, il, ol, w))


def build_hcl(
    lexicon: Sequence[tuple[str, list[str]]],
    word_id: Mapping[str, int],
    unk_cost: float,
    min_unk: int,
    word_cost: float = 0.0,
    sil_prob: float = 0.5,
) -> Hcl:
    """lexicon: list of (word, [phones]).  Each word costs word_cost, the garbage word unk_cost."""
    g = Hcl()
    start = g.state()
    loop = g.state()
    sil_id = ph.SYM_ID["SIL"]
    sil = g.state(sil_id)
    no_sil, with_sil = -math.log(1 - sil_prob), -math.log(sil_prob)
    g.arc(start, loop, 0, 0, no_sil)
    g.arc(start, sil, ph.fwd_tid(sil_id), 0, with_sil)
    g.arc(sil, loop)
    g.finals[loop] = 0.0

    def end_word(s: int, olabel: int, cost: float = 0.0) -> None:
        """Word ends in state s: emit its label, then optional silence."""
        g.arc(s, loop, 0, olabel, no_sil + cost)
        g.arc(s, sil, ph.fwd_tid(sil_id), olabel, with_sil + cost)

    tree: dict[tuple[int, int], int] = {}
    for word, pron in lexicon:
        ids = ph.positions(pron)
        cur = loop
        for p in ids:
            nxt = tree.get((cur, p))
            if nxt is None:
                nxt = g.state(p)
                tree[(cur, p)] = nxt
                g.arc(cur, nxt, ph.fwd_tid(p))
            cur = nxt
        end_word(cur, word_id[word], word_cost)

    previous = loop  # garbage: one phone, shorter than min_unk is not allowed (30 ms each)
    spn = ph.SYM_ID["SPN"]
    for i in range(min_unk):
        s = g.state(spn if i == min_unk - 1 else None)
        g.arc(previous, s, ph.loop_tid(spn) if i else ph.fwd_tid(spn), 0, 0.0 if i else unk_cost)
        previous = s
    end_word(previous, word_id["[unk]"])
    return g


def to_text(g: Hcl, start: int = 0) -> str:
    """OpenFst text format; the first line's source state is the start state."""
    lines = []
    order = sorted(g.arcs, key=lambda a: (a[0] != start,))
    for s, d, i, o, w in order:
        lines.append(f"{s} {d} {i} {o} {w:.6g}")
    for s, w in g.finals.items():
        lines.append(f"{s} {w:.6g}")
    return "\n".join(lines) + "\n"


def _run(cmd: list[str], data: bytes | None = None, lookahead: bool = False) -> bytes:
    env = dict(os.environ)
    env["LD_LIBRARY_PATH"] = PLUGIN_DIR + ":" + env.get("LD_LIBRARY_PATH", "")
    if lookahead:
        # The --save_relabel_* flags live in this library, so it must be loaded
        # before fstconvert parses its command line.
        env["LD_PRELOAD"] = os.path.join(PLUGIN_DIR, "olabel_lookahead-fst.so")
    r = subprocess.run(cmd, check=False, input=data, capture_output=True, env=env)
    if r.returncode:
        raise RuntimeError(f"{cmd}: {r.stderr.decode()}")
    return r.stdout


def write_graph(out: str, hcl: Hcl, words: Sequence[str], g_text: str) -> None:
    """words: list, index = label before relabelling (0 = <eps>).
    g_text: acceptor over those labels in OpenFst text format."""
    if not os.path.exists(os.path.join(PLUGIN_DIR, "olabel_lookahead-fst.so")):
        raise SystemExit("no olabel_lookahead-fst.so: apt-get install libfst22-plugins-base, or set FST_PLUGINS to its folder")
    os.makedirs(os.path.join(out, "phones"), exist_ok=True)
    with tempfile.TemporaryDirectory() as tmp:
        rel = os.path.join(tmp, "relabel")
        fst = _run(["fstcompile"], to_text(hcl).encode())
        fst = _run(["fstarcsort", "--sort_type=olabel"], fst)
        hclr = _run(["fstconvert", "--fst_type=olabel_lookahead", "--save_relabel_opairs=" + rel], fst, lookahead=True)
        with open(os.path.join(out, "HCLr.fst"), "wb") as f:
            f.write(hclr)
        with open(rel) as f:
            pairs = {int(old): int(new) for old, new in map(str.split, f)}
        gf = _run(["fstcompile"], g_text.encode())
        gf = _run(["fstrelabel", "--relabel_ipairs=" + rel, "--relabel_opairs=" + rel], gf)
        gf = _run(["fstarcsort", "--sort_type=ilabel"], gf)
        gf = _run(["fstconvert", "--fst_type=const"], gf)
        with open(os.path.join(out, "Gr.fst"), "wb") as f:
            f.write(gf)
    by_label = {pairs.get(i, i): w for i, w in enumerate(words)}
    assert len(by_label) == len(words), "relabelling clash"
    with open(os.path.join(out, "words.txt"), "w") as f:
        for i in sorted(by_label):
            f.write(f"{by_label[i]} {i}\n")
    with open(os.path.join(out, "disambig_tid.int"), "w") as f:
        f.write(f"{2 * ph.NUM_PHONES + 1}\n")  # unused label: there are none to remove
    with open(os.path.join(out, "phones", "word_boundary.int"), "w") as f:
        f.write("\n".join(ph.word_boundary_lines()) + "\n")
    with open(os.path.join(out, "phones.txt"), "w") as f:
        f.writelines(f"{s} {i}\n" for i, s in enumerate(ph.SYMS))


def unigram_g(words: Sequence[str]) -> str:
    """One-state acceptor: any sequence of words, uniform cost."""
    w = math.log(max(1, len(words) - 1))
    lines = [f"0 0 {i} {i} {w:.5g}" for i in range(1, len(words))]
    return "\n".join(lines) + "\n0\n"
