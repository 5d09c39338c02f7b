"""Flat-start LF-MMI training with on-the-fly augmentation on one GPU, or on the CPU.

usage: python -m models.build.train INDEX.json OUT.pt --audio DIR [DIR ...] --noise DIR --rir DIR [--minutes M] ...
The learning rate follows a cosine over --minutes (decoding and set-up not counted) or over --steps, which, unlike minutes, means the
same amount of training on every machine; an exponential average of the weights is saved.
"""

from __future__ import annotations

import argparse
import concurrent.futures as cf
import glob
import json
import math
import os
import queue
import random
import threading
import time
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import soundfile as sf
import torch

from . import gpu, lfmmi, net
from . import text as T
from .tables import rows

SR = 16000
Samples = npt.NDArray[np.int16]
Utterance = list[Any]
"""File, start, end, words, class, source, speaker: see models.build.prepare."""
Item = tuple[int, Utterance, int, int, float, int, list[float] | None, bool]
"""Length, utterance, cut start, cut length, speed, lead, garbage span or None, whether only the silence after it counts."""
# how often an utterance of a source is used per epoch
REPEAT = dict(
    kokoro=1.0,
    hib=0.7,
    esp=0.5,
    fli=0.7,
    joe=1.0,
    kok=1.0,
    sc=5.0,
    scdigit=20.0,
    cat=1.0,
    digits=20.0,
    spell=5.0,
    wake=0.7,
    many=1.0,
    num=8.0,
    grid=2.0,
    libri=8.0,
    read=10.0,
    noise=8.0,
)


def decode(path: str) -> Samples:
    x, sr = sf.read(path, dtype="int16")
    assert sr == SR and x.ndim == 1, path
    return x


def load_audio(dirs: list[str], cache: str | None = None) -> tuple[Samples, dict[str, int]]:
    """All packs of the folders in one int16 array; {file name: offset}."""
    files = sorted(f for d in dirs for f in glob.glob(d + "/*.opus"))
    names = [os.path.basename(f) for f in files]
    if not files or len(set(names)) < len(names):
        raise SystemExit(f"no packs, or two of one name, in {dirs}")
    if cache and os.path.exists(cache + ".npy"):
        off = json.loads(Path(cache + ".json").read_text())
        if sorted(off) != sorted(names):
            raise SystemExit(f"{cache}.npy holds other packs: delete it")
        return np.load(cache + ".npy"), off
    with cf.ThreadPoolExecutor(os.cpu_count()) as ex:
        xs = list(ex.map(decode, files))
    off, pos = {}, 0
    for f, x in zip(files, xs):
        off[os.path.basename(f)] = pos
        pos += len(x)
    a = np.concatenate(xs)
    if cache:
        np.save(cache + ".npy", a)
        Path(cache + ".json").write_text(json.dumps(off))
    return a, off


def load_noise(folder: str) -> tuple[Samples, list[tuple[int, int]]]:
    """The packs of a noise folder in one int16 array, and [(start, length)] of its clips in samples."""
    sound, off = load_audio([folder])
    clips = [(off[r["file"]] + int(r["start"]), int(r["end"]) - int(r["start"])) for r in rows(folder + "/index.tsv")]
    return sound, [c for c in clips if c[1] > 1600]


def load_rooms(folder: str) -> npt.NDArray[np.float32]:
    """Room responses, (rooms, 8000): from their loudest sample on, all of one energy."""
    found = []
    for f in sorted(glob.glob(folder + "/*.wav")):
        x = sf.read(f, dtype="float32")[0][:8000]
        x = x[max(0, int(np.abs(x).argmax()) - 20) :]
        found.append(np.pad(x / np.sqrt((x**2).sum()), (0, 8000 - len(x))))
    return np.stack(found)


def active(x: Samples) -> tuple[int, int]:
    """(first, last) sample of the active part of an isolated-word clip by short-time energy."""
    n = len(x) // 160
    if n < 20:
        return 0, len(x)
    e = np.log10(np.maximum(1.0, (x[: n * 160].astype(np.float64).reshape(n, 160) ** 2).mean(1)))
    e = np.convolve(e, np.ones(5) / 5, "same")
    lo, hi = np.percentile(e, 10), e.max()
    k = np.nonzero(e > lo + 0.4 * (hi - lo))[0]
    return int(k[0]) * 160, int(k[-1] + 1) * 160


def trim(x: Samples, margin: int = 1000) -> Samples:
    a, b = active(x)
    return x[max(0, a - margin) : min(len(x), b + margin)]


GARBAGE: Utterance = ["", 0, 0, ["<unk>"], "garbage", "libri", ""]


def stretched(x: Samples, k: float) -> npt.NDArray[np.float64]:
    """The clip k times faster, and as much higher: almost another speaker."""
    n = int(len(x) / k)
    return np.interp(np.arange(n) * k, np.arange(len(x)), x.astype(np.float32))


def joined_words(utts: list[Utterance], audio: Samples, count: int, rnd: random.Random) -> list[tuple[Samples, list[str]]]:
    """Digit strings, number phrases and word sequences put together from single words of people: [(samples, words)].

    Few speakers said many digits, so half of the strings take each word from another speaker.
    """
    words: dict[str, list[Utterance]] = {}
    by: dict[str, dict[str, list[Utterance]]] = {}
    for u in utts:
        if u[5] in ("sc", "num") and len(u[3]) == 1:
            w = "zero" if u[3][0] == "<0>" else u[3][0]
            words.setdefault(w, []).append(u)
            by.setdefault(u[6], {}).setdefault(w, []).append(u)
    rich = [s for s in by if len(by[s].keys() & DIGITS) >= 4]
    out: list[tuple[Samples, list[str]]] = []
    while len(out) < count:
        k, pool = rnd.random(), words
        if rich and rnd.random() < 0.5:
            pool = by[rnd.choice(rich)]
        if k < 0.6:
            have = sorted(DIGITS & pool.keys())
            seq = [rnd.choice(have) for _ in range(rnd.choice([2, 3, 4, 4, 4, 5, 6, 8, 10]))]
        elif k < 0.85:
            pool = by["fs_callie_us_f"] if rnd.random() < 0.6 and "fs_callie_us_f" in by else words
            seq = T.number(rnd)
            if not all(w in pool for w in seq):
                continue
        else:
            have = sorted(pool)
            seq = [rnd.choice(have) for _ in range(rnd.randint(2, 5))]
        tight, xs = rnd.random() < 0.6, [np.zeros(rnd.randint(800, 3000), np.int16)]
        one = math.exp(rnd.uniform(-0.12, 0.12))
        for w in seq:
            u = rnd.choice(pool[w])
            x = stretched(trim(audio[u[1] : u[2]], rnd.randint(100, 500) if tight else rnd.randint(200, 1600)), one)
            x *= 2500 / max(1.0, float(np.sqrt((x**2).mean()))) * math.exp(rnd.uniform(-0.25, 0.25))
            x *= min(1.0, 32000 / max(1.0, float(np.abs(x).max())))
            f = min(160, len(x) // 2)
            x[:f] *= np.linspace(0, 1, f)
            x[-f:] *= np.linspace(1, 0, f)
            xs += [x.astype(np.int16), np.zeros(int(rnd.random() ** 2 * (800 if tight else 4000)), np.int16)]
        out.append((np.concatenate(xs), seq))
    return out


DIGITS = set(["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"])


def main() -> None:
    p = argparse.ArgumentParser()
    p.add_argument("index")
    p.add_argument("out")
    p.add_argument("--audio", nargs="+", required=True)
    p.add_argument("--noise", required=True)
    p.add_argument("--rir", required=True)
    p.add_argument("--cache")
    p.add_argument("--minutes", type=float, default=9)
    p.add_argument("--lr", type=float, default=2e-3)
    p.add_argument("--steps", type=int, default=0, help="stop after this many steps instead of --minutes")
    p.add_argument("--seconds", type=float, default=320, help="audio per batch")
    p.add_argument("--spn", type=float, default=0.25)
    p.add_argument("--whole", type=float, default=0.15, help="share of general utterances cut to pure garbage")
    p.add_argument("--single", type=float, default=0.55, help="share of isolated general words taught as garbage between silences")
    p.add_argument("--after", type=float, default=0.05, help="share of utterances of which only the silence after them counts")
    p.add_argument("--joined", type=int, default=12000, help="word strings put together from single words of people")
    p.add_argument("--save", type=float, default=2, help="minutes between checkpoints")
    p.add_argument("--freeze", type=int, default=-1, help="keep the input layers and this many blocks fixed")
    p.add_argument("--dim", type=int, default=384)
    p.add_argument("--bottleneck", type=int, default=128)
    p.add_argument("--blocks", default="ssssssscccc")
    p.add_argument("--drop", type=float, default=0.1)
    p.add_argument("--l2", type=float, default=5e-4)
    p.add_argument("--wd", type=float, default=1e-2)
    p.add_argument("--warm", type=int, default=300)
    p.add_argument("--ema", type=float, default=0.999)
    p.add_argument("--init")
    p.add_argument("--seed", type=int, default=0)
    p.add_argument("--report", type=int, default=500)
    p.add_argument("--limit", type=int, default=0, help="use few utterances (smoke test)")
    p.add_argument("--human", type=float, default=1.0, help="multiplies the repeats of human sources")
    p.add_argument("--dev-too", action="store_true", help="train on the development speakers as well")
    p.add_argument("--skip", help="JSON list of [file, start] to leave out (bad transcripts)")
    a = p.parse_args()
    t0 = time.time()
    dev = "cuda" if torch.cuda.is_available() else "cpu"
    torch.backends.cuda.matmul.allow_tf32 = True
    torch.manual_seed(a.seed)
    rnd = random.Random(a.seed)
    J = json.loads(Path(a.index).read_text())
    protect, lex = set(J["domain"]), J["lex"]
    prons = lex.__getitem__
    audio, off = load_audio(a.audio, a.cache)
    unknown = {u[5] for u in J["utts"] if not u[5].startswith("dev_")} - set(REPEAT)
    if unknown:
        raise SystemExit(f"sources without an entry in REPEAT: {sorted(unknown)}")
    skip = set(map(tuple, json.loads(Path(a.skip).read_text()))) if a.skip else set()
    utts = [[u[0], off[u[0]] + u[1], off[u[0]] + u[2], *u[3:]] for u in J["utts"] if u[0] in off and (u[0], u[1]) not in skip]
    if a.limit:
        rnd.shuffle(utts)
        utts = utts[: a.limit]
    print(
        f"{dev}: decoded {len(audio) / 57.6e6:.1f} h, {len(utts)} of {len(J['utts'])} utts, {time.time() - t0:.0f} s",
        flush=True,
    )
    if a.dev_too:
        for u in utts:
            u[5] = u[5].removeprefix("dev_")
    extra, pos = [], len(audio)
    for sound, w in joined_words([u for u in utts if u[4] != "garbage"], audio, a.joined if not a.limit else 20, rnd):
        utts.append(["", pos, pos + len(sound), w, "domain", "cat", ""])
        extra.append(sound)
        pos += len(sound)
    for i in range(1000):  # silence (noise comes from the augmentation)
        utts.append(["", pos, pos + 16000 + 48 * i, [], "domain", "noise", ""])
    extra.append(np.random.default_rng(0).integers(-3, 4, 16000 + 48 * 1000 + 10).astype(np.int16))
    audio = np.concatenate([audio, *extra])
    valid = [u for u in utts if u[5].startswith("dev_")] + [u for u in utts if u[5] == "kokoro"][::100]
    out = {id(u) for u in valid}  # 1 % of the Kokoro clips are set aside too (their speakers are not)
    train = [u for u in utts if id(u) not in out]
    A = lfmmi.bigram(
        [
            ([u[3] for u in train if u[4] == "domain"], lambda w: 0.0, 1.0),
            ([u[3] for u in train if u[4] != "domain"], lambda w: 0.0 if w in protect else a.spn, 1.0),
        ],
        prons,
    )
    store = torch.from_numpy(audio).to(dev)
    nz, clips = load_noise(a.noise)
    rirs = load_rooms(a.rir)
    bt = gpu.Batcher(store, torch.from_numpy(nz).to(dev), clips, torch.tensor(rirs, device=dev), dev, a.seed)
    m = net.Tdnn(dim=a.dim, bottleneck=a.bottleneck, blocks=a.blocks, drop=a.drop).to(dev)
    if a.init:
        st = torch.load(a.init, weights_only=False)["state"]
        m.load_state_dict(st)
    if a.freeze >= 0:
        for part in [m.c1, m.b1, m.c2, m.b2, *list(m.blocks[: a.freeze])]:
            part.requires_grad_(False)
    ema = {k: v.detach().clone() for k, v in m.state_dict().items()}
    print(
        f"{len(train)} utts, {sum(u[2] - u[1] for u in train) / 57.6e6:.2f} h, {len(clips)} noises, {len(rirs)} rooms, "
        f"{sum(q.numel() for q in m.parameters()) / 1e6:.2f} M params, {time.time() - t0:.0f} s",
        flush=True,
    )

    cache: dict[tuple[int, int, bool], lfmmi.Flat] = {}
    spans: dict[int, tuple[int, int]] = {}
    silence = lfmmi.flat(lfmmi.numerator_graph([], prons))

    def numerator(c: Item) -> tuple[lfmmi.Flat, int]:
        """(graph, output frames to skip) of an item."""
        _, u, _, length, sp, lead, span, tail = c
        if span:
            x, y = int(span[0]), int(span[1])
            return lfmmi.garbage_between(x, y, max(1, min(4, (y - x) // 4))), 0
        if tail:
            return silence, int((lead + length / sp) / 480) + rnd.randint(2, 8)
        return lfmmi.held_within(graph(u, True), int(lead / 480) - 2, int((lead + length / sp) / 480) + 3), 0

    def graph(u: Utterance, training: bool) -> lfmmi.Flat:
        v = rnd.randrange(4) if training and u[4] == "general" else 0
        key = (id(u), v, training)
        if key not in cache:
            g = lfmmi.numerator_graph(u[3], prons, a.spn if training and u[4] == "general" and len(u[3]) > 2 else 0.0, rnd, protect)
            cache[key] = lfmmi.flat(g)
        return cache[key]

    def epoch_batches() -> list[tuple[list[Item], int]]:
        """Lists of items, similar lengths together, and the greatest length in each."""
        items: list[Item] = []

        def add(u: Utterance, s: int, n: int, span: tuple[int, int] | None = None, tail: int | None = None, cut: bool = False) -> None:
            sp = math.exp(rnd.uniform(-0.14, 0.16)) if rnd.random() < 0.8 else 1.0
            lead = 0 if cut else int(rnd.uniform(0.0, 0.45) * SR)
            end = 0 if cut else int(rnd.uniform(0.0, 0.45) * SR) if tail is None else tail
            frames = [(lead + k / sp) / 480 for k in span] if span else None
            if n / sp + lead + end > 6400:
                # a cut from the middle of speech goes on behind its end, so that padding holds speech as well
                items.append((int(n / sp) + lead + end, u, s, n + 4000 if cut else n, sp, lead, frames, tail is not None))

        for u in train:
            r = REPEAT["scdigit" if u[5] == "sc" and u[3][0] in DIGITS else u[5]] * (
                a.human if u[5] in ("sc", "cat", "digits", "spell") else 1
            )
            for _ in range(int(r) + (rnd.random() < r % 1)):
                s, n = u[1], u[2] - u[1]
                general = u[4] == "general" and u[5] not in ("spell", "grid")
                k = rnd.random()
                if u[4] == "garbage" or (general and len(u[3]) > 2 and k < 2 * a.whole):
                    lo, hi = (0, n - 4000) if u[4] == "garbage" else (4000, n - 8000)
                    if hi - lo < 4800:
                        continue
                    m1 = min(hi - lo, rnd.randint(6000, 64000))
                    s1 = s + lo + rnd.randint(0, hi - lo - m1)
                    if k < a.whole or (u[4] == "garbage" and k < 0.5):
                        add(GARBAGE, s1, m1, cut=True)  # the middle of speech: garbage and nothing else
                    else:
                        add(GARBAGE, s1, m1, span=(0, m1))  # the same between two silences
                elif general and len(u[3]) <= 2 and k < a.single:
                    if id(u) not in spans:
                        spans[id(u)] = active(audio[s : s + n])
                    lo, hi = spans[id(u)]
                    if hi - lo >= 2400:
                        add(GARBAGE, s, n, span=(lo, hi))  # a foreign word by itself, silence round it
                elif n <= 17 * SR:
                    if u[3] and rnd.random() < a.after:  # only the silence after it counts
                        add(u, s, n, tail=int(rnd.uniform(0.25, 1.2) * SR))
                    else:
                        add(u, s, n)
        items.sort(key=lambda x: x[0] + rnd.random() * 2000)
        out: list[tuple[list[Item], int]] = []
        cur: list[Item] = []
        mx = 0
        for it in items:
            if cur and max(mx, it[0]) * (len(cur) + 1) > a.seconds * SR:
                out.append((cur, mx))
                cur, mx = [], 0
            cur.append(it)
            mx = max(mx, it[0])
        rnd.shuffle(out)
        return out

    q: queue.Queue[tuple[npt.NDArray[np.float64], int, lfmmi.Flat] | Exception | None] = queue.Queue(6)
    stop = [False]

    def producer() -> None:
        try:
            while not stop[0]:
                for cur, mx in epoch_batches():
                    if stop[0]:
                        return
                    N = 400 + 160 * ((mx + 160) // 160)
                    f = np.array([[c[2], c[3], c[4], c[5], c[1][5] == "noise"] for c in cur], np.float64)
                    g = [numerator(c) for c in cur]
                    q.put((f, N, lfmmi.pack([x for x, _ in g], [k for _, k in g])))
                q.put(None)
        except Exception as e:  # otherwise the main thread waits for ever
            q.put(e)

    threading.Thread(target=producer, daemon=True).start()

    def evaluate(state: dict[str, torch.Tensor]) -> dict[str, str]:
        was = {k: v.clone() for k, v in m.state_dict().items()}
        m.load_state_dict(state)
        m.eval()
        res = {}
        with torch.no_grad():
            for src in sorted({u[5] for u in valid}):
                d = sorted((u for u in valid if u[5] == src), key=lambda u: u[2] - u[1])
                tot, fr, bad = 0.0, 0, 0
                for i in range(0, len(d), 32):
                    b = d[i : i + 32]
                    N = max(u[2] - u[1] for u in b) + 2 * 3200
                    x = bt.clean(
                        torch.tensor([u[1] for u in b], device=dev),
                        torch.tensor([u[2] - u[1] for u in b], device=dev),
                        N,
                    )
                    _, nu, de, ok = lfmmi.objective(m(x), lfmmi.pack([graph(u, False) for u in b]), A)
                    tot += (nu - de)[ok].sum()
                    fr += ok.sum() * (x.shape[1] // 3)
                    bad += (~ok).sum()
                res[src] = f"{tot / max(1, fr):.4f}" + (f" (bad {bad})" if bad else "")
        m.load_state_dict(was)
        return res

    opt = torch.optim.AdamW([q for q in m.parameters() if q.requires_grad], lr=a.lr, weight_decay=a.wd, betas=(0.9, 0.98))

    def save() -> None:
        torch.save(dict(state={k: v.cpu() for k, v in ema.items()}, args=vars(a), den=A), a.out + ".part")
        os.replace(a.out + ".part", a.out)

    acc: list[float] = []
    step, ep, nan, t1, saved = 0, 0, 0, time.time(), time.time()
    while True:
        frac = step / a.steps if a.steps else (time.time() - t1) / 60 / a.minutes
        if frac >= 1:
            break
        b = q.get()
        if isinstance(b, Exception):
            raise b
        if b is None:
            ep += 1
            if ep % 15 == 0:
                print(f"== epoch {ep} {(time.time() - t1) / 60:.1f} min, valid {evaluate(ema)}", flush=True)
            continue
        f, N, packed = b
        lr = a.lr * min(1, (step + 1) / a.warm) * (0.01 + 0.99 * 0.5 * (1 + math.cos(math.pi * frac)))
        for gp in opt.param_groups:
            gp["lr"] = lr
        m.train()
        fs = torch.from_numpy(f).to(dev)
        with torch.no_grad():
            x = bt.features(bt.augment(fs[:, 0].long(), fs[:, 1].long(), fs[:, 2].float(), fs[:, 3].float(), N, fs[:, 4] > 0))
        out = m(x)
        loss, nu, de, ok = lfmmi.objective(out, packed, A)
        n = out.shape[0] * out.shape[1]
        loss = loss / n + a.l2 * (out**2).mean()
        opt.zero_grad(set_to_none=True)
        loss.backward()
        gn = torch.nn.utils.clip_grad_norm_(m.parameters(), 2.0)
        if not torch.isfinite(gn):
            nan += 1
            if nan < 5 or nan % 100 == 0:
                print(
                    "not finite",
                    nan,
                    "features",
                    bool(torch.isfinite(x).all()),
                    "outputs",
                    bool(torch.isfinite(out).all()),
                    float(out.abs().max()),
                    flush=True,
                )
            step += 1
            continue
        opt.step()
        step += 1
        if time.time() - saved > 60 * a.save:
            saved = time.time()
            save()
        if step % 5 == 0:
            d = min(a.ema, (1 + step) / (20 + step)) ** 5
            with torch.no_grad():
                for k, v in m.state_dict().items():
                    if v.dtype.is_floating_point:
                        ema[k].lerp_(v, 1 - d)
                    else:
                        ema[k].copy_(v)
        if step in (1, 5) or step % 20 == 0 or a.limit:
            acc.append((nu - de)[ok].sum() / max(1, ok.sum() * out.shape[1]))
        if step in (5, 50) or step % a.report == 0:
            print(
                f"step {step} ep {ep} {(time.time() - t1) / 60:.2f} min  obj/frame {np.mean(acc[-25:] or [0]):.4f} lr {lr:.1e} "
                f"grad {float(gn):.2f} bad {int((~ok).sum())}/{len(ok)} queue {q.qsize()}",
                flush=True,
            )
    stop[0] = True
    print(f"== end: {step} steps, {ep} epochs, valid {evaluate(ema)}", flush=True)
    save()


if __name__ == "__main__":
    main()
