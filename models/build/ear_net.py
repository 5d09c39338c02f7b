"""The network of the second ear in torch: a pretrained speech encoder and one linear layer over phonemes.

Log-mel frames in, two of them give one row of outputs: OUTPUTS numbers before the softmax, the blank of CTC first.
"""

from __future__ import annotations

from pathlib import Path

import torch
import torch.nn.functional as F
from torch import Tensor, nn

from .ear_mel import BANDS, HOP, LEAST, RANGE, WINDOW, mel_bank
from .ear_weights import encoder
from .phones import ARPA

BLANK = "<blank>"
OUTPUTS = [BLANK, *ARPA]
"""What the outputs are, in their order."""
NUMBER = {phone: number for number, phone in enumerate(OUTPUTS)}
HEAD = 64
"""Width of one head of attention, in every size of the pretrained encoder."""
LONGEST = 1500
"""Rows of outputs for which places are known: 30 s."""


class Mel(nn.Module):
    """Log-mel energies of whole batches, not yet scaled: see ear_mel, which does the same for one utterance."""

    window: Tensor
    banks: Tensor

    def __init__(self, warps: list[float]) -> None:
        super().__init__()
        self.register_buffer("window", torch.hann_window(WINDOW))
        self.register_buffer("banks", torch.stack([torch.from_numpy(mel_bank(warp)) for warp in warps]))

    def forward(self, sound: Tensor, which: Tensor | None = None) -> Tensor:
        """``sound`` (batch, samples), -1 to 1; ``which`` the warp of each row -> (batch, samples // HOP, BANDS)."""
        padded = F.pad(sound[:, None], (WINDOW // 2, WINDOW // 2), mode="reflect")[:, 0]
        spectrum = torch.fft.rfft(padded.unfold(1, WINDOW, HOP)[:, :-1] * self.window)
        power = spectrum.real**2 + spectrum.imag**2
        bank = self.banks[0] if which is None else self.banks[which]
        return torch.log10(torch.clamp(torch.matmul(power, bank), min=LEAST))


def scaled(energies: Tensor) -> Tensor:
    """What the encoder takes: nothing far below the loudest value of each utterance, about -1 to 1."""
    return (torch.maximum(energies, energies.amax((1, 2), keepdim=True) - RANGE) + 4.0) / 4.0


class Block(nn.Module):
    """Attention and a feed-forward layer, each added to what comes in."""

    def __init__(self, width: int, drop: float) -> None:
        super().__init__()
        self.n1, self.n2 = nn.LayerNorm(width), nn.LayerNorm(width)
        self.qkv, self.o = nn.Linear(width, 3 * width), nn.Linear(width, width)
        self.f1, self.f2 = nn.Linear(width, 4 * width), nn.Linear(4 * width, width)
        self.drop = nn.Dropout(drop)
        self.plain = False
        """Attention written out, as the export needs it."""

    def attend(self, x: Tensor) -> Tensor:
        batch, rows, width = x.shape
        query, key, value = self.qkv(x).reshape(batch, rows, 3, width // HEAD, HEAD).permute(2, 0, 3, 1, 4)
        if self.plain:
            mixed = torch.softmax(query @ key.transpose(-1, -2) * HEAD**-0.5, -1) @ value
        else:
            mixed = F.scaled_dot_product_attention(query, key, value)
        return self.o(mixed.transpose(1, 2).reshape(batch, rows, width))

    def forward(self, x: Tensor) -> Tensor:
        x = x + self.drop(self.attend(self.n1(x)))
        return x + self.drop(self.f2(F.gelu(self.f1(self.n2(x)))))


class Ear(nn.Module):
    """The whole network; ``width`` and ``layers`` as in the pretrained encoder."""

    pos: Tensor

    def __init__(self, width: int, layers: int, drop: float = 0.0) -> None:
        super().__init__()
        self.c1 = nn.Conv1d(BANDS, width, 3, padding=1)
        self.c2 = nn.Conv1d(width, width, 3, stride=2, padding=1)
        self.register_buffer("pos", torch.zeros(LONGEST, width))
        self.blocks = nn.ModuleList(Block(width, drop) for _ in range(layers))
        self.n = nn.LayerNorm(width)
        self.head = nn.Linear(width, len(OUTPUTS))
        self.drop = nn.Dropout(drop)

    def forward(self, mel: Tensor) -> Tensor:
        """``mel`` (batch, frames, BANDS) with an even number of frames -> (batch, frames / 2, outputs) before the softmax."""
        x = F.gelu(self.c2(F.gelu(self.c1(mel.transpose(1, 2))))).transpose(1, 2)
        x = self.drop(x + self.pos[: x.shape[1]])
        for block in self.blocks:
            x = block(x)
        return self.head(self.n(x))


def pretrained(path: Path, drop: float = 0.0) -> Ear:
    """The encoder of a CTranslate2 file (see ear_weights) with a fresh, quiet output layer."""
    arrays = encoder(path)
    layers = len({name.split("/")[0] for name in arrays if name.startswith("layer_") and "/ffn/" in name})
    ear = Ear(len(arrays["conv1/bias"]), layers, drop)
    names = {"pos": "position_encodings/encodings"}

    def pair(ours: str, theirs: str, norm: bool = False) -> None:
        names[ours + ".weight"] = f"{theirs}/{'gamma' if norm else 'weight'}"
        names[ours + ".bias"] = f"{theirs}/{'beta' if norm else 'bias'}"

    pair("c1", "conv1")
    pair("c2", "conv2")
    pair("n", "layer_norm", norm=True)
    for layer in range(layers):
        ours, theirs = f"blocks.{layer}", f"layer_{layer}"
        pair(f"{ours}.n1", f"{theirs}/self_attention/layer_norm", norm=True)
        pair(f"{ours}.n2", f"{theirs}/ffn/layer_norm", norm=True)
        pair(f"{ours}.qkv", f"{theirs}/self_attention/linear_0")
        pair(f"{ours}.o", f"{theirs}/self_attention/linear_1")
        pair(f"{ours}.f1", f"{theirs}/ffn/linear_0")
        pair(f"{ours}.f2", f"{theirs}/ffn/linear_1")
    state = ear.state_dict()
    state.update({ours: torch.from_numpy(arrays[theirs]) for ours, theirs in names.items()})
    state["head.weight"] = state["head.weight"] * 0.3
    ear.load_state_dict(state)
    return ear


def trained(path: Path, drop: float = 0.0) -> Ear:
    """The network of a checkpoint that ear_train wrote."""
    state = {name: values.float() for name, values in torch.load(path, map_location="cpu", weights_only=False)["state"].items()}
    layers = len({name.split(".")[1] for name in state if name.startswith("blocks.")})
    ear = Ear(len(state["c1.bias"]), layers, drop)
    ear.load_state_dict(state)
    return ear


def begun(path: Path, drop: float = 0.0) -> Ear:
    """A network to train on from: a checkpoint of ours (.pt), or pretrained weights."""
    return trained(path, drop) if path.suffix == ".pt" else pretrained(path, drop)
