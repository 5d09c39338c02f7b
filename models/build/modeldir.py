"""Writes conf/mfcc.conf and conf/model.conf."""

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


def write_conf(out, beam=13.0, max_active=7000, lattice_beam=6.0, acoustic_scale=1.0, trailing=(0.5, 1.0, 2.0), chunk=20):
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
