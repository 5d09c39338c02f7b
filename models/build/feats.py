"""MFCC exactly as Vosk computes them from conf/mfcc.conf (int16 sample range, no dither)."""

from __future__ import annotations

import kaldi_native_fbank as knf
import numpy as np
import numpy.typing as npt

SR = 16000


def _opts() -> knf.MfccOptions:
    o = knf.MfccOptions()
    f = o.frame_opts
    f.samp_freq = SR
    f.dither = 0.0
    f.snip_edges = True
    f.window_type = "povey"
    f.preemph_coeff = 0.97
    f.remove_dc_offset = True
    f.round_to_power_of_two = True
    o.mel_opts.num_bins = 40
    o.mel_opts.low_freq = 20
    o.mel_opts.high_freq = 7600
    o.num_ceps = 40
    o.use_energy = False
    o.energy_floor = 0.0
    o.cepstral_lifter = 22.0
    return o


_OPTS = _opts()


def mfcc(x: npt.ArrayLike) -> npt.NDArray[np.float32]:
    """x: int16-range samples -> (frames, 40) float32."""
    m = knf.OnlineMfcc(_OPTS)
    m.accept_waveform(SR, np.asarray(x, np.float32).tolist())
    m.input_finished()
    return np.stack([m.get_frame(i) for i in range(m.num_frames_ready)]) if m.num_frames_ready else np.zeros((0, 40), np.float32)
