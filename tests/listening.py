"""What several tests that listen share: the recorded job with its manifest, and a recording heard to its end."""

from __future__ import annotations

import json
from dataclasses import dataclass

from assistant.events import Utterance
from assistant.speech.models import data_dir
from assistant.speech.recogniser import Grammar, Recogniser
from assistant.speech.wav import Samples, blocks, read_wav


@dataclass(frozen=True)
class Line:
    """One line of the recorded job, from its manifest."""

    voice: str
    start: float
    end: float
    words: str
    intent: str


@dataclass(frozen=True)
class Recording:
    """The recorded job: clean, and with site noise."""

    clean: Samples
    site: Samples
    lines: tuple[Line, ...]

    def phrases(self) -> tuple[str, ...]:
        """Everything that is said on purpose."""
        return tuple(dict.fromkeys(line.words for line in self.lines if line.words))


def read_recording(name: str = "job") -> Recording:
    """A committed recording: the whole job, or the phrases that tests cut out one by one."""
    folder = data_dir("audio_fixtures", name)
    manifest = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
    lines = tuple(Line(**entry) for entry in manifest["utterances"])
    return Recording(read_wav(folder / "job.flac"), read_wav(folder / "site.flac"), lines)


def hear(recogniser: Recogniser, samples: Samples, grammar: Grammar, size: int = 800) -> list[Utterance]:
    """Every utterance of a recording, under one grammar."""
    recogniser.listen_for(grammar)
    heard = [recogniser.feed(block) for block in blocks(samples, size)]
    return [utterance for utterance in (*heard, recogniser.flush()) if utterance is not None]
