"""Writes conf/mfcc.conf and conf/model.conf."""

from __future__ import annotations

import os
from pathlib import Path

MFCC = """--use-energy=false
--sample-frequency=16000
--num-mel-bins=40
--num-ceps=40
--low-freq=20
--high-freq=7600
--dither=0
"""


def write_conf(
    out: str,
    beam: float = 13.0,
    max_active: int = 7000,
    lattice_beam: float = 6.0,
    acoustic_scale: float = 1.0,
    trailing: tuple[float, float, float] = (0.5, 1.0, 2.0),
    chunk: int = 20,
) -> None:
    os.makedirs(os.path.join(out, "conf"), exist_ok=True)
    Path(out, "conf", "mfcc.conf").write_text(MFCC)
    Path(out, "conf", "model.conf").write_text(
        f"--min-active=200\n--max-active={max_active}\n--beam={beam}\n--lattice-beam={lattice_beam}\n"
        f"--acoustic-scale={acoustic_scale}\n--frame-subsampling-factor=3\n--frames-per-chunk={chunk}\n"
        "--endpoint.silence-phones=1\n"
        f"--endpoint.rule2.min-trailing-silence={trailing[0]}\n"
        f"--endpoint.rule3.min-trailing-silence={trailing[1]}\n"
        f"--endpoint.rule4.min-trailing-silence={trailing[2]}\n"
    )
