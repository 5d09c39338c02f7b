"""Writes final.mdl (TransitionModel + AmNnetSimple) in Kaldi's binary format.

Byte-level conventions (little endian):
  file            starts with the two bytes 00 'B'
  token           ASCII text followed by one space
  int32 / float32 one size byte (4) then the 4 bytes
  bool            one byte 'T' or 'F'
  vector<int32>   size byte 4, int32 count (no size byte before it), raw data
  Vector<float>   token 'FV', size byte 4, int32 dim, raw data
  Matrix<float>   token 'FM', (4,int32 rows), (4,int32 cols), raw row-major data
"""

from __future__ import annotations

import struct
from collections.abc import Sequence
from typing import Any, BinaryIO

import numpy as np
import numpy.typing as npt

from . import phones as ph


class Out:
    def __init__(self, f: BinaryIO) -> None:
        self.f = f

    def tok(self, s: str) -> None:
        self.f.write(s.encode() + b" ")

    def raw(self, b: bytes) -> None:
        self.f.write(b)

    def i32(self, v: int) -> None:
        self.f.write(b"\x04" + struct.pack("<i", v))

    def f32(self, v: float) -> None:
        self.f.write(b"\x04" + struct.pack("<f", v))

    def f64(self, v: float) -> None:
        self.f.write(b"\x08" + struct.pack("<d", v))

    def ivec(self, v: Sequence[int]) -> None:
        self.f.write(b"\x04" + struct.pack("<i", len(v)) + np.asarray(v, "<i4").tobytes())

    def fvec(self, v: npt.ArrayLike) -> None:
        a = np.asarray(v, "<f4")
        self.tok("FV")
        self.i32(len(a))
        self.f.write(a.tobytes())

    def fmat(self, m: npt.ArrayLike) -> None:
        a = np.ascontiguousarray(np.asarray(m, "<f4"))
        self.tok("FM")
        self.i32(a.shape[0])
        self.i32(a.shape[1])
        self.f.write(a.tobytes())

    def fmat16(self, m: npt.ArrayLike) -> None:
        """A matrix in 16 bits a number (Kaldi's CompressedMatrix "CM2"): half the size on disk, float32 once read."""
        a = np.asarray(m, np.float64)
        lo, span = float(a.min()), max(float(a.max() - a.min()), 1e-9)
        self.tok("CM2")
        self.f.write(struct.pack("<ffii", lo, span, *a.shape))
        self.f.write(np.round((a - lo) / span * 65535).astype("<u2").tobytes())


def write_transition_model(o: Out) -> None:
    n = ph.NUM_PHONES
    o.tok("<TransitionModel>")
    o.tok("<Topology>")
    o.ivec(list(range(1, n + 1)))  # phones
    o.ivec([-1] + [0] * n)  # phone -> topology entry
    o.i32(-1)  # -1 = extended format: two pdf classes per state
    o.i32(1)  # one topology entry
    o.i32(2)  # ... with two states
    o.i32(0)
    o.i32(1)  # state 0: forward pdf class 0, self-loop pdf class 1
    o.i32(2)  # two transitions
    o.i32(0)
    o.f32(0.5)  #   self-loop
    o.i32(1)
    o.f32(0.5)  #   to the final state
    o.i32(-1)
    o.i32(-1)
    o.i32(0)  # state 1: non-emitting, final
    o.tok("</Topology>")
    o.tok("<Tuples>")
    o.i32(n)
    for p in range(1, n + 1):  # must be sorted by (phone, state, pdfs)
        b = ph.base_of(p)
        o.i32(p)
        o.i32(0)
        o.i32(2 * b)
        o.i32(2 * b + 1)
    o.tok("</Tuples>")
    o.tok("<LogProbs>")
    o.fvec([0.0] + [float(np.log(0.5))] * (2 * n))  # index 0 is unused
    o.tok("</LogProbs>")
    o.tok("</TransitionModel>")


def write_nnet(o: Out, layers: list[dict[str, Any]], in_dim: int) -> None:
    """layers: list of dicts
        {'name', 'offsets': [ints], 'W': (out, in*len(offsets)), 'b': (out,),
         'relu': bool, 'skip': name of an earlier layer to add (optional)}
    The last one feeds the output node.
    """
    cfg = [f"input-node name=input dim={in_dim}"]
    comps = []
    prev = "input"
    for L in layers:
        offs = [prev if k == 0 else f"Offset({prev}, {k})" for k in L["offsets"]]
        desc = offs[0] if len(offs) == 1 else "Append(" + ", ".join(offs) + ")"
        name = L["name"]
        cfg.append(f"component-node name={name}.affine component={name}.affine input={desc}")
        comps.append((name + ".affine", "affine", L))
        prev = name + ".affine"
        if L.get("relu"):
            cfg.append(f"component-node name={name}.relu component={name}.relu input={prev}")
            comps.append((name + ".relu", "relu", L))
            prev = name + ".relu"
        if L.get("skip"):
            # residual connection: a NoOp whose input is Sum(a, b)
            cfg.append(f"component-node name={name}.sum component={name}.sum input=Sum({prev}, {L['skip']})")
            comps.append((name + ".sum", "noop", L))
            prev = name + ".sum"
        L["out_node"] = prev
    cfg.append(f"output-node name=output input={prev} objective=linear")
    o.tok("<Nnet3>")
    o.raw(b"\n" + ("\n".join(cfg) + "\n\n").encode())
    o.tok("<NumComponents>")
    o.i32(len(comps))
    for name, kind, L in comps:
        o.tok("<ComponentName>")
        o.tok(name)
        dim = len(L["b"])
        if kind == "affine":
            o.tok("<FixedAffineComponent>")
            o.tok("<LinearParams>")
            o.fmat16(L["W"])
            o.tok("<BiasParams>")
            o.fvec(L["b"])
            o.tok("</FixedAffineComponent>")
        elif kind == "relu":
            o.tok("<RectifiedLinearComponent>")
            o.tok("<Dim>")
            o.i32(dim)
            o.tok("<ValueAvg>")
            o.fvec([])
            o.tok("<DerivAvg>")
            o.fvec([])
            o.tok("<Count>")
            o.f64(0.0)  # a double
            o.tok("</RectifiedLinearComponent>")
        elif kind == "noop":
            o.tok("<NoOpComponent>")
            o.tok("<Dim>")
            o.i32(dim)
            o.tok("<BackpropScale>")
            o.f32(1.0)
            o.tok("</NoOpComponent>")
    o.tok("</Nnet3>")


def write_mdl(path: str, layers: list[dict[str, Any]], in_dim: int, left: int, right: int, priors: npt.ArrayLike | None = None) -> None:
    with open(path, "wb") as f:
        f.write(b"\0B")
        o = Out(f)
        write_transition_model(o)
        write_nnet(o, layers, in_dim)
        o.tok("<LeftContext>")
        o.i32(left)
        o.tok("<RightContext>")
        o.i32(right)
        o.tok("<Priors>")
        o.fvec([] if priors is None else priors)
