"""Factored TDNN in PyTorch with 3x frame subsampling, and its export to nnet3 layers.

Everything is laid out (batch, time, channel); a convolution is a splice of shifted
copies followed by one matrix product, which is also exactly how nnet3 sees it.
Blocks marked "s" see 3 input frames either side, blocks marked "c" only the past
(6 frames), so that deep networks do not add delay.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt
import torch
from torch import Tensor, nn

from . import phones as ph

Floats = npt.NDArray[np.float32]


class Norm(nn.BatchNorm1d):
    """Batch-norm over the last dimension of a (B, T, C) tensor."""

    def forward(self, x: Tensor) -> Tensor:
        return super().forward(x.reshape(-1, x.shape[-1])).view_as(x)


def splice(x: Tensor, n: int) -> Tensor:
    """[x_t, x_t+1, ... x_t+n-1] side by side."""
    T = x.shape[1] - n + 1
    return torch.cat([x[:, i : i + T] for i in range(n)], 2)


class Block(nn.Module):
    """x -> x + relu(bn(affine(linear(x[t-3], x[t])[t], [t+3])))   (t in input frames)"""

    def __init__(self, dim: int, bottleneck: int, drop: float, causal: bool) -> None:
        super().__init__()
        self.lin = nn.Linear(2 * dim, bottleneck, bias=False)
        self.aff = nn.Linear(2 * bottleneck, dim)
        self.bn = Norm(dim, eps=1e-3)
        self.p, self.causal = drop, causal

    def forward(self, x: Tensor) -> Tensor:
        y = torch.relu(self.bn(self.aff(splice(self.lin(splice(x, 2)), 2))))
        if self.training and self.p:  # same mask for every frame
            keep = torch.rand(y.shape[0], 1, y.shape[2], device=y.device) >= self.p
            y = y * keep.to(y.dtype) / (1 - self.p)
        return (x[:, 2:] if self.causal else x[:, 1:-1]) + y


class Out(nn.Linear):
    """Output layer: one pair of columns for each phone; both columns of silence are the same one.

    Mid-silence then scores like the beginning of a silence, and a decoder started there hears silence.
    """

    tie: Tensor

    def __init__(self, dim: int) -> None:
        super().__init__(dim, ph.NUM_PDFS)
        sil = 2 * ph.BASE_ID["SIL"]
        tie = torch.arange(ph.NUM_PDFS)
        tie[sil] = sil + 1
        self.register_buffer("tie", tie, persistent=False)

    def matrix(self) -> tuple[Tensor, Tensor]:
        return self.weight[self.tie], self.bias[self.tie]

    def forward(self, x: Tensor) -> Tensor:
        return nn.functional.linear(x, *self.matrix())


class Tdnn(nn.Module):
    def __init__(self, in_dim: int = 40, dim: int = 256, bottleneck: int = 96, blocks: str = "sssssss", drop: float = 0.1) -> None:
        super().__init__()
        self.in_bn = Norm(in_dim, affine=False)
        self.c1 = nn.Linear(3 * in_dim, dim)
        self.b1 = Norm(dim, eps=1e-3)
        self.c2 = nn.Linear(3 * dim, dim)
        self.b2 = Norm(dim, eps=1e-3)
        self.blocks = nn.ModuleList(Block(dim, bottleneck, drop, k == "c") for k in blocks)
        self.out = Out(dim)
        # input frames needed on either side
        self.left = 2 + sum(6 if k == "c" else 3 for k in blocks)
        self.right = 2 + sum(0 if k == "c" else 3 for k in blocks)

    def forward(self, x: Tensor) -> Tensor:
        """x: (B, T, in_dim).  Output frame k is centred on input frame 3k."""
        x = torch.cat([x[:, :1].expand(-1, self.left, -1), x, x[:, -1:].expand(-1, self.right, -1)], 1)
        x = torch.relu(self.b1(self.c1(splice(self.in_bn(x), 3))))  # Kaldi repeats the edges too
        n = x.shape[1] // 3  # stride 3: frames (0,1,2), (3,4,5), ...
        x = x[:, : 3 * n].reshape(x.shape[0], n, -1)
        x = torch.relu(self.b2(self.c2(x)))
        for b in self.blocks:
            x = b(x)
        return self.out(x)


def _fold(lin: nn.Linear, bn: Norm) -> tuple[Floats, Floats]:
    """Affine followed by batch-norm (test mode) -> one affine."""
    assert bn.running_var is not None and bn.running_mean is not None
    s = (bn.running_var + bn.eps).rsqrt()
    shift = -bn.running_mean * s
    if bn.affine:
        s, shift = s * bn.weight, shift * bn.weight + bn.bias
    return (lin.weight * s[:, None]).numpy(), (lin.bias * s + shift).numpy()


def export_layers(m: Tdnn) -> list[dict[str, Any]]:
    """The layers as ``kaldi_io.write_nnet`` takes them."""
    m.eval()
    assert m.in_bn.running_var is not None and m.in_bn.running_mean is not None
    with torch.no_grad():
        s = (m.in_bn.running_var + m.in_bn.eps).rsqrt().repeat(3)
        c1 = nn.Linear(m.c1.in_features, m.c1.out_features)
        c1.weight.copy_(m.c1.weight * s)
        c1.bias.copy_(m.c1.bias - c1.weight @ m.in_bn.running_mean.repeat(3))
        w, b = _fold(c1, m.b1)
        L: list[dict[str, Any]] = [dict(name="t1", offsets=[-1, 0, 1], W=w, b=b, relu=True)]
        w, b = _fold(m.c2, m.b2)
        L.append(dict(name="t2", offsets=[-1, 0, 1], W=w, b=b, relu=True))
        prev = "t2.relu"
        for i, k in enumerate(m.blocks):
            assert isinstance(k, Block)
            L.append(dict(name=f"f{i}l", offsets=[-3, 0], W=k.lin.weight.numpy(), b=np.zeros(k.lin.weight.shape[0])))
            w, b = _fold(k.aff, k.bn)
            L.append(dict(name=f"f{i}", offsets=[-3, 0] if k.causal else [0, 3], W=w, b=b, relu=True, skip=prev))
            prev = f"f{i}.sum"
        weight, bias = m.out.matrix()
        L.append(dict(name="out", offsets=[0], W=weight.numpy(), b=bias.numpy()))
    return L
