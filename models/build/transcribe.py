"""Transcripts for clips of people whose words are not known, or known only as a prompt, by a larger recogniser.

usage: python -m models.build.transcribe MODEL HUMAN [HUMAN ...]
MODEL is a folder of Whisper weights in CTranslate2 form (pip install faster-whisper; its base size is enough).  Writes
HUMAN/transcripts.tsv (file start confidence words; confidence is the mean log probability of a word piece), which
models.build.prepare reads.  Numerals are forbidden to it, so that "23" comes back as it was said.
"""

from __future__ import annotations

import argparse
import csv
import os
import re
from typing import Any

import numpy as np
import numpy.typing as npt
import soundfile as sf

from .tables import rows

UNSURE = ("unk:", "digits:", "address:")
"""What the text of a clip begins with when its words are not certain."""


def words(text: str) -> list[str]:
    """Lower-case words without punctuation."""
    return re.sub(r"[^a-z' ]", " ", text.lower().replace("’", "'").replace("-", " ")).split()


def transcribe(model: Any, folder: str) -> int:
    """Writes one folder's transcripts; returns their number."""
    vocabulary = model.hf_tokenizer.get_vocab()
    numerals = [i for t, i in vocabulary.items() if any(c.isdigit() for c in t) and not t.startswith("<|")]
    packs: dict[str, npt.NDArray[np.float32]] = {}
    found: list[list[str]] = []
    for r in rows(os.path.join(folder, "index.tsv")):
        if not r["text"].startswith(UNSURE):
            continue
        if r["file"] not in packs:
            packs[r["file"]] = sf.read(os.path.join(folder, r["file"]), dtype="float32")[0]
        pieces, _ = model.transcribe(
            packs[r["file"]][int(r["start"]) : int(r["end"])],
            language="en",
            beam_size=1,
            temperature=0,
            without_timestamps=True,
            suppress_tokens=[-1, *numerals],
        )
        parts = list(pieces)
        sure = np.mean([p.avg_logprob for p in parts]) if parts else -9.0
        found.append([r["file"], r["start"], f"{sure:.3f}", " ".join(words(" ".join(p.text for p in parts)))])
    with open(os.path.join(folder, "transcripts.tsv"), "w", newline="") as f:
        out = csv.writer(f, delimiter="\t", lineterminator="\n", quoting=csv.QUOTE_NONE, escapechar="\\")
        out.writerow(["file", "start", "confidence", "words"])
        out.writerows(found)
    return len(found)


def main() -> None:
    p = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    p.add_argument("model")
    p.add_argument("human", nargs="+")
    a = p.parse_args()
    from faster_whisper import WhisperModel

    model = WhisperModel(a.model, device="cpu", compute_type="int8")
    for folder in a.human:
        print(folder, transcribe(model, folder), "clips")


if __name__ == "__main__":
    main()
