"""Packs shards of models.build.synth into Ogg Opus files with an index, as the training wants them.

usage: python -m models.build.pack OUTDIR PREFIX SHARD [SHARD ...]
Writes OUTDIR/PREFIX_000.opus ... (16 kHz mono, about ten minutes each) and OUTDIR/PREFIX.tsv (file start end text speaker).
PREFIX names the source; models.build.train must know it (REPEAT).
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

import numpy as np
import numpy.typing as npt
import soundfile as sf

SR = 16000
Sound = npt.NDArray[np.float32]
LEVEL, PEAK = 0.0562, 0.95
"""Loudness of every utterance (-25 dB), and its highest peak."""


def level(x: Sound) -> Sound:
    x = x * (LEVEL / max(1e-4, float(np.sqrt((x**2).mean()))))
    return x * min(1.0, PEAK / float(np.abs(x).max()))


def main() -> None:
    out, prefix, *shards = sys.argv[1:]
    Path(out).mkdir(parents=True, exist_ok=True)
    index, position, number = ["file\tstart\tend\ttext\tspeaker"], 0, 0
    chunks: list[Sound] = []

    def flush() -> None:
        nonlocal chunks, position, number
        if not chunks:
            return
        name = Path(out, f"{prefix}_{number:03d}.opus")
        sf.write(name, np.concatenate(chunks), SR, format="OGG", subtype="OPUS", compression_level=0.95)
        chunks, position, number = [], 0, number + 1

    for shard in shards:
        sound = np.load(shard + ".npy", mmap_mode="r")
        for u in json.loads(Path(shard + ".json").read_text()):
            x = level(sound[u["off"] : u["off"] + u["n"]].astype(np.float32) / 32768)
            index.append(f"{prefix}_{number:03d}.opus\t{position}\t{position + len(x)}\t{u['text']}\t{u['voice']}")
            chunks += [x, np.zeros(SR // 10, np.float32)]
            position += len(x) + SR // 10
            if position > 600 * SR:
                flush()
    flush()
    Path(out, prefix + ".tsv").write_text("\n".join(index) + "\n")


if __name__ == "__main__":
    main()
