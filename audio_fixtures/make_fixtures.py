"""Makes the recordings of an invented job from its script.

    python audio_fixtures/make_fixtures.py            # every job.json below this folder

Reads ``NAME/job.json`` and writes ``NAME/job.flac`` (clean), ``NAME/site.flac`` (with building-site noise made by
site_noise) and ``NAME/manifest.json`` (who says what, from when to when, and what is expected).  To change a line,
change job.json and run this again.  A line of the script:

    voice       who speaks: one of VOICES
    say         the text for the voice (spelling may help it)
    words       what the recogniser should hear; left out: the same as ``say``; "" when it must be refused
    intent      what the assistant should take it for
    pause       seconds of silence after it (left out: ``pause`` of the whole script)

None of these voices was used to train the speech model.  Needed: Debian's festival and festvox-us-slt-hts, and from the
Python index py-nanotts (the two SVOX Pico voices).
"""

from __future__ import annotations

import json
import subprocess
import tempfile
from pathlib import Path

import numpy as np
import soundfile
import soxr
from numpy.typing import NDArray
from site_noise import RATE, add_noise

HERE = Path(__file__).resolve().parent
LEVEL = 0.35
"""Peak of every line, of full scale."""
HISS = 4.0
"""Root mean square of the recorder's own noise, in 16-bit steps."""

Samples = NDArray[np.int16]


def festival(text: str, voice: str) -> NDArray[np.float64]:
    """A sentence by a festival voice."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "line.wav"
        command = ["text2wave", "-eval", f"({voice})", "-o", str(path)]
        subprocess.run(command, input=text, text=True, check=True)
        sound, rate = soundfile.read(path)
    return soxr.resample(sound, rate, RATE)


def pico(text: str, voice: str) -> NDArray[np.float64]:
    """A sentence by an SVOX Pico voice."""
    import py_nanotts

    pcm = py_nanotts.NanoTTS().speak(text, voice=voice, speed=0.9)
    return np.frombuffer(pcm, dtype=np.int16) / 32768


VOICES = {
    "ash": (festival, "voice_cmu_us_slt_arctic_hts"),
    "birch": (pico, "en-GB"),
    "cedar": (pico, "en-US"),
}
"""The invented builders, each an offline voice."""


def line(entry: dict[str, str]) -> NDArray[np.float64]:
    """One line of the script, without silence at its ends, at the common level."""
    make, voice = VOICES[entry["voice"]]
    sound = make(entry["say"], voice)
    loud = np.flatnonzero(np.abs(sound) > 0.01 * np.abs(sound).max())
    sound = sound[loud[0] : loud[-1] + 1]
    return sound * (LEVEL / np.abs(sound).max())


def make(folder: Path) -> None:
    """The recordings and the manifest of one script."""
    script = json.loads((folder / "job.json").read_text(encoding="utf-8"))
    parts, manifest, at = [np.zeros(round(script["lead_in"] * RATE))], [], script["lead_in"]
    for entry in script["lines"]:
        sound = line(entry)
        seconds = len(sound) / RATE
        manifest.append(
            {
                "voice": entry["voice"],
                "start": round(at, 3),
                "end": round(at + seconds, 3),
                "words": entry.get("words", entry["say"]),
                "intent": entry["intent"],
            }
        )
        pause = round(entry.get("pause", script["pause"]) * RATE)
        parts += [sound, np.zeros(pause)]
        at += seconds + pause / RATE
    clean = np.concatenate(parts) * 32767 + np.random.default_rng(script["seed"]).normal(0, HISS, sum(map(len, parts)))
    samples = np.rint(clean).astype(np.int16)
    soundfile.write(folder / "job.flac", samples, RATE)
    soundfile.write(folder / "site.flac", add_noise(samples, script["site_decibels"], script["seed"]), RATE)
    text = json.dumps({"sample_rate": RATE, "utterances": manifest}, indent=1)
    (folder / "manifest.json").write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    for script_path in sorted(HERE.glob("*/job.json")):
        make(script_path.parent)
        print(f"made {script_path.parent.name}")
