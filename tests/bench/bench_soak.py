"""An hour on site at full speed: memory stays flat, and how much of the processor the listening takes.

Run as a script from the repository root: python tests/bench/bench_soak.py [MINUTES]
The recorded job, with site noise, goes round and round with pauses of noise alone, through recogniser, conversation and
synthesiser, on the time of the sound.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "audio_fixtures"))
sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from listening import read_recording
from site_noise import noise_bed

from assistant.conversation import Conversation
from assistant.speech.models import find_model
from assistant.speech.recogniser import Grammar, Recogniser
from assistant.speech.synthesiser import Synthesiser
from assistant.speech.wav import SAMPLE_RATE, blocks


class Forgetful:
    """A keeper that keeps nothing."""

    def append(self, facts: object, heard: str = "") -> None:
        """Nothing."""


def resident() -> float:
    """MiB of memory of this process."""
    lines = Path("/proc/self/status").read_text().splitlines()
    return int(next(line for line in lines if line.startswith("VmRSS")).split()[1]) / 1024


def main(minutes: float) -> None:
    """Prints a line every five minutes of sound."""
    recording = read_recording()
    pause = np.rint(noise_bed(60, seed=9) * 300).astype(np.int16)
    sound = np.concatenate([recording.site, pause, recording.clean, pause])
    recogniser = Recogniser(find_model())
    heard = replies = 0
    used, following = time.process_time(), 0.0
    with Synthesiser() as synthesiser:
        while recogniser.time < minutes * 60:
            conversation = Conversation(Forgetful())
            conversation.open()
            recogniser.listen_for(Grammar(conversation.phrases()))
            for block in blocks(sound):
                utterance = recogniser.feed(block)
                if utterance is not None:
                    heard += 1
                    for text in conversation.take(utterance).spoken:
                        synthesiser.render(text)
                        replies += 1
                    recogniser.listen_for(Grammar(conversation.phrases()))
                if recogniser.time >= following:
                    share = (time.process_time() - used) / max(recogniser.time, 1)
                    minute = recogniser.time / 60
                    print(f"{minute:5.1f} min   {resident():6.1f} MiB   {share:.2%} of a core   {heard} heard, {replies} said")
                    following += 300
                    sys.stdout.flush()
    print(f"{recogniser.time / 60:5.1f} min   {resident():6.1f} MiB   sound {len(sound) / SAMPLE_RATE:.0f} s long, again and again")


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 60.0)
