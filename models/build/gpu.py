"""Training batches on one device: utterances cut from an int16 store, augmented, turned into MFCC.

Everything runs in torch on whole batches, so each epoch hears new speeds, rooms,
noises and levels.  mfcc() follows Kaldi's features.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
import torch
from torch import Tensor

SR, WIN, HOP, NFFT, NMEL = 16000, 400, 160, 512, 40
Floats = npt.NDArray[np.float64]


def mel(f: npt.ArrayLike) -> Floats:
    return 1127.0 * np.log(1.0 + np.asarray(f, np.float64) / 700.0)


def mel_bank(alpha: float = 1.0, lo: float = 20.0, hi: float = 7600.0) -> npt.NDArray[np.float32]:
    """(257, 40) triangular filters; alpha > 1 moves every filter up (vocal tract perturbation)."""
    edges = np.linspace(float(mel(lo)), float(mel(hi)), NMEL + 2)
    if alpha != 1.0:
        hz = 700.0 * (np.exp(edges / 1127.0) - 1)
        knee = 4800.0 / max(alpha, 1.0)
        hz2 = np.where(hz <= knee, hz * alpha, knee * alpha + (hz - knee) * (hi - knee * alpha) / (hi - knee))
        edges = mel(hz2)
    m = mel(np.arange(NFFT // 2 + 1) * SR / NFFT)
    W = np.zeros((NFFT // 2 + 1, NMEL), np.float32)
    for j in range(NMEL):
        l, c, r = edges[j : j + 3]
        W[:, j] = np.maximum(0, np.minimum((m - l) / (c - l), (r - m) / (r - c)))
    W[-1] = 0
    return W


class Features:
    def __init__(self, dev: str, alphas: Sequence[float] = (1.0,)) -> None:
        n = np.arange(WIN)
        self.win = torch.tensor((0.5 - 0.5 * np.cos(2 * math.pi * n / (WIN - 1))) ** 0.85, dtype=torch.float32, device=dev)
        self.banks = torch.tensor(np.stack([mel_bank(a) for a in alphas]), device=dev)
        k, j = np.arange(NMEL)[:, None], np.arange(NMEL)[None]
        dct = np.sqrt(2.0 / NMEL) * np.cos(math.pi / NMEL * (j + 0.5) * k)
        dct[0] = np.sqrt(1.0 / NMEL)
        lift = 1 + 0.5 * 22.0 * np.sin(math.pi * np.arange(NMEL) / 22.0)
        self.dct = torch.tensor((dct * lift[:, None]).T.copy(), dtype=torch.float32, device=dev)

    def logmel(self, x: Tensor, which: Tensor | None = None) -> Tensor:
        """x: (B, N) in int16 range; which: filter bank index per row."""
        f = x.unfold(1, WIN, HOP)
        f = f - f.mean(2, keepdim=True)
        f = torch.cat([f[..., :1] * (1 - 0.97), f[..., 1:] - 0.97 * f[..., :-1]], 2) * self.win
        p = torch.fft.rfft(f, NFFT)
        p = p.real**2 + p.imag**2
        w = self.banks[0] if which is None else self.banks[which]
        return torch.log(torch.clamp(torch.matmul(p, w), min=1.1920929e-07))

    def mfcc(self, x: Tensor) -> Tensor:
        return self.logmel(x) @ self.dct


class Batcher:
    """store: int16 tensor of all speech; noise: int16 tensor with clips (start, length); rirs: (K, M) float."""

    def __init__(self, store: Tensor, noise: Tensor, noise_clips: list[tuple[int, int]], rirs: Tensor, dev: str, seed: int = 0) -> None:
        self.store, self.noise, self.rirs, self.dev = store, noise, rirs, dev
        self.ns = torch.tensor([c[0] for c in noise_clips], device=dev)
        self.nl = torch.tensor([c[1] for c in noise_clips], device=dev)
        self.alphas = [1.0, 1.0, 0.86, 0.90, 0.94, 0.97, 1.03, 1.06, 1.10, 1.14]
        self.feat = Features(dev, self.alphas)
        self.g = torch.Generator(device=dev)
        self.g.manual_seed(seed)
        # slowly varying equaliser: hat functions on a log frequency axis
        self.knots = 7

    def u(self, *shape: int, lo: float = 0.0, hi: float = 1.0) -> Tensor:
        return torch.rand(*shape, generator=self.g, device=self.dev) * (hi - lo) + lo

    def cut(self, start: Tensor, length: Tensor, speed: Tensor, lead: Tensor, N: int) -> Tensor:
        """Speech resampled by linear-phase cubic interpolation, placed after `lead` samples, zero elsewhere."""
        src = (torch.arange(N, device=self.dev)[None] - lead[:, None]) * speed[:, None]
        i = src.floor()
        f = (src - i).float()
        i = i.long()
        ok = (i >= 1) & (i < length[:, None] - 2)
        i = i.clamp(min=1) + start[:, None]
        i = torch.minimum(i, (start + length - 3)[:, None]).clamp(min=1, max=self.store.numel() - 3)
        a, b, c, d = (self.store[i + k].float() for k in (-1, 0, 1, 2))
        y = b + 0.5 * f * (c - a + f * (2 * a - 5 * b + 4 * c - d + f * (3 * (b - c) + d - a)))
        return torch.where(ok, y, torch.zeros_like(y)) / 32768.0

    def eq(self, B: int, nf: int) -> Tensor:
        """Random magnitude response in dB: tilt, bumps, band limits."""
        f = torch.linspace(0, SR / 2, nf, device=self.dev)
        x = torch.log2(f.clamp(min=60) / 60) / math.log2(8000 / 60) * (self.knots - 1)
        hat = (1 - (x[:, None] - torch.arange(self.knots, device=self.dev)[None]).abs()).clamp(min=0)
        db = (self.u(B, self.knots, lo=-6, hi=6) + self.u(B, 1, lo=-1, hi=1) * torch.arange(self.knots, device=self.dev)) @ hat.T
        db = db * (self.u(B, 1) < 0.7)
        lp = torch.where(self.u(B, 1) < 0.5, self.u(B, 1, lo=3300, hi=4000), self.u(B, 1, lo=3300, hi=7500)) + 1e5 * (self.u(B, 1) > 0.3)
        hp = self.u(B, 1, lo=60, hi=350) - 1e5 * (self.u(B, 1) > 0.25)
        db = db - 50 * torch.sigmoid((f - lp) / 120) - 40 * torch.sigmoid((hp - f) / 25)
        return 10 ** (db / 20)

    def augment(self, start: Tensor, length: Tensor, speed: Tensor, lead: Tensor, N: int, silent: Tensor) -> Tensor:
        B, dev = len(start), self.dev
        x = self.cut(start, length, speed, lead, N)
        nfft = 1 << (N + self.rirs.shape[1] - 1).bit_length()
        if nfft * 3 // 4 >= N + self.rirs.shape[1]:
            nfft = nfft * 3 // 4
        rms = (x.square().sum(1) / (length / speed)).sqrt().clamp(min=1e-4)[:, None]
        wet = self.u(B, 1) < 0.4
        R = torch.fft.rfft(self.rirs[torch.randint(len(self.rirs), (B,), generator=self.g, device=dev)], nfft)
        X = torch.fft.rfft(x, nfft)
        X = torch.where(wet, X * R, X)
        y = torch.fft.irfft(X, nfft)[:, :N]
        y = y * (rms / (y.square().sum(1) / (length / speed)).sqrt().clamp(min=1e-5)[:, None])
        # one noise clip per row, looped
        k = torch.randint(len(self.ns), (B,), generator=self.g, device=dev)
        off = (self.u(B) * self.nl[k]).long()
        i = (torch.arange(N, device=dev)[None] + off[:, None]) % self.nl[k][:, None] + self.ns[k][:, None]
        n = self.noise[i].float() / 32768.0
        # other talkers for some rows
        bab = torch.zeros_like(n)
        for _ in range(3):
            o = (self.u(B) * (self.store.numel() - N - 1)).long()
            bab += self.store[o[:, None] + torch.arange(N, device=dev)[None]].float() / 32768.0 * self.u(B, 1, lo=0.2, hi=1)
        n = torch.where(self.u(B, 1) < 0.06, bab, n)
        n = n / n.square().mean(1, keepdim=True).sqrt().clamp(min=1e-4)
        # a silent item must also be heard with far more noise than its own faint hiss
        # some recordings hold noise for a while only: it may begin before the speech, and end after it, at once
        t = torch.arange(N, device=dev)[None]
        first, last = lead[:, None], (lead + length / speed)[:, None]
        on, off = first * self.u(B, 1), last + (N - last).clamp(min=0) * self.u(B, 1)
        gate = ((t >= on) & (t < off) | (self.u(B, 1) > 0.4)).float()
        n = n * gate
        snr = torch.where(silent[:, None], self.u(B, 1, lo=-50, hi=5), self.u(B, 1, lo=-3, hi=22))
        y = y + n * rms * 10 ** (-snr / 20) * (self.u(B, 1) < 0.8)
        # stationary coloured noise (microphone, wind, engine at a distance)
        w = torch.fft.rfft(torch.randn(B, N, generator=self.g, device=dev), nfft)
        fr = torch.linspace(0, SR / 2, w.shape[1], device=dev).clamp(min=40) / 1000
        w = torch.fft.irfft(w * fr[None] ** -self.u(B, 1, lo=0, hi=1.0), nfft)[:, :N]
        w = w / w.square().mean(1, keepdim=True).sqrt().clamp(min=1e-6)
        y = y + w * gate * rms * 10 ** (-self.u(B, 1, lo=8, hi=55) / 20) * (self.u(B, 1) < 0.6)
        Y = torch.fft.rfft(y, nfft)
        y = torch.fft.irfft(Y * self.eq(B, Y.shape[1]), nfft)[:, :N]
        lvl = y.square().mean(1, keepdim=True).sqrt().clamp(min=1e-6)
        y = y / lvl * 10 ** (self.u(B, 1, lo=-52, hi=-12) / 20)
        over = 10 ** (self.u(B, 1, lo=0, hi=15) / 20)
        clip = self.u(B, 1) < 0.06  # overdriven microphone
        top = y.abs().amax(1, keepdim=True)
        y = torch.where(clip, torch.minimum(torch.maximum(y, -top / over), top / over), y)
        y = y * 32768 + torch.randn(B, N, generator=self.g, device=dev) * self.u(B, 1, lo=0, hi=4) * (self.u(B, 1) < 0.8)
        return y.round().clamp(-32768, 32767)

    def masks(self, m: Tensor) -> Tensor:
        """SpecAugment on log mel energies."""
        B, T, F = m.shape
        mean = m.mean(1, keepdim=True)
        w = self.u(B, 1, hi=8)
        s = self.u(B, 1, hi=F)
        f = torch.arange(F, device=self.dev)[None]
        hit = ((f >= s) & (f < s + w) & (self.u(B, 1) < 0.5))[:, None]
        m = torch.where(hit, mean, m)
        t = torch.arange(T, device=self.dev)[None]
        for _ in range(2):
            w, s = self.u(B, 1, hi=14), self.u(B, 1, hi=T)
            hit = ((t >= s) & (t < s + w) & (self.u(B, 1) < 0.35))[:, :, None]
            m = torch.where(hit, mean, m)
        return m

    def features(self, x: Tensor) -> Tensor:
        which = torch.randint(len(self.alphas), (len(x),), generator=self.g, device=self.dev)
        return self.masks(self.feat.logmel(x, which)) @ self.feat.dct

    def clean(self, start: Tensor, length: Tensor, N: int, lead: int = 3200) -> Tensor:
        x = self.cut(
            start,
            length,
            torch.ones(len(start), device=self.dev),
            torch.full((len(start),), float(lead), device=self.dev),
            N,
        )
        return self.feat.mfcc((x * 32768 + torch.randn(x.shape, generator=self.g, device=self.dev) * 2).round())
