"""Makes the second ear from a data folder and pretrained weights, in one command.

usage: python -m models.build.ear_make DATA WEIGHTS OUT [--steps 12000]
DATA holds the folders described in README.md: synthetic, human (one or more human*), noise, rir, and if wanted tts.  WEIGHTS is a Whisper
encoder in CTranslate2 form (model.bin with 16-bit floats), or a checkpoint (.pt) of ours to train on from.  OUT becomes the model
directory; OUT.work keeps the training index and the checkpoint.
"""

from __future__ import annotations

import argparse
from pathlib import Path

from .make import step


def main() -> None:
    """Prepares, trains, exports."""
    p = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    p.add_argument("data", type=Path)
    p.add_argument("weights", type=Path)
    p.add_argument("out", type=Path)
    p.add_argument("--steps", type=int, default=12000, help="each over 320 s of sound")
    a = p.parse_args()
    work = a.out.with_name(a.out.name + ".work")
    work.mkdir(parents=True, exist_ok=True)
    index, checkpoint = str(work / "train.json"), str(work / "ear.pt")
    synthetic, noise, rir, tts = (str(a.data / name) for name in ("synthetic", "noise", "rir", "tts"))
    human = [str(folder) for folder in sorted(a.data.glob("human*"))]
    more = [tts] if Path(tts).is_dir() else []
    step("models.build.prepare", index, "--kokoro", synthetic, "--human", *human, *(["--tts", tts] if more else []))
    step("models.build.ear_train", index, str(a.weights), checkpoint, "--audio", synthetic, *human, *more,
         "--noise", noise, "--rir", rir, "--steps", str(a.steps))  # fmt: skip
    a.out.mkdir(parents=True, exist_ok=True)
    step("models.build.ear_lexicon", str(a.out))
    step("models.build.ear_export", checkpoint, str(a.out))


if __name__ == "__main__":
    main()
