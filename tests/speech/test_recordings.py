"""The committed recordings fit their script."""

from __future__ import annotations

import json

import numpy as np
import pytest
from listening import read_recording

from assistant.speech.models import data_dir
from assistant.speech.wav import SAMPLE_RATE


@pytest.mark.parametrize("name", ["phrases", "job"])
def test_the_manifest_holds_every_line_of_the_script_in_order(name: str) -> None:
    recording = read_recording(name)
    script = json.loads((data_dir("audio_fixtures", name) / "job.json").read_text(encoding="utf-8"))
    said = [(entry["voice"], entry.get("words", entry["say"]), entry["intent"]) for entry in script["lines"]]
    assert [(line.voice, line.words, line.intent) for line in recording.lines] == said
    assert len({line.voice for line in recording.lines}) >= 2


@pytest.mark.parametrize("name", ["phrases", "job"])
def test_somebody_speaks_where_the_manifest_says_and_nowhere_else(name: str) -> None:
    recording = read_recording(name)
    spoken = np.zeros(len(recording.clean), dtype=bool)
    for line in recording.lines:
        here = slice(round(line.start * SAMPLE_RATE), round(line.end * SAMPLE_RATE))
        assert np.abs(recording.clean[here]).max() > 10_000
        # The manifest is rounded to a millisecond.
        spoken[max(0, here.start - 16) : here.stop + 16] = True
    assert np.abs(recording.clean[~spoken]).max() < 1000


@pytest.mark.parametrize("name", ["phrases", "job"])
def test_the_noisy_recording_is_about_ten_decibels_noisier_and_otherwise_the_same(name: str) -> None:
    recording = read_recording(name)
    clean, site = recording.clean.astype(float), recording.site.astype(float)
    assert len(clean) == len(site)
    scale = (clean @ site) / (clean @ clean)
    spoken = np.concatenate([clean[round(x.start * SAMPLE_RATE) : round(x.end * SAMPLE_RATE)] for x in recording.lines])
    noise = site / scale - clean
    # The script counts only loud frames as speech; over whole lines, with their breaths, it comes out a little lower.
    assert 8 < 10 * np.log10((spoken**2).mean() / (noise**2).mean()) < 11
