"""Text to speech, rendered offline: a sentence in, checked samples out; the playing is done elsewhere.

Crosses the border: text comes in, samples go out.  The rendering itself happens in a worker process
(synthesis_worker), which is started at once and started again after a failure.
"""

from __future__ import annotations

import json
import queue
import re
import subprocess
import sys
import threading
from collections import OrderedDict
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType

import numpy as np
from numpy.typing import NDArray

from assistant.errors import AudioError, SynthesisError
from assistant.scratch import Scratch
from assistant.speech.wav import SAMPLE_RATE, Samples, read_wav

WHAT_TO_DO = "install the speech voice (Debian: apt-get install espeak-ng) and try again"
_LINUX_VOICE = "en-us+f5"
_PAD_BEFORE_S = 0.06
_PAD_AFTER_S = 0.10
_PEAK = 0.7 * 32767
_QUIET = 60
_LONGEST_PAUSE_S = 0.18
"""The driver rests up to 0.4 s between sentences; so long is enough to tell them apart."""
_PAUSE_BELOW = 0.03
"""What is fainter than this share of the loudest is a pause: the voice leaves a faint echo behind."""
_BRIGHTER = 0.5
"""How much of each sample is taken off the next: consonants stand out of the rumble of a site, at the same loudness."""
_TEN_AND = re.compile(r"\b([Tt]en) and")
_TEEN = re.compile(r"\b(thir|four|fif|six|seven|eigh|nine)teen\b")
_KEPT = 512
_START_S = 20.0
_RENDER_S = 10.0


@dataclass(frozen=True, slots=True)
class Voice:
    """How the assistant speaks; changing it takes about 70 ms at the next sentence."""

    name: str | None = _LINUX_VOICE if sys.platform.startswith("linux") else None
    """The platform's name of a voice; None: its default."""
    rate: int = 160
    """Words a minute."""


class Synthesiser:
    """Renders sentences, keeps the latest ones, and closes its worker at the end (a context manager)."""

    def __init__(self, voice: Voice | None = None) -> None:
        """Starts the worker; a failure shows at the first render."""
        self.voice = voice or Voice()
        self._folder = Scratch()
        self._kept: OrderedDict[tuple[str, Voice], Samples] = OrderedDict()
        self._lock = threading.Lock()
        self._count = 0
        self._worker = _Worker(self.voice)

    def __enter__(self) -> Synthesiser:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()

    def close(self) -> None:
        """Ends the worker and removes its files."""
        self._worker.stop()
        self._folder.close()

    def render(self, text: str) -> Samples:
        """The spoken text, with a short pad before and after.  Safe from any thread.

        Raises SynthesisError when the platform cannot speak or what it wrote is not speech.
        """
        key = (text, self.voice)
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
            else:
                self._kept[key] = self._fresh(text)
                if len(self._kept) > _KEPT:
                    self._kept.popitem(last=False)
            return self._kept[key]

    def _fresh(self, text: str) -> Samples:
        if not any(letter.isalnum() for letter in text):
            raise SynthesisError(f"there is nothing to say in {text!r}: this is a mistake in the program")
        if self._worker.voice != self.voice:
            self._restart()
        try:
            return self._rendered(text)
        except SynthesisError:
            if not self._worker.lost:  # it wrote no sound but lives: once more
                with suppress(SynthesisError):
                    return self._rendered(text)
            self._restart()  # the driver can die: once more, from the start
            return self._rendered(text)

    def _restart(self) -> None:
        self._worker.stop()
        self._worker = _Worker(self.voice)

    def _rendered(self, text: str) -> Samples:
        self._count += 1
        path = self._folder.path / f"{self._count}.wav"
        try:
            self._worker.ask({"text": pronounced(text), "path": str(path)})
            return _tidy(read_wav(path), text)
        except AudioError as error:
            raise SynthesisError(f"the speech driver wrote no sound for {text!r}: {WHAT_TO_DO}") from error
        finally:
            path.unlink(missing_ok=True)


class _Worker:
    """The running process, and a thread that reads its answers so that waiting for one can end."""

    def __init__(self, voice: Voice) -> None:
        self.voice = voice
        self.lost = False
        """Whether it has ended, or did not answer in time: what it answers now would be taken for another request's."""
        self._process = subprocess.Popen(
            [sys.executable, "-m", "assistant.speech.synthesis_worker", voice.name or "", str(voice.rate)],
            cwd=Path(__file__).resolve().parents[2],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            start_new_session=True,  # a Ctrl-C is for the assistant, which may still have something to say
            encoding="utf-8",
        )
        self._answers: queue.SimpleQueue[str] = queue.SimpleQueue()
        self._reader = threading.Thread(target=self._read, name="synthesis answers", daemon=True)
        self._reader.start()
        self._ready = False

    def _read(self) -> None:
        assert self._process.stdout is not None
        for line in self._process.stdout:
            self._answers.put(line)
        self._answers.put("")

    def ask(self, request: Mapping[str, object]) -> None:
        """Waits until the request is done.  Raises SynthesisError."""
        assert self._process.stdin is not None
        if not self._ready:
            self._answer(_START_S)
            self._ready = True
        try:
            self._process.stdin.write(json.dumps(request) + "\n")
            self._process.stdin.flush()
        except OSError as error:
            self.lost = True
            raise SynthesisError(f"the speech driver has stopped: {WHAT_TO_DO}") from error
        self._answer(_RENDER_S)

    def _answer(self, seconds: float) -> None:
        try:
            line = self._answers.get(timeout=seconds)
        except queue.Empty:
            line = ""
        self.lost = not line
        problem = json.loads(line)["error"] if line else "it gives no answer"
        if problem:
            raise SynthesisError(f"the speech driver failed ({problem}): {WHAT_TO_DO}")

    def stop(self) -> None:
        """Ends the process, at once when it does not go by itself."""
        assert self._process.stdin is not None and self._process.stdout is not None
        try:
            self._process.stdin.close()
            self._process.wait(timeout=1.0)
        except (OSError, subprocess.TimeoutExpired):
            self._process.kill()
            self._process.wait()
        self._reader.join()
        self._process.stdout.close()


def pronounced(text: str) -> str:
    """The text as it is written for the driver: both halves of a teen stressed, or "thirteen inches" comes out as "thirty inches",
    and a breath after ten, or "ten and a quarter" comes out as "seven a quarter".
    """
    text = _TEEN.sub(lambda found: f"{'eight' if found[1] == 'eigh' else found[1]} teen", text)
    return _TEN_AND.sub(r"\1, and", text)


def _tidy(samples: Samples, text: str) -> Samples:
    """The speech without the driver's long silences, clear in noise and at one level, padded so that no device swallows the first
    syllable.
    """
    loud = np.flatnonzero(np.abs(samples.astype(np.int32)) > _QUIET)
    if not len(loud):
        raise SynthesisError(f"the speech driver wrote silence for {text!r}: {WHAT_TO_DO}")
    speech = _short_pauses(samples[loud[0] : loud[-1] + 1].astype(np.float64))
    speech[1:] -= _BRIGHTER * speech[:-1]
    speech *= _PEAK / np.abs(speech).max()
    before, after = (np.zeros(round(s * SAMPLE_RATE), dtype=np.int16) for s in (_PAD_BEFORE_S, _PAD_AFTER_S))
    return np.concatenate([before, np.rint(speech).astype(np.int16), after])


def _short_pauses(speech: NDArray[np.float64]) -> NDArray[np.float64]:
    """The speech; of a longer silence in it, only so much as makes a pause."""
    longest = round(_LONGEST_PAUSE_S * SAMPLE_RATE)
    loud = np.flatnonzero(np.abs(speech) > _PAUSE_BELOW * np.abs(speech).max())
    cuts = [(int(loud[at]), int(loud[at + 1])) for at in np.flatnonzero(np.diff(loud) > longest)]
    starts = [0, *(after - longest // 2 for _, after in cuts)]
    ends = [*(before + longest - longest // 2 for before, _ in cuts), len(speech)]
    return np.concatenate([speech[start:end] for start, end in zip(starts, ends, strict=True)])
