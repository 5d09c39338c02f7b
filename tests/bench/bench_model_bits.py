"""Single bits of the models flipped: each must be refused when the model is loaded, by its list of checksums.

Run as a script from the repository root: python tests/bench/bench_model_bits.py [SEED] [COUNT] [--workers N]
Works on copies of both models.  Half of the flips fall on a file of either model with the same chance for each file, so that small ones are
hit too, half on a byte of either with the same chance for each byte.  One that is loaded is printed and makes the exit status 1.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path
from random import Random

from tries import Tally, options, tried

from assistant.errors import ModelError
from assistant.speech.models import SUMS, check_sums, data_dir, second_ear

BLOCK = 50


def listed(folder: Path) -> list[Path]:
    """The files whose checksums the model's list holds."""
    return [folder / line.split(maxsplit=1)[1] for line in (folder / SUMS).read_text(encoding="utf-8").splitlines()]


def flip(path: Path, at: int, bit: int) -> None:
    """Turn one bit round; again, and it is as it was."""
    with path.open("r+b") as file:
        file.seek(at)
        byte = file.read(1)[0]
        file.seek(at)
        file.write(bytes([byte ^ 1 << bit]))


def refused(folder: Path) -> bool:
    """Whether the model is not loaded."""
    try:
        check_sums(folder)
    except ModelError:
        return True
    return False


def bits_flipped(random: Random, count: int) -> Tally:
    """That many bits, one by one."""
    tally = Tally()
    with tempfile.TemporaryDirectory() as name:
        folders = [Path(shutil.copytree(source, Path(name) / source.name)) for source in (data_dir("models", "site-en"), second_ear())]
        for folder in folders:
            check_sums(folder)
        files = [(folder, path) for folder in folders for path in listed(folder)]
        sizes = [path.stat().st_size for _, path in files]
        for number in range(count):
            folder, path = random.choice(files) if number % 2 else random.choices(files, sizes)[0]
            at, bit = random.randrange(path.stat().st_size), random.randrange(8)
            flip(path, at, bit)
            file = path.relative_to(name)
            tally.add(f"refused: {file}" if refused(folder) else "broken: loaded", what=f"{file}, byte {at}, bit {bit}")
            flip(path, at, bit)
    return tally


if __name__ == "__main__":
    sys.exit(tried(bits_flipped, options(__doc__, 500), BLOCK))
