"""Rebuilds and scores the model from a data folder, in one command.

usage: python -m models.build.make DATA OUT [--minutes 9] [--fresh]
DATA holds the folders described in README.md: synthetic, human (one or more human*), noise, rir, and if wanted tts and
digits.  OUT becomes a Vosk model directory; OUT.work holds the training index, the checkpoint, the recordings of the
evaluation and its table.  Training goes on from start.pt, or with --fresh from nothing.
"""

from __future__ import annotations

import argparse
import glob
import os
import subprocess
import sys


def step(module: str, *arguments: str) -> None:
    """Runs one module of the pipeline; stops at the first that fails."""
    print("==", module, *arguments, flush=True)
    subprocess.run([sys.executable, "-m", module, *arguments], check=True)


def main() -> None:
    p = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    p.add_argument("data")
    p.add_argument("out")
    p.add_argument("--minutes", default="9", help="of training, on a large GPU; far longer on processors")
    p.add_argument("--fresh", action="store_true", help="start from nothing")
    a = p.parse_args()
    here, work = os.path.dirname(os.path.abspath(__file__)), a.out.rstrip("/") + ".work"
    os.makedirs(work, exist_ok=True)
    synthetic, noise, rir, tts = (os.path.join(a.data, d) for d in ("synthetic", "noise", "rir", "tts"))
    human = sorted(glob.glob(os.path.join(a.data, "human*")))
    more = [tts] if os.path.isdir(tts) else []
    index, checkpoint = os.path.join(work, "train.json"), os.path.join(work, "model.pt")
    step("models.build.prepare", index, "--kokoro", synthetic, "--human", *human, *(["--tts", *more] if more else []))
    begin = [] if a.fresh else ["--init", os.path.join(here, "start.pt"), "--lr", "1.3e-3", "--warm", "100"]
    step("models.build.train", index, checkpoint, "--audio", synthetic, *human, *more, "--noise", noise, "--rir", rir,
         "--minutes", a.minutes, *begin)  # fmt: skip
    step("models.build.build", checkpoint, a.out)
    step("models.build.decoys", os.path.join(a.out, "decoys.txt"))
    step("models.build.sums", a.out)
    test, digits = os.path.join(work, "evaluation"), os.path.join(a.data, "digits")
    extra = ["--digits", digits] if os.path.isdir(digits) else []
    step("models.build.devset", test, "--human", *human, "--noise", noise, *extra)
    step("assistant", "evaluate", os.path.join(test, "manifest.tsv"), "--model", a.out, "--by-speaker",
         "--json", os.path.join(work, "figures.json"))  # fmt: skip


if __name__ == "__main__":
    main()
