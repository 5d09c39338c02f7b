"""Recordings for evaluation from speakers that were never trained on: WAV files and a manifest.

usage: python -m models.build.devset OUT --human DIR [DIR ...] --noise DIR [--digits DIR] [--snr 10 5] [--count 200]
The speakers of --human are those that models.build.prepare sets aside; all of --digits (single digits) counts.
Writes OUT/*.wav, OUT/manifest.tsv (path transcript kind speaker snr_db) for `assistant.speech.evaluate`.
"""

from __future__ import annotations

import argparse
import collections
import os
import random

import numpy as np
import numpy.typing as npt
import soundfile as sf

from . import prepare, train
from .prepare import held
from .tables import rows

SR = 16000
Sound = npt.NDArray[np.float32]
"""Samples at SR, in the range of int16."""


class Packs:
    """Utterances out of the packs of a folder; decoded packs are kept."""

    def __init__(self) -> None:
        self.cache: dict[str, npt.NDArray[np.int16]] = {}

    def cut(self, folder: str, row: dict[str, str]) -> Sound:
        f = os.path.join(folder, row["file"])
        if f not in self.cache:
            self.cache[f] = sf.read(f, dtype="int16")[0]
        return self.cache[f][int(row["start"]) : int(row["end"])].astype(np.float32)


def level(x: Sound, rms: float = 1500.0) -> Sound:
    """Speech part at a fixed level, without clipping."""
    loud = np.sort(x**2)[len(x) // 2 :]
    y = x * rms / max(1.0, float(np.sqrt(loud.mean())))
    return y * min(1.0, 32000 / max(1.0, float(np.abs(y).max())))


def noisy(x: Sound, noise: Sound, snr: float, rnd: random.Random) -> Sound:
    """Speech with noise at a signal-to-noise ratio (dB) over the whole recording; 0.3 s of noise alone on both sides."""
    y = np.pad(x, 4800)
    k = rnd.randrange(max(1, len(noise) - len(y)))
    n = np.resize(noise[k:], len(y)).astype(np.float32)
    n *= np.sqrt((x**2).mean() / max(1e-3, float((n**2).mean()))) * 10 ** (-snr / 20)
    return (y + n) * min(1.0, 32000 / max(1.0, float(np.abs(y + n).max())))


def strings(pool: list[tuple[str, str, Sound]], count: int, rnd: random.Random, n: int = 4) -> list[tuple[str, list[str], Sound]]:
    """Phrases of n digits joined from one speaker's single digits: [(speaker, words, samples)]."""
    by: dict[str, dict[str, list[Sound]]] = collections.defaultdict(lambda: collections.defaultdict(list))
    for speaker, word, x in pool:
        by[speaker][word].append(x)
    able = sorted(s for s in by if len(by[s]) >= 5)
    out = []
    for _ in range(count if able else 0):
        s = rnd.choice(able)
        words = [rnd.choice(sorted(by[s])) for _ in range(n)]
        parts = []
        for w in words:
            parts += [
                level(train.trim(rnd.choice(by[s][w]).astype(np.int16), 600).astype(np.float32)),
                np.zeros(rnd.randint(0, 1600), np.float32),
            ]
        out.append((s, words, np.concatenate(parts)))
    return out


def collect(a: argparse.Namespace, rnd: random.Random) -> tuple[list[tuple[str, str, str, Sound]], Packs]:
    """[(kind, speaker, transcript, samples)], clean."""
    packs = Packs()
    by: dict[str, list[tuple[str, dict[str, str], str]]] = collections.defaultdict(list)
    pool: list[tuple[str, str, Sound]] = []
    for d in a.human:
        for r in rows(d + "/index.tsv"):
            t, src = r["text"].strip().lower(), r["source"]
            if not held(r["speaker"], 0.1):
                continue
            if src.startswith("speech_commands"):
                kind = "digit" if t in train.DIGITS else "command" if t in prepare.CORE else "oov_word"
                by[kind].append((d, r, t))
            elif t.startswith("unk:"):
                by["oov_speech"].append((d, r, ""))
    if a.digits:
        for r in rows(a.digits + "/index.tsv"):
            by["digit_set"].append((a.digits, r, r["text"].strip().lower()))
    out = []
    for kind, found in sorted(by.items()):
        rnd.shuffle(found)
        for d, r, t in found[: a.count]:
            x = packs.cut(d, r)
            if kind == "oov_speech":
                for k in range(0, max(1, len(x) - 2 * SR), 3 * SR):
                    out.append((kind, r["speaker"], "", level(x[k : k + 3 * SR])))
            else:
                out.append((kind, r["speaker"], "" if kind == "oov_word" else t, level(x)))
        if "digit" in kind:
            pool += [(r["speaker"], t, packs.cut(d, r)) for d, r, t in found]
    out += [("digits_of_four", s, " ".join(w), x) for s, w, x in strings(pool, a.count, rnd)]
    return out, packs


def main() -> None:
    p = argparse.ArgumentParser()
    p.add_argument("out")
    p.add_argument("--human", nargs="+", required=True)
    p.add_argument("--noise", required=True)
    p.add_argument("--digits")
    p.add_argument("--snr", type=float, nargs="*", default=[10, 5])
    p.add_argument("--count", type=int, default=200)
    p.add_argument("--more", help="manifest of further clean recordings: path transcript kind speaker")
    a = p.parse_args()
    rnd = random.Random(5)
    items, packs = collect(a, rnd)
    if a.more:
        for r in rows(a.more):
            items.append(
                (
                    r["kind"],
                    r["speaker"],
                    r["transcript"],
                    level(sf.read(r["path"], dtype="int16")[0].astype(np.float32)),
                )
            )
    noises = [packs.cut(a.noise, r) for r in rows(a.noise + "/index.tsv")]
    noises = [n for n in noises if len(n) > SR and np.abs(n).max() > 100]
    os.makedirs(a.out, exist_ok=True)
    k = 0
    with open(a.out + "/manifest.tsv", "w") as m:
        m.write("path\ttranscript\tkind\tspeaker\tsnr_db\n")

        def put(x: Sound, transcript: str, kind: str, speaker: str, snr: str) -> None:
            nonlocal k
            sf.write(f"{a.out}/{k:05d}.wav", x.astype(np.int16), SR, subtype="PCM_16")
            m.write(f"{k:05d}.wav\t{transcript}\t{kind}\t{speaker}\t{snr}\n")
            k += 1

        for kind, speaker, transcript, x in items:
            put(x, transcript, kind, speaker, "")
            for snr in a.snr if transcript else ():
                put(noisy(x, rnd.choice(noises), snr, rnd), transcript, kind, speaker, f"{snr:g}")
        for n in noises:
            put(level(n, rnd.choice([100, 800, 3000])), "", "noise", "", "")
    print(k, "recordings")


if __name__ == "__main__":
    main()
