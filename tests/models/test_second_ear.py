"""The second ear as it is shipped: whole, of one mind with its lists of phonemes, fed with the frames it was trained on."""

from __future__ import annotations

import hashlib
import struct
from pathlib import Path

import numpy as np
import onnxruntime
import pytest
from numpy.typing import NDArray
from scipy.signal import get_window

from assistant.language.listening import vocabulary_words
from assistant.speech.mel import log_mel
from models.build.ear_mel import mel_bank
from models.build.ear_weights import encoder
from models.build.phones import ARPA

FOLDER = Path(__file__).parents[2] / "models" / "second-ear"
LARGEST_MB = 27
"""Our own limit; no source."""


def phones() -> list[str]:
    return (FOLDER / "phones.txt").read_text(encoding="utf-8").split()


def lexicon() -> list[list[str]]:
    return [line.split() for line in (FOLDER / "lexicon.txt").read_text(encoding="utf-8").splitlines()]


def corners() -> NDArray[np.float64]:
    """Where the 80 filters begin, peak and end, in hertz: equal steps of 200/3 Hz up to 1 kHz, then of 6.4 ** (1 / 27)."""
    top = 15 + 27 * np.log(8) / np.log(6.4)
    steps = np.linspace(0, top, 82)
    return np.array([step * 200 / 3 if step < 15 else 1000 * 6.4 ** ((step - 15) / 27) for step in steps])


def filters() -> NDArray[np.float64]:
    """The bank another way: each triangle drawn through its three corners, of the area it would have in hertz."""
    hertz, edges = np.linspace(0, 8000, 201), corners()
    drawn = [np.interp(hertz, edges[at : at + 3], [0, 2 / (edges[at + 2] - edges[at]), 0], left=0, right=0) for at in range(80)]
    return np.stack(drawn, axis=1)


def frames_by_the_sum(sound: NDArray[np.float64]) -> NDArray[np.float64]:
    """Log-mel frames by the plain Fourier sum, one frame at a time, in double precision."""
    whole = np.pad(np.pad(sound, (0, -len(sound) % 320)), 200, mode="reflect")
    wave = np.exp(-2j * np.pi * np.outer(np.arange(201), np.arange(400)) / 400)
    cut = [whole[start : start + 400] * get_window("hann", 400) for start in range(0, len(whole) - 400, 160)]
    powers = np.array([np.abs(wave @ frame) ** 2 for frame in cut])
    logs = np.log10(np.maximum(powers @ filters(), 1e-10))
    return np.asarray((np.maximum(logs, logs.max() - 8) + 4) / 4)


def test_every_file_but_the_card_is_listed_and_is_what_the_list_says() -> None:
    lines = [line.split() for line in (FOLDER / "SHA256SUMS").read_text(encoding="utf-8").splitlines()]
    listed = {name: digest for digest, name in lines}
    there = {file.name for file in FOLDER.iterdir()} - {"README.md", "SHA256SUMS"}
    assert set(listed) == there
    assert {name: hashlib.sha256((FOLDER / name).read_bytes()).hexdigest() for name in there} == listed


def test_it_is_small() -> None:
    assert sum(file.stat().st_size for file in FOLDER.iterdir()) <= LARGEST_MB * 1e6


def test_its_outputs_are_the_blank_and_the_phonemes_of_the_first_ear() -> None:
    assert phones() == ["<blank>", *ARPA]


def test_its_lexicon_is_said_in_its_phonemes_and_holds_every_word_of_the_dialogue() -> None:
    assert {phone for _, *pronunciation in lexicon() for phone in pronunciation} == set(phones()) - {"<blank>"}
    assert vocabulary_words() - {word for word, *_ in lexicon()} == set()


@pytest.mark.parametrize("frames", [20, 300])
def test_two_frames_give_one_row_of_as_many_outputs_as_there_are_names(frames: int) -> None:
    session = onnxruntime.InferenceSession(str(FOLDER / "ear.onnx"), providers=["CPUExecutionProvider"])
    (y,) = session.run(["y"], {"mel": np.zeros((2, frames, 80), np.float32)})
    assert y.shape == (2, frames // 2, len(phones()))


@pytest.mark.parametrize("length", [3200, 4001, 15999])
def test_the_frames_it_is_fed_are_those_of_the_plain_sum(length: int) -> None:
    loud = np.random.default_rng(length).normal(0, 3000, length) * np.hanning(length) ** 3
    sound = np.rint(loud).astype(np.int16)
    ours, meant = log_mel(sound), frames_by_the_sum(sound / 32768)
    assert ours.shape == meant.shape
    assert len(ours) % 2 == 0
    assert np.abs(ours - meant).max() < 1e-3


def test_it_was_trained_with_the_same_filters() -> None:
    assert np.abs(mel_bank() - filters()).max() < 1e-6


def test_a_warp_above_one_moves_the_filters_up_and_one_below_moves_them_down() -> None:
    hertz = np.linspace(0, 8000, 201)

    def middles(warp: float) -> NDArray[np.float64]:
        bank = mel_bank(warp)
        return np.asarray((hertz @ bank / np.maximum(bank.sum(0), 1e-9))[20:70])

    assert (middles(1.1) > middles(1.0)).all()
    assert (middles(0.9) < middles(1.0)).all()


def pretrained_file(path: Path, arrays: dict[str, NDArray[np.generic]], kinds: dict[type, int]) -> None:
    """Writes a file of the form that ear_weights reads, by its description."""

    def text(words: str) -> bytes:
        return struct.pack("<H", len(words) + 1) + words.encode() + b"\0"

    out = struct.pack("<I", 6) + text("WhisperSpec") + struct.pack("<II", 3, len(arrays))
    for name, array in arrays.items():
        out += text(name) + struct.pack(f"<B{array.ndim}I", array.ndim, *array.shape)
        out += struct.pack("<BI", kinds[array.dtype.type], array.nbytes) + array.tobytes()
    path.write_bytes(out + struct.pack("<I", 1) + text("encoder/twin") + text("encoder/one"))


def test_pretrained_weights_are_read_with_their_names_and_the_rest_is_left(tmp_path: Path) -> None:
    one = np.arange(6, dtype=np.float16).reshape(2, 3)
    arrays: dict[str, NDArray[np.generic]] = {"decoder/one": one + 1, "encoder/one": one, "encoder/heads": np.array(6, np.int16)}
    pretrained_file(tmp_path / "model.bin", arrays, {np.float16: 4, np.int16: 2})
    found = encoder(tmp_path / "model.bin")
    assert set(found) == {"one", "twin"}
    assert all(array.dtype == np.float32 and np.array_equal(array, one) for array in found.values())


def test_pretrained_weights_in_whole_numbers_are_refused(tmp_path: Path) -> None:
    pretrained_file(tmp_path / "model.bin", {"encoder/one": np.ones((2, 2), np.int8)}, {np.int8: 1})
    with pytest.raises(ValueError, match="whole-number"):
        encoder(tmp_path / "model.bin")
