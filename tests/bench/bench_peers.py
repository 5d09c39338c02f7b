"""Our two ears, each alone and together, beside the other offline recognisers that come with an English model, on the same recordings.

Run as a script from the repository root, after pip install -e '.[peers]':
python tests/bench/bench_peers.py MANIFEST [--grammar FILE] [--decoys FILE] [--only NAME ...] [--json FILE]
The manifest and the grammar file are those of `evaluate` (models/build/devset.py makes a manifest).  Each recogniser runs
alone in a process of its own, so that its memory is its own; all hear the same phrases for each kind.  One that is not
installed is named and left out.  The peers' settings were chosen on part of the recordings that models.build.devset makes, on
which editions of our model were compared too: neither side is blind.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
import resource
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict, dataclass, replace
from importlib import metadata
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import numpy as np
from peers.free_text import Moonshine, Whisper
from peers.phonemes import Phonemes
from peers.sphinx import PocketSphinx, PocketSphinxLoop
from peers.whole import Peer, pronunciations

from assistant.speech import evaluate
from assistant.speech.models import find_model, second_ear
from assistant.speech.secondear import SecondEar
from assistant.speech.wav import SAMPLE_RATE

OURS = {"site-en": evaluate.FIRST, "second-ear": evaluate.SECOND, "both ears": evaluate.BOTH}
"""Our ears, and whose figures of `evaluate` are theirs."""
PEERS: dict[str, type[Peer]] = {peer.title: peer for peer in (PocketSphinx, PocketSphinxLoop, Phonemes, Moonshine, Whisper)}


@dataclass(frozen=True)
class Result:
    """One recogniser's figures."""

    name: str
    version: str
    setting: str
    """What was set otherwise than it comes."""
    report: evaluate.Report


def assess(name: str, args: argparse.Namespace) -> Result | str:
    """Scores one recogniser; why not, when it is not installed.  Call in a fresh process, for the sake of its memory."""
    if name in OURS:
        second = None if OURS[name] == evaluate.FIRST else SecondEar(second_ear())
        whole = evaluate.evaluate(find_model(), args.manifest, args.grammar, args.decoys, args.decoy_count, second=second)
        report = replace(whole, scores=tuple(score for score in whole.scores if score.ear == OURS[name]))
        versions = ", ".join(f"{package} {metadata.version(package)}" for package in ("vosk", "onnxruntime"))
        return Result(name, versions, f"{args.decoy_count} decoys", report)
    items = evaluate.read_manifest(args.manifest)
    listed = json.loads(args.grammar.read_text(encoding="utf-8")) if args.grammar else {}
    grammars = evaluate.grammars(items, listed, args.decoys.read_text(encoding="utf-8").split()[: args.decoy_count])
    pronunciations("zero")  # our word list is read before the clock runs
    started = time.perf_counter()
    try:
        peer = PEERS[name]()
        version = f"{peer.package} {metadata.version(peer.package)}"
    except ImportError as missing:
        return f"{name}: left out, {missing}"
    peer.listen_for(next(iter(grammars.values())))
    peer.feed(np.zeros(SAMPLE_RATE, np.int16))
    peer.flush()
    load = time.perf_counter() - started
    heard = [evaluate.listen(peer, item, grammars[item.kind]) for item in sorted(items, key=lambda one: one.kind)]
    size = sum(file.stat().st_size for file in peer.files) / 1e6
    resident = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    report = evaluate.Report(name, round(size, 1), round(load, 3), round(resident, 1), evaluate.score(heard))
    return Result(name, version, peer.tuned, report)


def side_by_side(results: list[Result]) -> str:
    """One line for each kind and noise, one column for each recogniser: percent right, or percent wrongly accepted."""
    width = max(len(result.name) for result in results) + 2
    lines = [f"{'percent right':22} {'snr':>6} {'n':>5}" + "".join(f"{result.name:>{width}}" for result in results)]
    for scores in zip(*(result.report.scores for result in results), strict=True):
        first = scores[0]
        name = first.kind + (" (accepted)" if first.refusal else "")
        lines.append(f"{name:22} {first.snr:>6} {first.count:5}" + "".join(f"{s.percent:{width}.1f}" for s in scores))
    return "\n".join(lines)


def main(args: argparse.Namespace) -> None:
    """Scores ours, then each peer, and prints the tables."""
    results = []
    for name in args.only or [*OURS, *PEERS]:
        with ProcessPoolExecutor(1, multiprocessing.get_context("spawn")) as alone:
            result = alone.submit(assess, name, args).result()
        if isinstance(result, str):
            print(result, end="\n\n", flush=True)
            continue
        results.append(result)
        print(f"{result.name}: {result.version}; {result.setting}\n{evaluate.table(result.report)}\n", flush=True)
    if results:
        print(side_by_side(results))
    if args.json:
        args.json.write_text(json.dumps([asdict(result) for result in results], indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description="score our model and its peers on the same recordings")
    parser.add_argument("manifest", type=Path, help="tab-separated: path, transcript, kind, speaker, snr_db")
    parser.add_argument("--grammar", type=Path, help="JSON: phrases to listen for, for each kind")
    parser.add_argument("--decoys", type=Path, default=find_model() / "decoys.txt", help="ordinary words listed beside the grammar")
    parser.add_argument("--decoy-count", type=int, default=150, help="how many of them (%(default)s)")
    parser.add_argument("--only", nargs="+", choices=[*OURS, *PEERS], help="these alone")
    parser.add_argument("--json", type=Path, help="write the figures here as well")
    main(parser.parse_args())
