"""Speech of the job's own wordings by Kokoro-82M: first a plan (texts, phonemes, voices), then shards for models.build.pack.

usage: python -m models.build.kokoro plan VOICES COUNT SEED PLAN.tsv
       python -m models.build.kokoro speak PLAN.tsv MODEL.onnx VOICES OUT [--processes N] [--minutes M]
VOICES holds the voice packs (NAME.bin, rows of 256 floats).  Needed: hibari-tts for the plan (phonemes and their numbers), onnxruntime to
speak.  Shards are OUT.NUMBER.npy and .json, one a process; with --minutes every process ends in time and keeps what it has.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
import os
import random
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt

from . import text, vocabulary
from .synth import SR, to16k

ASIDE = frozenset({"af_sarah", "af_nova", "am_michael", "am_echo", "bf_isabella", "bm_george"})
"""Voices that are kept for examination: never trained on, nor in blends."""
RATE = 24000
STYLE = 256
BLENDS = 0.55
"""Share of utterances by a blend of two voices, which is another speaker each time."""
MARGIN = SR // 10
"""Samples kept before and behind the speech."""

Sound = npt.NDArray[np.float32]
Say = Callable[[list[int], Sound, float], Sound]
"""Token numbers, style and speed -> samples at RATE."""


@dataclass(frozen=True, slots=True)
class Line:
    """One utterance: its words, the numbers of its phonemes, who says it ("a" or "a*0.40+b*0.60"), how fast, which row of the style."""

    words: str
    tokens: list[int]
    voice: str
    speed: float
    shift: int


def names(folder: Path) -> list[str]:
    """English voices that may be trained on."""
    return sorted(p.stem for p in folder.glob("[ab]?_*.bin") if p.stem not in ASIDE)


def someone(voices: list[str], rnd: random.Random) -> str:
    """A voice, or a blend of two."""
    if rnd.random() >= BLENDS:
        return rnd.choice(voices)
    one, other = rnd.sample(voices, 2)
    share = rnd.uniform(0.25, 0.75)
    return f"{one}*{share:.2f}+{other}*{1 - share:.2f}"


def planned(voices: list[str], count: int, rnd: random.Random) -> list[Line]:
    """So many utterances; British voices, and blends that begin with one, speak British phonemes."""
    from hibari.g2p import ASSETS, G2P

    numbers = json.loads((Path(ASSETS) / "vocab.json").read_text(encoding="utf-8"))
    numbers = numbers.get("vocab", numbers)
    reader = {"a": G2P(), "b": G2P(british=True)}
    ordinary = [word for word in vocabulary.frequent() if len(word) > 2]
    out: list[Line] = []
    while len(out) < count:
        words = " ".join(text.for_the_ear(ordinary, rnd))
        voice = someone(voices, rnd)
        spoken = reader[voice[0]](words.capitalize() + rnd.choice([".", ".", ".", "!", "?", ","]))
        tokens = [numbers[c] for c in spoken if c in numbers]
        if 2 <= len(tokens) <= 110:
            out.append(Line(words, tokens, voice, round(rnd.uniform(0.75, 1.35), 3), rnd.randrange(13)))
    return out


def write(lines: list[Line], path: Path) -> None:
    """One utterance a line, tab-separated."""
    rows = ("\t".join([u.words, " ".join(map(str, u.tokens)), u.voice, str(u.speed), str(u.shift)]) for u in lines)
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")


def read(path: Path) -> list[Line]:
    """What ``write`` wrote."""
    rows = (line.split("\t") for line in path.read_text(encoding="utf-8").splitlines())
    return [Line(words, [int(t) for t in tokens.split()], voice, float(speed), int(shift)) for words, tokens, voice, speed, shift in rows]


def style(voices: dict[str, Sound], line: Line) -> Sound:
    """(1, STYLE): the row of the voice for this length, or of two voices mixed."""
    out = np.zeros((1, STYLE), np.float32)
    for part in line.voice.split("+"):
        name, _, share = part.partition("*")
        rows = voices[name]
        out += float(share or 1) * rows[min(len(line.tokens) + line.shift, len(rows) - 1)]
    return out


def by_onnx(model: Path) -> Say:
    """Kokoro by onnxruntime on one core."""
    import onnxruntime as ort

    options = ort.SessionOptions()
    options.intra_op_num_threads = options.inter_op_num_threads = 1
    session = ort.InferenceSession(str(model), options, providers=["CPUExecutionProvider"])

    def say(tokens: list[int], row: Sound, speed: float) -> Sound:
        given = {"tokens": np.array([[0, *tokens, 0]], np.int64), "style": row, "speed": np.array([speed], np.float32)}
        return np.asarray(session.run(None, given)[0], np.float32).ravel()

    return say


def trimmed(sound: Sound) -> Sound:
    """The speech of an utterance (SR) with MARGIN on both sides; empty if there is none.  Quiet is 46 dB below the loudest 10 ms."""
    step = SR // 100
    frames = sound[: len(sound) // step * step].reshape(-1, step)
    level = np.sqrt((frames**2).mean(1))
    loud = np.flatnonzero(level > max(2e-4, 0.005 * float(level.max(initial=0))))
    if len(loud) < 8:
        return sound[:0]
    return sound[max(0, loud[0] * step - MARGIN) : (loud[-1] + 1) * step + MARGIN]


def speak(say: Say, lines: list[Line], voices: dict[str, Sound], out: str, until: float) -> None:
    """Writes one shard: OUT.npy (int16, SR) and OUT.json, of what could be said before the time ``until``."""
    index, chunks, at = [], [], 0
    for line in lines:
        if time.time() > until:
            break
        sound = trimmed(to16k(say(line.tokens, style(voices, line), line.speed), RATE))
        if not len(sound) or not np.isfinite(sound).all():
            continue
        whole = (sound / np.abs(sound).max() * 0.7 * 32767).astype(np.int16)
        index.append({"off": at, "n": len(whole), "text": line.words, "voice": "kokoro/" + line.voice, "kind": "kokoro"})
        chunks.append(whole)
        at += len(whole)
    if chunks:
        np.save(out + ".npy", np.concatenate(chunks))
        Path(out + ".json").write_text(json.dumps(index), encoding="utf-8")
    print(f"{out}: {len(index)} utterances, {at / SR / 3600:.3f} h", flush=True)


def work(engine: Callable[[Path], Say], model: Path, folder: Path, lines: list[Line], out: str, until: float) -> None:
    """One process."""
    voices = {name: np.fromfile(folder / f"{name}.bin", np.float32).reshape(-1, STYLE) for name in names(folder)}
    speak(engine(model), lines, voices, out, until)


def shared(engines: list[Callable[[Path], Say]], model: Path, folder: Path, lines: list[Line], out: str, until: float) -> None:
    """The lines shared out among processes, one an engine."""
    context, count = multiprocessing.get_context("spawn"), len(engines)
    running = [
        context.Process(target=work, args=(engine, model, folder, lines[n::count], f"{out}.{n:02d}", until))
        for n, engine in enumerate(engines)
    ]
    for process in running:
        process.start()
    for process in running:
        process.join()


def main() -> None:
    """Plans or speaks."""
    p = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    do = p.add_subparsers(dest="do", required=True)
    plan = do.add_parser("plan")
    plan.add_argument("voices", type=Path)
    plan.add_argument("count", type=int)
    plan.add_argument("seed", type=int)
    plan.add_argument("plan", type=Path)
    said = do.add_parser("speak")
    said.add_argument("plan", type=Path)
    said.add_argument("model", type=Path)
    said.add_argument("voices", type=Path)
    said.add_argument("out")
    said.add_argument("--processes", type=int, default=os.cpu_count() or 1)
    said.add_argument("--minutes", type=float, default=float("inf"))
    a = p.parse_args()
    if a.do == "plan":
        write(planned(names(a.voices), a.count, random.Random(a.seed)), a.plan)
    else:
        shared([by_onnx] * a.processes, a.model, a.voices, read(a.plan), a.out, time.time() + 60 * a.minutes)


if __name__ == "__main__":
    main()
