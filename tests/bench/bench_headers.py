"""Spoilt headers of sound files: each file is read or refused in words, soon and without much memory.

Run as a script from the repository root: python tests/bench/bench_headers.py [SEED] [COUNT]
Sound files of eight kinds, each with some bytes of its first hundred replaced, or cut off.  Read means samples of the one form that is
used inside; refused means AudioError.  Anything else is printed and makes the exit status 1.  Says the slowest file and the memory at
most.
"""

from __future__ import annotations

import resource
import sys
import tempfile
from collections import Counter
from pathlib import Path
from random import Random
from time import perf_counter

import numpy as np
import soundfile

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from assistant.errors import AudioError
from assistant.speech.wav import SAMPLE_RATE, read_wav

KINDS = ("WAV", "FLAC", "AIFF", "AU", "W64", "CAF", "OGG", "RF64")
HEAD = 100
"""Bytes that are spoilt."""
MOST_SECONDS = 5.0
"""For one file of a tenth of a second; more is called broken."""


def sound_files(folder: Path) -> dict[str, bytes]:
    """A tenth of a second of tone as a file of each kind."""
    tone = np.sin(np.arange(SAMPLE_RATE // 10) / 5) / 2
    found = {}
    for kind in KINDS:
        path = folder / f"sound.{kind.lower()}"
        soundfile.write(path, np.column_stack([tone, tone]), SAMPLE_RATE, format=kind)
        found[kind] = path.read_bytes()
    return found


def spoilt(content: bytes, random: Random) -> bytes:
    """The file with a damaged beginning."""
    damaged = bytearray(content)
    for _ in range(random.choice((1, 2, 4, 16))):
        damaged[random.randrange(min(HEAD, len(damaged)))] = random.choice((0, 255, random.randrange(256)))
    if random.random() < 0.1:
        del damaged[random.randrange(len(damaged)) :]
    return bytes(damaged)


def main(seed: int, count: int) -> int:
    """Print how often each outcome came; the exit status."""
    random, found, slowest = Random(seed), Counter[str](), (0.0, "")
    with tempfile.TemporaryDirectory() as name:
        sounds = sound_files(Path(name))
        for number in range(count):
            kind = random.choice(KINDS)
            path = Path(name) / f"spoilt.{kind.lower()}"
            path.write_bytes(spoilt(sounds[kind], random))
            start = perf_counter()
            try:
                samples = read_wav(path)
                result = "read" if samples.dtype == np.int16 and samples.ndim == 1 and len(samples) else "broken: no samples"
            except AudioError as error:
                result = "refused in words" if str(error) else "broken: refused without a word"
            except BaseException as error:
                result = f"broken: {type(error).__name__}"
                print(f"file {number}, {kind}: {error!r}")
            took = perf_counter() - start
            if took > MOST_SECONDS:
                result = "broken: too slow"
            slowest = max(slowest, (took, f"{number}, {kind}"))
            found[result] += 1
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"seed {seed}: {count} files, slowest {slowest[0] * 1e3:.0f} ms ({slowest[1]}), at most {memory:.0f} MiB in memory")
    for result, times in found.most_common():
        print(f"{times:7d}  {result}")
    return int(any(result.startswith("broken") for result in found))


if __name__ == "__main__":
    sys.exit(main(*(int(word) for word in (sys.argv[1:] + ["1", "20000"][len(sys.argv) - 1 :]))))
