"""Reads pretrained encoder weights: a Whisper model as CTranslate2 stores it (one file, ``model.bin``) in, named arrays out.

The file, little-endian: version (u32), name of the kind (string), revision (u32), number of arrays (u32); each array: name, rank (u8),
sizes (u32 each), kind of number (u8), bytes (u32), values; then pairs of names that share one array.  A string is its length with a
closing zero byte (u16) and the bytes.
"""

from __future__ import annotations

import struct
from pathlib import Path

import numpy as np
import numpy.typing as npt

KINDS: dict[int, type[np.generic]] = {0: np.float32, 1: np.int8, 2: np.int16, 3: np.int32, 4: np.float16}

Arrays = dict[str, npt.NDArray[np.generic]]


class _Reader:
    """Walks over the bytes of a file."""

    def __init__(self, content: bytes) -> None:
        self.content, self.at = content, 0

    def number(self, kind: str) -> int:
        """The next whole number; ``kind`` as in struct."""
        (value,) = struct.unpack_from("<" + kind, self.content, self.at)
        self.at += struct.calcsize("<" + kind)
        return int(value)

    def text(self) -> str:
        size = self.number("H")
        self.at += size
        return self.content[self.at - size : self.at - 1].decode()

    def array(self) -> npt.NDArray[np.generic]:
        shape = [self.number("I") for _ in range(self.number("B"))]
        kind = self.number("B")
        if kind not in KINDS:
            raise ValueError(f"numbers of an unknown kind ({kind}): not a file of the form this reads")
        size = self.number("I")
        self.at += size
        return np.frombuffer(self.content[self.at - size : self.at], KINDS[kind]).reshape(shape)


def read(path: Path) -> Arrays:
    """All arrays of the file by name.  Raises ValueError or struct.error when it is none of the form above."""
    reader = _Reader(path.read_bytes())
    reader.number("I")
    reader.text()
    reader.number("I")
    found: Arrays = {}
    for _ in range(reader.number("I")):
        name = reader.text()
        found[name] = reader.array()
    for _ in range(reader.number("I")):
        alias, name = reader.text(), reader.text()
        found[alias] = found[name]
    return found


def encoder(path: Path) -> dict[str, npt.NDArray[np.float32]]:
    """The arrays of the encoder alone, without ``encoder/`` before their names.  Raises ValueError for 8-bit weights or none."""
    found = {name.removeprefix("encoder/"): array for name, array in read(path).items() if name.startswith("encoder/")}
    if not found:
        raise ValueError(f"no encoder in {path}")
    found = {name: array for name, array in found.items() if array.ndim}  # the rest are settings
    if any(array.dtype in (np.int8, np.int16) for array in found.values()):
        raise ValueError(f"{path} holds whole-number weights: take the one with 16- or 32-bit floats")
    return {name: array.astype(np.float32) for name, array in found.items()}
