"""An hour of site noise with nobody speaking: how often something is taken for a word of the job.

    python tests/bench/bench_noise.py [--minutes 60] [--noise FOLDER] [--model PATH]

The noise is made by `audio_fixtures/site_noise.py` (wind, generator, saw, hammer; none of it was trained on), or taken from the sound
files of a folder, a minute at a time, from faint to loud, and heard with the phrases of four states in turn.  Aim: nothing accepted.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "audio_fixtures"), str(ROOT)]

from site_noise import noise_bed  # noqa: E402
from talk import TO_REACH, Talk  # noqa: E402

from assistant.language.vocabulary import Stage  # noqa: E402
from assistant.speech.hearing import Hearing  # noqa: E402
from assistant.speech.models import find_model, second_ear  # noqa: E402
from assistant.speech.recogniser import Recogniser  # noqa: E402
from assistant.speech.secondear import SecondEar  # noqa: E402
from assistant.speech.wav import BLOCK, SAMPLE_RATE, read_wav  # noqa: E402

MINUTE = 60 * SAMPLE_RATE
LEVELS = (100.0, 300.0, 1000.0, 3000.0)
"""Root mean square of the noise in 16-bit steps."""


def recorded(folder: Path) -> NDArray[np.float64]:
    """All sound files of a folder, one behind the other."""
    files = sorted(path for path in folder.iterdir() if path.suffix in (".wav", ".flac", ".ogg", ".opus"))
    return np.concatenate([read_wav(path) for path in files]).astype(np.float64)


def main() -> None:
    """What was accepted, state by state."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--minutes", type=int, default=60)
    arguments.add_argument("--noise", type=Path, help="folder of recordings without speech")
    arguments.add_argument("--model")
    arguments.add_argument("--one-ear", action="store_true")
    given = arguments.parse_args()
    recogniser = Recogniser(find_model(given.model))
    hearing = Hearing(recogniser, lambda text: None, None if given.one_ear else SecondEar(second_ear()))
    real = None if given.noise is None else recorded(given.noise)
    stages = [stage for stage in TO_REACH if stage in (Stage.HUB, Stage.ASK, Stage.GAP, Stage.WALK)]
    accepted = {stage: list[str]() for stage in stages}
    asked = refused = 0
    for minute in range(given.minutes):
        stage, level = stages[minute % len(stages)], LEVELS[minute // len(stages) % len(LEVELS)]
        talk = Talk(*TO_REACH[stage])
        hearing.tune(talk.conversation.phrases(), talk.conversation.ending, talk.conversation.expected())
        noise = noise_bed(60.0, seed=7000 + minute) if real is None else np.resize(np.roll(real, -minute * MINUTE), MINUTE)
        noise = noise * (level / max(1e-9, float(np.sqrt(np.mean(np.square(noise))))))
        sound = np.clip(np.rint(noise), -32768, 32767).astype(np.int16)
        for start in range(0, len(sound), BLOCK):
            first = recogniser.feed(sound[start : start + BLOCK])
            heard = None if first is None else hearing.judged(first)
            if heard is not None and heard.words:
                asked += bool(heard.doubt)
                refused += not heard.understood
                if heard.understood and not heard.doubt:
                    accepted[stage].append(f"{' '.join(heard.words)} (at {level:g})")
    for stage, words in accepted.items():
        print(f"{stage.name.lower():6} accepted {len(words):3}", "; ".join(words[:8]))
    print(f"{given.minutes} minutes: {sum(map(len, accepted.values()))} accepted, {asked} asked about, {refused} refused")


if __name__ == "__main__":
    main()
