"""The offline recogniser: blocks of sound in, utterances out, on the time of the samples (no clock).

Crosses the border: samples and a grammar come in, Utterance values go out.  The only file that imports vosk.
"""

from __future__ import annotations

import json
import tempfile
from collections import deque
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import vosk

from assistant.errors import ModelError
from assistant.events import Utterance
from assistant.speech.loudness import Loudness
from assistant.speech.native import stderr_diverted
from assistant.speech.wav import SAMPLE_RATE, Samples

GARBAGE = "[unk]"
_GARBAGE_SHARE = 0.03
_AFTER_WORD_S = 0.12
"""What the next engine hears again begins this long after the last word, so that its tail is not heard twice."""
_REPLAY_S = 1.5
"""The most that the next engine hears again."""
_HOLD_S = 0.8
"""The hold of a grammar that has only a pause."""
_SHORTEST_WAIT_S = 0.2
"""Less quiet than this ends nothing."""
_CHANGE_REPLAY_S = 0.3
"""The most that an engine hears again when only the grammar has changed, for a word just begun."""
_KEPT_S = 15.0
"""Sound that is kept for a second opinion on an utterance."""
_ROUND_S = 0.3
"""Sound before the first and behind the last word that belongs to an utterance."""
_RECENT_S = 0.10
"""Sound this recent tells whether somebody has begun to speak again."""
_LEAD_S = 0.2
"""An engine that has heard less than this before a word, or behind it, does not hear the word."""
_HISS = np.rint(np.random.default_rng(1).normal(0, 2, SAMPLE_RATE)).astype(np.int16)
"""Fainter than any microphone's own noise, in place of sound that is not there: both ears were trained on no true silence."""


def _decoys(model: Path) -> tuple[str, ...]:
    try:
        return tuple((model / "decoys.txt").read_text(encoding="utf-8").split())
    except FileNotFoundError:
        return ()
    except (OSError, UnicodeDecodeError) as error:
        raise ModelError(f"the word list {model / 'decoys.txt'} is damaged: install the model again or choose another") from error


@dataclass(frozen=True, slots=True)
class Wait:
    """How long more words are waited for."""

    pause: float
    """Seconds of quiet that end an utterance; a shorter breath does not cut it."""
    hold: float
    """Sound that goes on after that, but becomes no word within so many seconds more, is noise."""
    settled: float = float("inf")
    """In noise that hides all quiet: seconds without a change of the words, long words included, that end an utterance."""


@dataclass(frozen=True, slots=True)
class Grammar:
    """What the recogniser may hear during one utterance."""

    phrases: tuple[str, ...]
    """What the user may say, lower-case words; a phrase that is listed often weighs more."""
    decoys: tuple[str, ...] = ()
    """Ordinary words of no use here: an utterance that holds one is not meant for us."""
    garbage: int | None = None
    """How often the garbage word is listed; None: for 3 % of the phrases, at least once."""
    pause: float = 0.4
    """Seconds of quiet that end an utterance; a shorter breath does not cut it."""
    wait: Callable[[tuple[str, ...]], Wait] | None = None
    """What takes the place of `pause` where it hangs on the words heard so far; costly, so it is asked late."""

    def waits(self, words: tuple[str, ...]) -> Wait:
        """How long to wait behind these words."""
        return Wait(self.pause, _HOLD_S) if self.wait is None else self.wait(words)


_TALK = Wait(0.6, _HOLD_S)
"""Talk that is not for us is left to go on: refused once, not phrase by phrase."""


class Recogniser:
    """One speech model and one running utterance.  Use from one thread."""

    def __init__(self, model: Path) -> None:
        """Loads the model directory (see models.find_model).  Raises ModelError when it cannot be loaded."""
        self._model = _load(model)
        self._path = model
        self._known: dict[str, bool] = {}
        self.decoys = _decoys(model)
        """Ordinary words that come with the model, safe beside the words of the job; none with a model that has no list."""
        self._grammar: Grammar | None = None
        self._next: Grammar | None = None
        self._foreign: frozenset[str] = frozenset()
        self._engine: vosk.KaldiRecognizer | None = None
        self._engine_start = 0
        self._fed = 0
        self._recent: Samples = np.zeros(0, dtype=np.int16)
        self._kept: deque[Samples] = deque()
        self._kept_length = 0
        self._loudness = Loudness()
        self._held: Utterance | None = None
        self._words: tuple[str, ...] = ()
        self._changed = 0.0

    @property
    def time(self) -> float:
        """Seconds of sound fed so far."""
        return self._fed / SAMPLE_RATE

    @property
    def grammar(self) -> Grammar | None:
        """The grammar of the utterance under way, or of the one just ended."""
        return self._grammar

    @property
    def background(self) -> float:
        """Level of the background, in 16-bit steps."""
        return self._loudness.background()

    @property
    def partial(self) -> tuple[str, ...]:
        """The words of the utterance under way, as far as they are made out; they may still change."""
        held = self._held.words if self._held else ()
        return held + self._running()

    def sound(self, utterance: Utterance) -> Samples:
        """The sound of an utterance that has just ended, with the moment before and behind it; hiss where that was not fed."""
        kept = np.concatenate([np.zeros(0, dtype=np.int16), *self._kept])
        first = self._fed - len(kept)
        start = round((utterance.start - _ROUND_S) * SAMPLE_RATE) - first
        end = round((utterance.end + _ROUND_S) * SAMPLE_RATE) - first
        lead = _hiss(0, round(_ROUND_S * SAMPLE_RATE) if start < 0 else 0)
        return np.concatenate([lead, kept[max(0, start) : max(0, end)], _hiss(0, max(0, end - len(kept)))])

    def missing(self, words: Iterable[str]) -> tuple[str, ...]:
        """Those of the words that the model does not know."""
        unknown = []
        for word in dict.fromkeys(words):
            if word not in self._known:
                self._known[word] = self._model.vosk_model_find_word(word) >= 0
            if not self._known[word]:
                unknown.append(word)
        return tuple(unknown)

    def sayable(self, phrases: Iterable[str]) -> tuple[str, ...]:
        """Those of the phrases whose words the model knows, all of them."""
        return tuple(phrase for phrase in phrases if not self.missing(phrase.split()))

    def listen_for(self, grammar: Grammar) -> None:
        """Changes the grammar from the next utterance on; one that is under way is finished with the old grammar.

        Raises ModelError when a word is not in the model (the recogniser would be deaf to it and say nothing).
        """
        if not grammar.phrases:
            raise ModelError("the recogniser was given nothing to listen for: this is a mistake in the program")
        unknown = self.missing(word for phrase in (*grammar.phrases, *grammar.decoys) for word in phrase.split())
        if unknown:
            raise ModelError(f"the speech model {self._path} does not know: {', '.join(unknown)}")
        self._next = grammar

    def feed(self, samples: Samples) -> Utterance | None:
        """Takes the next block (20 to 100 ms); an utterance when one has just ended."""
        if self._next is not None and not self.partial:
            self._start()
        if self._engine is None:
            raise ModelError("the recogniser was not told what to listen for: this is a mistake in the program")
        samples = np.where(samples == 0, _hiss(self._fed, len(samples)), samples)
        self._fed += len(samples)
        self._keep(samples)
        self._loudness.feed(samples)
        self._recent = np.concatenate([self._recent, samples])[-round(_REPLAY_S * SAMPLE_RATE) :]
        if self._engine.AcceptWaveform(samples.tobytes()):
            segment = self._segment(self._engine.Result())
            self._held = _joined(self._held, segment)
            if segment is None or not segment.understood:
                return self._release()
        words = self.partial
        if words != self._words:
            self._words, self._changed = words, self.time
        if self._seems_over():
            # What the words so far did not hold yet comes out now; there may be more to wait for behind it.
            self._held = _joined(self._held, self._segment(self._engine.FinalResult()))
        if self._held is None:
            return None
        return self._release() if not self._held.understood or self._pause_is_over(self._held) else None

    def forget(self) -> None:
        """Drops the utterance under way: what was fed so far has nothing to do with what comes."""
        self._held = None
        self._engine = None
        self._recent = self._recent[:0]
        self._kept.clear()
        self._kept_length = 0
        self._next = self._next or self._grammar

    def flush(self) -> Utterance | None:
        """The end of the sound: the utterance that was still under way."""
        if self._engine is None:
            return None
        if self._engine.AcceptWaveform(_hiss(0, round(_LEAD_S * SAMPLE_RATE)).tobytes()):
            self._held = _joined(self._held, self._segment(self._engine.Result()))
        self._held = _joined(self._held, self._segment(self._engine.FinalResult()))
        return self._release()

    def _keep(self, samples: Samples) -> None:
        self._kept.append(samples)
        self._kept_length += len(samples)
        while self._kept_length - len(self._kept[0]) > _KEPT_S * SAMPLE_RATE:
            self._kept_length -= len(self._kept.popleft())

    def _running(self) -> tuple[str, ...]:
        """The words of the segment under way."""
        if self._engine is None:
            return ()
        return tuple(json.loads(self._engine.PartialResult()).get("partial", "").split())

    def _start(self) -> None:
        """A new engine with the grammar that was asked for; it hears once more what followed the last utterance."""
        assert self._next is not None
        self._grammar, self._next = self._next, None
        self._foreign = frozenset((GARBAGE, *(word for phrase in self._grammar.decoys for word in phrase.split())))
        phrases = [*self._grammar.phrases, *self._grammar.decoys]
        garbage = self._grammar.garbage
        phrases += [GARBAGE] * (max(1, round(_GARBAGE_SHARE * len(phrases))) if garbage is None else garbage)
        if self._engine is not None:
            self._recent = self._recent[-round(_CHANGE_REPLAY_S * SAMPLE_RATE) :]
        self._engine = vosk.KaldiRecognizer(self._model, SAMPLE_RATE, json.dumps(phrases))
        self._engine.SetWords(True)
        lead = max(0, round(_LEAD_S * SAMPLE_RATE) - len(self._recent))
        self._engine_start = self._fed - len(self._recent) - lead
        self._engine.AcceptWaveform(_hiss(0, lead).tobytes() + self._recent.tobytes())

    def _segment(self, result: str) -> Utterance | None:
        """The engine's result as an utterance; None when it holds no word or was no louder than the background."""
        found = json.loads(result).get("result", [])
        if not found:
            return None
        offset = self._engine_start / SAMPLE_RATE
        start, end = offset + found[0]["start"], offset + found[-1]["end"]
        if not self._loudness.is_speech(start, end):
            return None
        end = self._loudness.speech_end(start, end)  # the engine may count the silence after a word to the word
        words = [entry["word"] for entry in found]
        return Utterance(
            words=tuple(word for word in words if word not in self._foreign),
            start=start,
            end=end,
            understood=self._foreign.isdisjoint(words),
        )

    def _seems_over(self) -> bool:
        """Whether somebody has spoken and then been quiet for the whole pause, or nothing new has come of it for long.

        This ends an utterance sooner than the engine's own rule, which looks only every 0.2 s and may take noise for speech.
        """
        assert self._grammar is not None
        unchanged = self.time - self._changed
        if not (unchanged >= _SHORTEST_WAIT_S or self._loudness.quiet_for(_SHORTEST_WAIT_S)) or not self._running():
            return False
        wait = self._grammar.waits(self._words) if self._foreign.isdisjoint(self._words) else _TALK
        return unchanged >= wait.settled or self._loudness.quiet_for(wait.pause)

    def _pause_is_over(self, held: Utterance) -> bool:
        """Whether nothing follows the held words: long enough since the last one, and no sign of another."""
        assert self._grammar is not None
        waited = self.time - held.end
        if waited < _SHORTEST_WAIT_S or self._running():
            return False
        wait = self._grammar.waits(held.words)
        if self._loudness.quiet_for(wait.pause) or self.time - self._changed >= wait.settled:
            return True
        if waited < wait.pause:
            return False
        if waited >= wait.pause + wait.hold:
            return True
        return not self._loudness.is_as_loud(self.time - _RECENT_S, self.time, held.start, held.end)

    def _release(self) -> Utterance | None:
        """Ends the utterance; the next one begins with a fresh engine."""
        utterance, self._held = self._held, None
        if utterance is not None:
            heard = self._fed - round((utterance.end + _AFTER_WORD_S) * SAMPLE_RATE)
            self._recent = self._recent[len(self._recent) - max(0, min(heard, len(self._recent))) :]
            self._engine = None
            self._next = self._next or self._grammar
        return utterance


def _hiss(at: int, length: int) -> Samples:
    """So many samples of hiss; the same at the same place, whatever the blocks."""
    return _HISS[(at + np.arange(length)) % len(_HISS)]


def _joined(held: Utterance | None, segment: Utterance | None) -> Utterance | None:
    if held is None or segment is None:
        return held or segment
    return Utterance(held.words + segment.words, held.start, segment.end, held.understood and segment.understood)


def _load(model: Path) -> vosk.Model:
    """The model.  What the library writes to standard error is read rather than shown: with a damaged graph it loads
    all the same, and the process would die at the first grammar.
    """
    vosk.SetLogLevel(-1)
    damaged = f"the speech model {model} is damaged: install it again or choose another"
    with tempfile.TemporaryFile() as complaints:
        try:
            with stderr_diverted(complaints.fileno()):
                loaded = vosk.Model(model_path=str(model))
        except Exception as error:
            raise ModelError(damaged) from error
        complaints.seek(0)
        if b"ERROR" in complaints.read():
            raise ModelError(damaged)
    return loaded
