"""Collects the speech packs into one training index (JSON), with pronunciations.

usage: python -m models.build.prepare OUT.json --kokoro DIR --human DIR [DIR ...] [--tts DIR] [--dev-share 0.1]
Each DIR holds <name>.opus packs and an index .tsv with file, start, end, text, speaker.  The first three letters of a
--tts index are its source: they need an entry in models.build.train's REPEAT (hib, oth).  A human folder may hold transcripts.tsv
(models.build.transcribe): reading is then trained on with its words too, and digit strings said otherwise than prompted are mended.
Entry: [file, start, end, words, class, source, speaker]; class = domain | general | garbage;
speakers of the development set carry source "dev_...".
"""

from __future__ import annotations

import argparse
import collections
import glob
import hashlib
import json
import os
import random
from typing import Any

from . import text as T
from . import vocabulary
from .tables import rows

Transcript = tuple[float, list[str]]
"""Confidence and words."""
SURE, SURE_DIGITS = -0.6, -0.25  # least confidence of a transcript that is used
MANY = {"bed", "cat", "happy"}  # thousands of speakers, three words: counted once
OUTSIDE = "<oov>"
"""A word without a pronunciation amid known ones: one garbage phone."""
CORE = set(
    [
        "yes",
        "no",
        "up",
        "down",
        "left",
        "right",
        "on",
        "off",
        "stop",
        "go",
        "zero",
        "one",
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
    ]
)


def held(speaker: str, share: float) -> bool:
    return int(hashlib.md5(speaker.encode()).hexdigest(), 16) % 1000 < share * 1000


def transcripts(folder: str) -> dict[tuple[str, str], Transcript]:
    """{(file, start): (confidence, words)} of a folder's transcripts.tsv, if there is one."""
    path = os.path.join(folder, "transcripts.tsv")
    if not os.path.exists(path):
        return {}
    return {(r["file"], r["start"]): (float(r["confidence"]), (r["words"] or "").split()) for r in rows(path)}


def said_digits(prompted: list[str], transcript: Transcript) -> list[str] | None:
    """Words of a digit string as said; None when prompt and transcript differ and the transcript is doubtful."""
    plain = ["<0>" if w in ("zero", "oh") else w for w in transcript[1]]
    if plain == prompted:
        return prompted
    known = {"<0>", "double", "triple", *T.UNITS, *T.TENS}
    sure = transcript[0] > SURE_DIGITS and len(plain) >= 5 and known.issuperset(plain)
    return plain if sure else None


def read_words(transcript: Transcript, lex: dict[str, list[list[str]]]) -> list[str] | None:
    """Words of a piece of reading, those nobody can pronounce as garbage; None when too little is certain."""
    sure, found = transcript
    out = []
    for w in found:
        if w not in lex:
            lex[w] = vocabulary.prons(w)
        out.append(w if lex[w] else OUTSIDE)
    return out if sure >= SURE and len(out) >= 3 and out.count(OUTSIDE) <= 0.2 * len(out) else None


def main() -> None:
    p = argparse.ArgumentParser()
    p.add_argument("out")
    p.add_argument("--kokoro", required=True)
    p.add_argument("--human", required=True, nargs="+")
    p.add_argument("--tts")
    p.add_argument("--dev-share", type=float, default=0.1)
    a = p.parse_args()
    U: list[list[Any]] = []
    lex = {OUTSIDE: [["SPN"]]}
    r0 = random.Random(99)
    domain = CORE | {"<0>"} | {w for _ in range(30000) for w in T.domain(r0) + T.site(r0) + T.dialogue(r0)}
    for r in rows(a.kokoro + "/index.tsv"):
        dom = r["category"] in ("num", "digits", "length", "command", "dialogue")
        if dom:
            domain |= set(r["text"].split())
        U.append([r["file"], r["start"], r["end"], r["text"].split(), "domain" if dom else "general", "kokoro", r["speaker"]])
    for table in sorted(glob.glob(a.tts + "/*.tsv")) if a.tts else []:
        for r in rows(table):
            w = r["text"].split()
            U.append([r["file"], r["start"], r["end"], w, None, os.path.basename(table)[:3], r["speaker"]])
    heard = {d: transcripts(d) for d in a.human}
    for folder, r in ((d, r) for d in a.human for r in rows(d + "/index.tsv")):
        t, s, src = r["text"].strip().lower(), r["speaker"], r["source"]
        kind = None
        transcript = heard[folder].get((r["file"], r["start"]))
        reading = read_words(transcript, lex) if transcript and t.startswith(("unk:general", "address:")) else None
        if reading:
            U.append([r["file"], r["start"], r["end"], reading, "general", "dev_read" if held(s, a.dev_share) else "read", s])
        if src.startswith("speech_commands"):
            w, name = t.split(), "many" if t in MANY and src.endswith("v1") else "sc"
        elif src in ("audiomnist", "freeswitch_callie", "grid_corpus") and not t.startswith("unk:"):
            w, name = (
                t.replace("-", " ").split(),
                dict(audiomnist="sc", freeswitch_callie="num", grid_corpus="grid")[src],
            )
        elif t.startswith("digits:"):
            w, name = ["<0>" if x == "0" else T.UNITS[int(x)] for x in t[7:] if x.isdigit()], "digits"
            said = said_digits(w, transcript) if transcript else w
            if said is None:
                continue
            w = said
        elif t.startswith("spell:"):
            w, name = [f"<{x}>" for x in t[6:] if x.isalpha()], "spell"
        elif t.startswith("unk:"):
            w, name, kind = ["<unk>"], "libri", "garbage"
        elif src == "alphanumeric":
            continue  # addresses: reading unknown
        else:
            w, name = t.replace("-", " ").split(), "wake"
        if name in ("sc", "many", "digits", "spell", "libri") and held(s, a.dev_share):
            name = "dev_" + name
        U.append([r["file"], r["start"], r["end"], w, kind, name, s])
    bad: collections.Counter[str] = collections.Counter()
    out: list[list[Any]] = []
    for u in U:
        for w in u[3]:
            if w != "<unk>" and w not in lex:
                lex[w] = vocabulary.prons(w)
        if any(w != "<unk>" and not lex[w] for w in u[3]):
            bad[u[5]] += 1
            continue
        u[1], u[2] = int(u[1]), int(u[2])
        u[4] = u[4] or ("domain" if all(w in domain for w in u[3]) else "general")
        out.append(u)
    clips: collections.Counter[tuple[str, str]] = collections.Counter()
    hours: dict[tuple[str, str], float] = collections.defaultdict(float)
    for u in out:
        clips[u[5], u[4]] += 1
        hours[u[5], u[4]] += (u[2] - u[1]) / 57.6e6
    for k in sorted(clips):
        print(k, clips[k], f"{hours[k]:.2f} h")
    print("without pronunciation:", dict(bad), "domain words", len(domain))
    with open(a.out, "w") as f:
        json.dump(dict(utts=out, lex={k: v for k, v in lex.items() if v}, domain=sorted(domain)), f)


if __name__ == "__main__":
    main()
