"""Spoilt headers of sound files: each file is read or refused in words, soon and without much memory.

Run as a script from the repository root: python tests/bench/bench_headers.py [SEED] [COUNT] [--workers N]
Sound files of eight kinds, each with some bytes of its first hundred replaced, or cut off.  Read means samples of the one form that is
used inside; refused means AudioError.  Anything else, more than MOST_SECONDS for one file, or more than MOST_MEMORY is printed and
makes the exit status 1.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from random import Random
from time import perf_counter

import numpy as np
import soundfile
from tries import Tally, memory_used, options, tried

from assistant.errors import AudioError
from assistant.speech.wav import SAMPLE_RATE, read_wav

KINDS = ("WAV", "FLAC", "AIFF", "AU", "W64", "CAF", "OGG", "RF64")
HEAD = 100
"""Bytes that are spoilt."""
BLOCK = 500
MOST_SECONDS = 5.0
"""For one file of a tenth of a second."""
MOST_MEMORY = 1000
"""MiB."""


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


def headers_read(random: Random, count: int) -> Tally:
    """That many spoilt files."""
    tally = Tally()
    with tempfile.TemporaryDirectory() as name:
        sounds = sound_files(Path(name))
        for _ in range(count):
            kind = random.choice(KINDS)
            path = Path(name) / f"spoilt.{kind.lower()}"
            content = spoilt(sounds[kind], random)
            path.write_bytes(content)
            start = perf_counter()
            try:
                samples = read_wav(path)
                result = "read" if samples.dtype == np.int16 and samples.ndim == 1 and len(samples) else "broken: no samples"
            except AudioError as error:
                result = "refused in words" if str(error) else "broken: refused without a word"
            except BaseException as error:
                result = f"broken: {error!r}"
            took = perf_counter() - start
            if took > MOST_SECONDS:
                result = "broken: too slow"
            elif memory_used() > MOST_MEMORY:
                result = "broken: too much memory"
            tally.add(result, took, what=f"{kind} {content[:HEAD].hex()}")
    return tally


if __name__ == "__main__":
    sys.exit(tried(headers_read, options(__doc__, 20_000), BLOCK))
