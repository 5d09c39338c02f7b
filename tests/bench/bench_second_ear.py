"""What the second ear costs on this machine: network and search for three seconds of sound, at each point of a conversation.

    python tests/bench/bench_second_ear.py [--pieces 12]

The sound is the bundled recordings, quiet and with the site, in pieces of three seconds; times are of one core (processor seconds).
"First" is the first piece at a point, when its graph is made; the others find it kept.  Target: search of 3 s within 40 ms.
"""

from __future__ import annotations

import argparse
import resource
import sys
import time
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from assistant.language.expecting import Expected  # noqa: E402
from assistant.language.understanding import Wants  # noqa: E402
from assistant.language.vocabulary import Stage  # noqa: E402
from assistant.setout.lengths import Unit  # noqa: E402
from assistant.speech.models import data_dir, find_model, second_ear  # noqa: E402
from assistant.speech.readings import opinion  # noqa: E402
from assistant.speech.secondear import SecondEar  # noqa: E402
from assistant.speech.wav import SAMPLE_RATE, read_wav  # noqa: E402

SECONDS = 3.0
DECOYS = 150
POINTS = {
    "opening, mm": Expected(Stage.ASK, Wants.LENGTH, Unit.MM),
    "opening, inches": Expected(Stage.ASK, Wants.LENGTH, Unit.INCH),
    "between bays, mm": Expected(Stage.HUB, Wants.LENGTH, Unit.MM),
    "between bays, inches": Expected(Stage.HUB, Wants.LENGTH, Unit.INCH),
    "marking": Expected(Stage.WALK, Wants.LENGTH, Unit.MM),
}


def main() -> None:
    """Print one line for each point."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--pieces", type=int, default=12, help="pieces of sound at each point (%(default)s)")
    pieces_wanted = parser.parse_args().pieces
    begun = time.process_time()
    ear = SecondEar(second_ear())
    print(f"loaded in {time.process_time() - begun:.2f} s")
    decoys = tuple((find_model() / "decoys.txt").read_text(encoding="utf-8").split()[:DECOYS])
    size = round(SECONDS * SAMPLE_RATE)
    whole = np.concatenate([read_wav(data_dir("audio_fixtures", "phrases", name)) for name in ("job.flac", "site.flac")])
    pieces = [whole[at : at + size] for at in range(0, len(whole) - size, size)][:: max(1, len(whole) // size // pieces_wanted)]
    frames, network = [], []
    for piece in pieces:
        begun = time.process_time()
        frames.append(ear.posteriors(piece))
        network.append(time.process_time() - begun)
    print(f"network, {SECONDS:g} s: {1000 * np.median(network):.1f} ms (median of {len(network)})")
    print(f"{'search, ms':24}{'first':>8}{'median':>8}{'95 %':>8}{'most':>8}{'states':>8}")
    for name, at in POINTS.items():
        begun = time.process_time()
        used = at.graph.words()
        sounds = ear.sounds(at.graph, tuple(word for word in decoys if word not in used))
        taken = []
        for piece in frames:
            opinion(piece, sounds, at, decoys)
            taken.append(1000 * (time.process_time() - begun))
            begun = time.process_time()
        rest = np.array(taken[1:])
        print(f"{name:24}{taken[0]:8.1f}{np.median(rest):8.1f}{np.percentile(rest, 95):8.1f}{rest.max():8.1f}{sounds.states:8}")
    print(f"{resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB resident")


if __name__ == "__main__":
    main()
