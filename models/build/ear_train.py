"""Trains the second ear: CTC on phonemes over a pretrained encoder, everything augmented anew in each pass.

usage: python -m models.build.ear_train INDEX.json BEGIN OUT.pt --audio DIR [DIR ...] --noise DIR --rir DIR [--steps N] ...
INDEX.json is what models.build.prepare writes; BEGIN holds pretrained weights (CTranslate2) or is a checkpoint (.pt) to train on from.
The learning rate rises for --warm steps, then falls in a cosine to nothing at --steps, or, where time is limited, when --minutes
have passed since the beginning.  What is saved is an exponential average of the weights, with the arguments, the seed and the versions
of the packages.  Runs on one GPU; on a CPU only to see whether it runs (--limit).
"""

from __future__ import annotations

import argparse
import itertools
import json
import math
import os
import platform
import queue
import random
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import torch
import torch.nn.functional as F
from torch import Tensor

from . import ear_net, gpu, train
from .ear_net import NUMBER, Ear

SR = 16000
HUMAN = ("sc", "cat", "digits", "spell")
"""Sources whose share --human multiplies: words, numbers and letters said by people."""
LEAST, MOST = SR * 3 // 10, 16 * SR
"""Samples of an item that is used."""
KOKORO_ASIDE = 100
"""Every so many-eth clip of the largest synthetic source is kept for the figures during training (its speakers are not)."""


@dataclass(frozen=True, slots=True)
class Utterance:
    """Where in the store it lies (samples), what is said, where it comes from."""

    start: int
    length: int
    words: tuple[str, ...]
    source: str
    kind: str


@dataclass(frozen=True, slots=True)
class Item:
    """An utterance as it is used once: how fast, after how many samples of silence, and the samples it then needs."""

    utterance: Utterance
    speed: float
    lead: int
    total: int


@dataclass(frozen=True, slots=True)
class Batch:
    """Rows (start, length, speed, lead, whether silent), samples of each row, targets one after another and the length of each."""

    rows: npt.NDArray[np.float64]
    samples: int
    targets: list[int]
    sizes: list[int]


Store = npt.NDArray[np.int16]
Lexicon = dict[str, list[list[str]]]


def phonemes(words: tuple[str, ...], lexicon: Lexicon, rnd: random.Random) -> list[int]:
    """Output numbers of the words, each in one of its pronunciations."""
    return [NUMBER[phone] for word in words for phone in rnd.choice(lexicon[word]) if phone in NUMBER]


def prepared(index: dict[str, Any], folders: list[str], joined: int, rnd: random.Random) -> tuple[Store, list[Utterance]]:
    """All speech in one array and what lies where in it: the index, words of people joined to strings, and silences."""
    audio, off = train.load_audio(folders)
    raw = [[u[0], off[u[0]] + u[1], off[u[0]] + u[2], *u[3:]] for u in index["utts"] if u[0] in off]
    raw = [u for u in raw if u[4] != "garbage" and not {"<oov>", "<unk>"} & set(u[3])]
    found = [Utterance(u[1], u[2] - u[1], tuple(u[3]), u[5], u[4]) for u in raw]
    extra, at = [], len(audio)
    for sound, words in train.joined_words(raw, audio, joined, rnd):
        found.append(Utterance(at, len(sound), tuple(words), "cat", "domain"))
        extra.append(sound)
        at += len(sound)
    for number in range(1000):  # silence; noise comes from the augmentation
        found.append(Utterance(at, SR + 48 * number, (), "noise", "domain"))
    extra.append(np.random.default_rng(0).integers(-3, 4, SR + 48 * 1000 + 10).astype(np.int16))
    return np.concatenate([audio, *extra]), found


def set_aside(found: list[Utterance]) -> tuple[list[Utterance], list[Utterance]]:
    """(to train on, to measure with): speakers that prepare has set aside, and a few clips of the largest synthetic source."""
    few = set([id(u) for u in found if u.source == "kokoro"][::KOKORO_ASIDE])
    measured = [u for u in found if u.source.startswith("dev_") or id(u) in few]
    out = {id(u) for u in measured}
    return [u for u in found if id(u) not in out], measured


def times_used(utterance: Utterance, human: float, domain: float, rnd: random.Random) -> int:
    """How often an utterance is used in one pass, by its source; fractions by chance."""
    digit = utterance.source == "sc" and utterance.words[0] in train.DIGITS
    share = train.REPEAT["scdigit" if digit else utterance.source]
    if utterance.source in HUMAN:
        share *= human
    elif utterance.kind == "domain" and utterance.words:
        share *= domain
    return int(share) + (rnd.random() < share % 1)


def one_pass(found: list[Utterance], seconds: float, human: float, domain: float, rnd: random.Random) -> list[list[Item]]:
    """Batches of at most so many seconds with their padding, similar lengths together, in random order."""
    items = []
    for utterance in found:
        if utterance.length > MOST:
            continue
        for _ in range(times_used(utterance, human, domain, rnd)):
            speed = math.exp(rnd.uniform(-0.14, 0.16)) if rnd.random() < 0.8 else 1.0
            lead, tail = int(rnd.uniform(0, 0.45) * SR), int(rnd.uniform(0, 0.45) * SR)
            item = Item(utterance, speed, lead, int(utterance.length / speed) + lead + tail)
            if item.total >= LEAST:
                items.append(item)
    return batches(items, seconds, rnd)


def room(samples: int) -> int:
    """The least length of a batch that holds so many samples: one of a few, since each new shape costs a GPU library its preparations.

    All give an even number of frames.
    """
    size = float(SR // 2)
    while size < samples:
        size *= 1.08
    return -(-int(size) // 320) * 320


def batches(items: list[Item], seconds: float, rnd: random.Random) -> list[list[Item]]:
    """Items of nearly one length together, in random order; what is left of a length goes to the next longer one."""
    rnd.shuffle(items)
    items.sort(key=lambda item: room(item.total))
    out: list[list[Item]] = []
    left: list[Item] = []
    for size, same in itertools.groupby(items, key=lambda item: room(item.total)):
        left += same
        count = max(1, int(seconds * SR / size))
        while len(left) >= count:
            out.append(left[:count])
            left = left[count:]
    if left:
        out.append(left)
    rnd.shuffle(out)
    return out


def packed(items: list[Item], lexicon: Lexicon, rnd: random.Random) -> Batch:
    """Numbers of a batch, for rows that hold its longest item."""
    samples = room(max(item.total for item in items))
    rows = [(i.utterance.start, i.utterance.length, i.speed, i.lead, i.utterance.source == "noise") for i in items]
    targets = [phonemes(item.utterance.words, lexicon, rnd) for item in items]
    return Batch(np.array(rows, np.float64), samples, [number for t in targets for number in t], [len(t) for t in targets])


class Feeder:
    """Makes batches in a thread of its own, pass after pass, until stopped; an error there is raised where they are taken."""

    def __init__(self, found: list[Utterance], lexicon: Lexicon, seconds: float, human: float, domain: float, seed: int) -> None:
        self.found, self.lexicon, self.rnd = found, lexicon, random.Random(seed)
        self.seconds, self.human, self.domain = seconds, human, domain
        self.passes, self.stopped = 0, False
        self.made: queue.Queue[Batch | Exception] = queue.Queue(8)
        threading.Thread(target=self._work, daemon=True).start()

    def _work(self) -> None:
        try:
            while not self.stopped:
                for items in one_pass(self.found, self.seconds, self.human, self.domain, self.rnd):
                    if self.stopped:
                        return
                    self.made.put(packed(items, self.lexicon, self.rnd))
                self.passes += 1
        except Exception as error:
            self.made.put(error)

    def __iter__(self) -> Iterator[Batch]:
        while True:
            made = self.made.get()
            if isinstance(made, Exception):
                raise made
            yield made


def spoken(outputs: Tensor) -> list[int]:
    """The best free path of one utterance (rows, outputs) as phonemes: repeats joined, blanks left out."""
    best = [number for number, _ in itertools.groupby(outputs.argmax(-1).tolist())]
    return [number for number in best if number]


def distance(heard: list[int], meant: list[int]) -> int:
    """Fewest phonemes to change, drop or put in."""
    row = list(range(len(meant) + 1))
    for i, x in enumerate(heard, 1):
        last, row[0] = row[0], i
        for j, y in enumerate(meant, 1):
            last, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, last + (x != y))
    return row[-1]


class Measure:
    """Phoneme errors in percent on utterances set aside, by source, without noise; the nearest of six random readings counts."""

    def __init__(self, found: list[Utterance], lexicon: Lexicon, batcher: gpu.Batcher, mel: ear_net.Mel, device: str) -> None:
        self.found, self.lexicon, self.batcher, self.mel, self.device = found, lexicon, batcher, mel, device

    def heard(self, ear: Ear, group: list[Utterance]) -> list[list[int]]:
        starts = torch.tensor([u.start for u in group], device=self.device)
        lengths = torch.tensor([u.length for u in group], device=self.device)
        same, lead = torch.ones(len(group), device=self.device), torch.full((len(group),), 3200.0, device=self.device)
        samples = (int(lengths.max()) + 6400 + 319) // 320 * 320
        with torch.no_grad():
            frames = ear_net.scaled(self.mel(self.batcher.cut(starts, lengths, same, lead, samples)))
            with torch.autocast(self.device, torch.bfloat16):
                out = ear(frames)
        return [spoken(row.float()) for row in out]

    def of(self, ear: Ear, weights: dict[str, Tensor]) -> dict[str, float]:
        """With other weights for the while."""
        kept = {name: values.clone() for name, values in ear.state_dict().items()}
        ear.load_state_dict(weights)
        ear.eval()
        rnd, out = random.Random(0), {}
        for source in sorted({u.source for u in self.found}):
            ours = sorted((u for u in self.found if u.source == source), key=lambda u: u.length)
            wrong = said = 0
            for at in range(0, len(ours), 64):
                group = ours[at : at + 64]
                for utterance, heard in zip(group, self.heard(ear, group), strict=True):
                    readings = [phonemes(utterance.words, self.lexicon, rnd) for _ in range(6)]
                    wrong += min(distance(heard, reading) for reading in readings)
                    said += max(1, len(readings[0]))
            out[source] = round(100 * wrong / said, 2)
        ear.load_state_dict(kept)
        ear.train()
        return out


def groups(ear: Ear, rate: float, head_rate: float, decay: float, weight_decay: float) -> list[dict[str, Any]]:
    """Parameters with their highest learning rate: the output layer's own, the encoder's lower by ``decay`` a layer downwards."""
    top, out = len(ear.blocks) - 1, []
    for name, values in ear.named_parameters():
        layer = int(name.split(".")[1]) if name.startswith("blocks.") else top if name.startswith("n.") else 0
        base = head_rate if name.startswith("head.") else rate * decay ** (top - layer)
        out.append({"params": [values], "base": base, "weight_decay": weight_decay if values.ndim > 1 else 0.0})
    return out


def follow(average: dict[str, Tensor], state: dict[str, Tensor], share: float) -> None:
    """Moves the average a little towards the weights of now."""
    with torch.no_grad():
        for name, values in state.items():
            average[name].lerp_(values, share)


def save(path: Path, average: dict[str, Tensor], note: dict[str, Any]) -> None:
    """16-bit weights and how they came about."""
    part = path.with_suffix(".part")
    torch.save({"state": {name: values.half().cpu() for name, values in average.items()}, "note": note}, part)
    os.replace(part, path)


def arguments() -> argparse.Namespace:
    p = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    p.add_argument("index", type=Path)
    p.add_argument("begin", type=Path)
    p.add_argument("out", type=Path)
    p.add_argument("--audio", nargs="+", required=True)
    p.add_argument("--noise", required=True)
    p.add_argument("--rir", required=True)
    p.add_argument("--steps", type=int, default=6000)
    p.add_argument("--minutes", type=float, help="end so long after the beginning, loading counted, instead of at --steps")
    p.add_argument("--warm", type=int, default=400)
    p.add_argument("--seconds", type=float, default=320, help="of sound in a batch, padding counted")
    p.add_argument("--rate", type=float, default=1e-4, help="highest learning rate of the encoder's last layer")
    p.add_argument("--head-rate", type=float, default=1e-3)
    p.add_argument("--decay", type=float, default=0.9, help="of the learning rate from one layer to the one below")
    p.add_argument("--weight-decay", type=float, default=1e-2)
    p.add_argument("--drop", type=float, default=0.1)
    p.add_argument("--average", type=float, default=0.999, help="of the averaged weights kept from step to step")
    p.add_argument("--human", type=float, default=1.5, help="multiplies the share of words and numbers said by people")
    p.add_argument("--domain", type=float, default=1.5, help="multiplies the share of other utterances of the job")
    p.add_argument("--joined", type=int, default=12000, help="strings put together from single words of people")
    p.add_argument("--seed", type=int, default=0)
    p.add_argument("--limit", type=int, default=0, help="take few utterances, to see whether it runs")
    p.add_argument("--report", type=int, default=500, help="steps between two reports")
    p.add_argument("--measure", type=int, default=3000, help="steps between two measurements, each of which saves")
    return p.parse_args()


def main() -> None:
    """Trains and saves."""
    a = arguments()
    began = started = time.time()
    device = "cuda" if torch.cuda.is_available() else "cpu"
    torch.manual_seed(a.seed)
    torch.backends.cuda.matmul.allow_tf32 = True
    rnd = random.Random(a.seed)
    index = json.loads(a.index.read_text(encoding="utf-8"))
    lexicon: Lexicon = index["lex"]
    if a.limit:
        index["utts"] = rnd.sample(index["utts"], a.limit)
    audio, found = prepared(index, a.audio, 20 if a.limit else a.joined, rnd)
    used, measured = set_aside(found)
    noise, clips = train.load_noise(a.noise)
    rooms = torch.tensor(train.load_rooms(a.rir), device=device)
    batcher = gpu.Batcher(torch.from_numpy(audio).to(device), torch.from_numpy(noise).to(device), clips, rooms, device, a.seed)
    mel = ear_net.Mel(batcher.alphas).to(device)
    ear = ear_net.begun(a.begin, a.drop).to(device)
    ear.train()
    measure = Measure(measured, lexicon, batcher, mel, device)
    average = {name: values.detach().clone() for name, values in ear.state_dict().items()}
    optimiser = torch.optim.AdamW(groups(ear, a.rate, a.head_rate, a.decay, a.weight_decay), lr=a.rate, betas=(0.9, 0.98))
    note = {
        "arguments": {name: str(value) for name, value in vars(a).items()},
        "versions": {"python": platform.python_version(), "torch": torch.__version__, "numpy": np.__version__},
        "utterances": len(used),
        "hours": round(sum(u.length for u in used) / SR / 3600, 2),
    }
    weights = sum(values.numel() for values in ear.parameters())
    print(f"{device}: {note['hours']} h, {len(used)} utterances, {weights / 1e6:.1f} M weights, {time.time() - began:.0f} s", flush=True)
    began, losses = time.time(), []
    feeder = Feeder(used, lexicon, a.seconds, a.human, a.domain, a.seed)
    for step, batch in enumerate(feeder, 1):
        done = min(1.0, (time.time() - started) / (60 * a.minutes) if a.minutes else step / a.steps)
        share = min(1.0, step / a.warm) * (0.01 + 0.99 * 0.5 * (1 + math.cos(math.pi * done)))
        for group in optimiser.param_groups:
            group["lr"] = group["base"] * share
        rows = torch.from_numpy(batch.rows).to(device)
        place, length, speed, lead = rows[:, 0].long(), rows[:, 1].long(), rows[:, 2].float(), rows[:, 3].float()
        with torch.no_grad():
            sound = batcher.augment(place, length, speed, lead, batch.samples, rows[:, 4] > 0) / 32768
            warp = torch.randint(len(batcher.alphas), (len(sound),), generator=batcher.g, device=device)
            frames = ear_net.scaled(batcher.masks(mel(sound, warp)))
        with torch.autocast(device, torch.bfloat16):
            out = ear(frames)
        scores = out.float().log_softmax(-1).transpose(0, 1)
        full = torch.full((scores.shape[1],), scores.shape[0], dtype=torch.long)
        targets, sizes = torch.tensor(batch.targets or [1], device=device), torch.tensor(batch.sizes)
        loss = F.ctc_loss(scores, targets, full, sizes, zero_infinity=True, reduction="sum") / (scores.shape[0] * scores.shape[1])
        optimiser.zero_grad(set_to_none=True)
        loss.backward()
        steep = torch.nn.utils.clip_grad_norm_(ear.parameters(), 1.0)
        if not torch.isfinite(steep):
            print("not finite at step", step, flush=True)
            optimiser.zero_grad(set_to_none=True)
        optimiser.step()
        if step % 5 == 0:
            follow(average, ear.state_dict(), 1 - min(a.average, (1 + step) / (20 + step)) ** 5)
        if step % 20 == 0:
            losses.append(float(loss.detach()))
        if step in (20, 100) or step % a.report == 0:
            pace = step / (time.time() - began)
            print(
                f"step {step} pass {feeder.passes} {pace:.1f} a second, loss {np.mean(losses[-25:]):.4f} "
                f"slope {float(steep):.2f} waiting {feeder.made.qsize()}",
                flush=True,
            )
        if step % a.measure == 0 or done == 1:
            save(a.out, average, {**note, "step": step, "passes": feeder.passes})
            print(f"== step {step}, {feeder.passes} passes, phoneme errors in percent {measure.of(ear, average)}", flush=True)
        if done == 1:
            break
    feeder.stopped = True


if __name__ == "__main__":
    main()
