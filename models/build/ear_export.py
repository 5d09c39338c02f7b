"""Checkpoint of ear_train -> the model directory of the second ear: ONNX with 8-bit matrices, names of its outputs, checksums.

usage: python -m models.build.ear_export CKPT.pt OUTDIR [--clips MANIFEST.tsv]
MANIFEST lists recordings (path, transcript) on which to say how many phonemes the 8 bits cost.  Needed: torch, onnx, onnxruntime.  ``ear.onnx`` takes `mel` (batch, frames, 80), see ear_mel, and gives `y` (batch, frames / 2, 40) before
the softmax.  SHA256SUMS is written anew.
"""

from __future__ import annotations

import argparse
import itertools
from pathlib import Path

import numpy as np
import onnxruntime as ort
import torch
from assistant.speech.mel import log_mel
from assistant.speech.wav import SAMPLE_RATE, Samples, read_wav
from onnxruntime.quantization import QuantType, quantize_dynamic

from . import sums, vocabulary
from .ear_mel import BANDS
from .ear_net import NUMBER, OUTPUTS, Block, Ear, trained
from .ear_train import distance, spoken
from .tables import rows


def write_float(ear: Ear, path: Path) -> None:
    """The network as ONNX in 32-bit floats, any batch and number of frames."""
    ear.eval()
    for block in ear.blocks:
        assert isinstance(block, Block)
        block.plain = True
    sizes = {"mel": {0: "batch", 1: "frames"}, "y": {0: "batch", 1: "rows"}}
    torch.onnx.export(
        ear, (torch.randn(1, 240, BANDS),), str(path), input_names=["mel"], output_names=["y"],
        dynamic_axes=sizes, opset_version=17, dynamo=False,
    )  # fmt: skip


def session(path: Path) -> ort.InferenceSession:
    """The file as it runs."""
    return ort.InferenceSession(str(path), providers=["CPUExecutionProvider"])


def heard(ear: ort.InferenceSession, sound: Samples) -> list[int]:
    """The free path of a recording with 0.3 s of quiet round it, as output numbers."""
    (y,) = ear.run(None, {"mel": log_mel(np.pad(sound, SAMPLE_RATE * 3 // 10))[None]})
    return spoken(torch.from_numpy(np.asarray(y[0])))


def errors(folder: Path, clips: Path) -> dict[str, float]:
    """Phoneme errors in percent on recordings of known words, of both files of an export, and how far one is from the other."""
    plain, small = session(folder / "float.onnx"), session(folder / "ear.onnx")
    wrong = {"float": 0, "8 bits": 0, "8 bits against float": 0}
    meant = 0
    for row in rows(clips):
        said = [vocabulary.prons(word) for word in row["transcript"].split()]
        if not said or not all(said):
            continue
        readings = [[NUMBER[p] for word in one for p in word if p in NUMBER] for one in itertools.islice(itertools.product(*said), 64)]
        sound = read_wav(clips.parent / row["path"])
        one, other = heard(plain, sound), heard(small, sound)
        wrong["float"] += min(distance(one, reading) for reading in readings)
        wrong["8 bits"] += min(distance(other, reading) for reading in readings)
        wrong["8 bits against float"] += distance(one, other)
        meant += len(readings[0])
    return {name: round(100 * count / meant, 2) for name, count in wrong.items()} | {"phonemes": meant}


def export(checkpoint: Path, folder: Path, clips: Path | None) -> dict[str, float]:
    """Writes the directory; returns the phoneme errors on the clips, if there are any."""
    ear = trained(checkpoint)
    folder.mkdir(parents=True, exist_ok=True)
    plain = folder / "float.onnx"
    write_float(ear, plain)
    quantize_dynamic(plain, folder / "ear.onnx", weight_type=QuantType.QInt8, op_types_to_quantize=["MatMul"], per_channel=True)
    mel = torch.randn(1, 320, BANDS)
    (y,) = session(plain).run(None, {"mel": mel.numpy()})
    exact = float(np.abs(np.asarray(y) - ear(mel).detach().numpy()).max())
    if exact > 1e-2:
        raise ValueError(f"the exported network differs from torch's by {exact}")
    found = errors(folder, clips) if clips else {}
    plain.unlink()
    (folder / "phones.txt").write_text("\n".join(OUTPUTS) + "\n", encoding="utf-8")
    sums.write(folder)
    return found


def main() -> None:
    """Exports one checkpoint."""
    p = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    p.add_argument("checkpoint", type=Path)
    p.add_argument("out", type=Path)
    p.add_argument("--clips", type=Path)
    a = p.parse_args()
    found = export(a.checkpoint, a.out, a.clips)
    print(f"{(a.out / 'ear.onnx').stat().st_size / 1e6:.1f} MB; phoneme errors in percent {found or 'not measured'}")


if __name__ == "__main__":
    main()
