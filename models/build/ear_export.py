"""Checkpoint of ear_train -> the model directory of the second ear: ONNX with 8-bit matrices, names of its outputs, checksums.

usage: python -m models.build.ear_export CKPT.pt OUTDIR
Needed: torch, onnx, onnxruntime.  ``ear.onnx`` takes `mel` (batch, frames, 80), see ear_mel, and gives `y` (batch, frames / 2, 40) before
the softmax.  SHA256SUMS is written anew.
"""

from __future__ import annotations

import argparse
import tempfile
from pathlib import Path

import numpy as np
import onnxruntime as ort
import torch
from onnxruntime.quantization import QuantType, quantize_dynamic

from . import sums
from .ear_mel import BANDS
from .ear_net import OUTPUTS, Block, Ear, trained


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


def chances(path: Path, mel: np.ndarray) -> np.ndarray:
    """Probabilities of the outputs as ONNX computes them."""
    (y,) = ort.InferenceSession(str(path), providers=["CPUExecutionProvider"]).run(None, {"mel": mel})
    grown = np.exp(y - y.max(-1, keepdims=True))
    return np.asarray(grown / grown.sum(-1, keepdims=True))


def export(checkpoint: Path, folder: Path) -> float:
    """Writes the directory; returns the largest difference of a probability between torch and the 8-bit file, on noise."""
    ear = trained(checkpoint)
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as work:
        plain = Path(work, "float.onnx")
        write_float(ear, plain)
        quantize_dynamic(plain, folder / "ear.onnx", weight_type=QuantType.QInt8, op_types_to_quantize=["MatMul"], per_channel=True)
        mel = torch.randn(1, 320, BANDS)
        meant = ear(mel).softmax(-1).detach().numpy()
        exact = float(np.abs(chances(plain, mel.numpy()) - meant).max())
    if exact > 1e-3:
        raise ValueError(f"the exported network differs from torch's by {exact}")
    (folder / "phones.txt").write_text("\n".join(OUTPUTS) + "\n", encoding="utf-8")
    sums.write(folder)
    return float(np.abs(chances(folder / "ear.onnx", mel.numpy()) - meant).max())


def main() -> None:
    """Exports one checkpoint."""
    p = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    p.add_argument("checkpoint", type=Path)
    p.add_argument("out", type=Path)
    a = p.parse_args()
    moved = export(a.checkpoint, a.out)
    print(f"{(a.out / 'ear.onnx').stat().st_size / 1e6:.1f} MB; 8 bits move a probability by {moved:.3f} at most")


if __name__ == "__main__":
    main()
