"""Short phrases that must never be taken for their opposite, by eight offline voices: one sound file and where each phrase lies in it.

    python audio_fixtures/make_refusals.py

Writes refusals/refusals.ogg and refusals/manifest.json.  Needed: what make_fixtures.py needs, and Debian's flite and espeak-ng.
"""

from __future__ import annotations

import json
import subprocess
import tempfile
from pathlib import Path

import numpy as np
import soundfile
import soxr
from make_fixtures import festival, pico
from numpy.typing import NDArray
from site_noise import RATE

FOLDER = Path(__file__).resolve().parent / "refusals"
LEVEL = 0.35
PAUSE_S = 0.6
PHRASES = (
    "that isn't right", "that's not right", "that is wrong", "incorrect", "no", "i don't know", "hang on", "say again", "yes",
    "that's right", "carry on", "the same",
)  # fmt: skip


def run(*command: str) -> NDArray[np.float64]:
    """The sound that a command writes to the file named behind it."""
    with tempfile.TemporaryDirectory() as folder:
        path = str(Path(folder) / "line.wav")
        subprocess.run([*command, path], check=True, capture_output=True)
        sound, rate = soundfile.read(path)
    return soxr.resample(sound, rate, RATE)


VOICES = {
    "ash": lambda text: festival(text, "voice_cmu_us_slt_arctic_hts"),
    "birch": lambda text: pico(text, "en-GB"),
    "cedar": lambda text: pico(text, "en-US"),
    "elm": lambda text: run("flite", "-voice", "rms", "-t", text, "-o"),
    "hazel": lambda text: run("flite", "-voice", "awb", "-t", text, "-o"),
    "larch": lambda text: run("espeak-ng", "-v", "en-gb", "-s", "150", text, "-w"),
    "maple": lambda text: run("espeak-ng", "-v", "en-us+f3", "-s", "150", text, "-w"),
    "rowan": lambda text: festival(text, "voice_kal_diphone"),
}


def main() -> None:
    """Make the file and its manifest."""
    parts, manifest, at = [np.zeros(round(PAUSE_S * RATE))], [], PAUSE_S
    for name, make in VOICES.items():
        for words in PHRASES:
            sound = make(words)
            loud = np.flatnonzero(np.abs(sound) > 0.01 * np.abs(sound).max())
            sound = sound[loud[0] : loud[-1] + 1] * (LEVEL / np.abs(sound).max())
            end = at + len(sound) / RATE
            manifest.append({"voice": name, "start": round(at, 3), "end": round(end, 3), "words": words})
            parts += [sound, np.zeros(round(PAUSE_S * RATE))]
            at = end + PAUSE_S
    FOLDER.mkdir(exist_ok=True)
    soundfile.write(FOLDER / "refusals.ogg", np.concatenate(parts), RATE, format="OGG", subtype="VORBIS")
    (FOLDER / "manifest.json").write_text(json.dumps(manifest, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
