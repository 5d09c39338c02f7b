"""Checkpoint -> complete Vosk model directory.

usage: python -m models.build.build CKPT.pt OUTDIR [--trailing S]
Several checkpoints of one ancestor, separated by commas, are averaged.
"""

from __future__ import annotations

import argparse
import os

import torch

from . import kaldi_io, modeldir, net, regraph


def load(names: str) -> net.Tdnn:
    """The network of a checkpoint, or the mean of several (they must descend from one)."""
    cs = [torch.load(n, weights_only=False) for n in names.split(",")]
    a = cs[0]["args"]
    state = {k: sum(c["state"][k].float() for c in cs) / len(cs) for k in cs[0]["state"]}
    m = net.Tdnn(dim=a["dim"], bottleneck=a["bottleneck"], blocks=a["blocks"])
    m.load_state_dict(state)
    return m


def build(checkpoint: str, out: str, trailing: float = 0.27, chunk: int = 20) -> int:
    """Writes the whole directory: am/, conf/, graph/."""
    m = load(checkpoint)
    os.makedirs(os.path.join(out, "am"), exist_ok=True)
    kaldi_io.write_mdl(os.path.join(out, "am", "final.mdl"), net.export_layers(m), 40, m.left, m.right)
    modeldir.write_conf(out, trailing=(trailing, trailing + 0.5, trailing + 1.5), chunk=chunk)
    return regraph.write(out)


def main() -> None:
    p = argparse.ArgumentParser()
    p.add_argument("checkpoint")
    p.add_argument("out")
    p.add_argument("--trailing", type=float, default=0.27, help="seconds of silence that end an utterance")
    p.add_argument("--chunk", type=int, default=20)
    a = p.parse_args()
    print(build(a.checkpoint, a.out, a.trailing, a.chunk), "words")


if __name__ == "__main__":
    main()
