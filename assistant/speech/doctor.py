"""Is this machine ready?  One check a line; each passes or says what to do.

Crosses the border: names of model and devices and the folder of records in, checks out.  Nothing is kept.
"""

from __future__ import annotations

import os
import shutil
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from assistant.errors import AudioError, ModelError, SynthesisError
from assistant.speech.devices import Block, SoundCard, choose
from assistant.speech.models import find_model
from assistant.speech.native import stderr_dropped
from assistant.speech.player import Player
from assistant.speech.recogniser import Grammar, Recogniser
from assistant.speech.secondear import TRIAL_S, open_second_ear
from assistant.speech.synthesiser import Synthesiser
from assistant.speech.tones import LISTENING
from assistant.speech.wav import SAMPLE_RATE, Samples, blocks, silence

SPOKEN = "two thousand one hundred and sixty millimetres"
OTHERS = ("one thousand two hundred and sixty millimetres", "two thousand one hundred and sixteen millimetres")
LISTEN_S = 2.0
FAINT = 3.0
"""Below this level (-81 dBFS) a microphone gives nothing of use."""
LOUD = 3000.0
"""Above this level (-21 dBFS) the place is too loud, or the gain too high, to be understood."""
SLOW_S = 0.15
"""From a finished utterance to the first sound of the reply."""
FREE_MB = 100
COMMIT_S = 0.25


@dataclass(frozen=True, slots=True)
class Check:
    """One line."""

    name: str
    passed: bool
    text: str
    """What was found; when it did not pass, what to do."""


def checks(home: Path, model: str | None, microphone: str | None, loudspeaker: str | None) -> Iterator[Check]:
    """All checks, each when it is done (about five seconds together); ``home`` is the folder of the records."""
    yield _disk(home)
    recogniser, check = _model(model)
    yield check
    yield _second_ear()
    with Synthesiser() as synthesiser:
        yield _voice(synthesiser, recogniser)
        missing = [found for found in (_device(microphone, True), _device(loudspeaker, False)) if not found.passed]
        if missing:
            yield from missing
        else:
            yield from _sound(microphone, loudspeaker)


def _disk(home: Path) -> Check:
    try:
        home.mkdir(parents=True, exist_ok=True)
        took = min(_safe_write(home) for _ in range(3))
        free = shutil.disk_usage(home).free / 1e6
    except OSError as error:
        return Check("disk", False, f"cannot write to {home} ({error.strerror}): choose another folder or free this one")
    if free < FREE_MB:
        return Check("disk", False, f"only {free:.0f} MB free at {home}: make room")
    if took > COMMIT_S:
        return Check("disk", False, f"a safe write takes {took * 1000:.0f} ms at {home}: choose a faster disk")
    return Check("disk", True, f"{free / 1000:.0f} GB free at {home}, a safe write takes {took * 1000:.0f} ms")


def _safe_write(home: Path) -> float:
    """Seconds until a page is on the disk."""
    begun = time.monotonic()
    with tempfile.TemporaryFile(dir=home) as file:
        file.write(bytes(4096))
        file.flush()
        os.fsync(file.fileno())
    return time.monotonic() - begun


def _model(name: str | None) -> tuple[Recogniser | None, Check]:
    begun = time.monotonic()
    try:
        path = find_model(name)
        recogniser = Recogniser(path)
        recogniser.listen_for(Grammar((SPOKEN, *OTHERS)))
    except ModelError as error:
        return None, Check("speech model", False, str(error))
    return recogniser, Check("speech model", True, f"{path.name} loads in {time.monotonic() - begun:.2f} s")


def _second_ear() -> Check:
    """Loads the second ear and times it on this machine."""
    told: list[str] = []
    ear = open_second_ear(told.append)
    if ear is None:
        return Check("second ear", False, " ".join(told))
    return Check("second ear", True, f"hears {TRIAL_S:.0f} s of sound in {ear.delay() * 1000:.0f} ms")


def _voice(synthesiser: Synthesiser, recogniser: Recogniser | None) -> Check:
    """Renders a sentence and has it understood."""
    try:
        synthesiser.render("ready")
        begun = time.monotonic()
        sound = synthesiser.render(SPOKEN)
        took = time.monotonic() - begun
    except SynthesisError as error:
        return Check("voice", False, str(error))
    rendered = f"renders a sentence in {took * 1000:.0f} ms"
    if recogniser is None:
        return Check("voice", True, rendered)
    if _understood(recogniser, sound) != SPOKEN:
        return Check("voice", False, f"{rendered}, but it is not understood: install espeak-ng, or choose another model")
    return Check("voice", True, f"{rendered}, and it is understood")


def _understood(recogniser: Recogniser, sound: Samples) -> str:
    heard = [recogniser.feed(block) for block in blocks(np.concatenate([silence(0.3), sound, silence(1.0)]))]
    return " ".join(word for utterance in (*heard, recogniser.flush()) if utterance for word in utterance.words)


def _device(name: str | None, microphone: bool) -> Check:
    kind = "microphone" if microphone else "loudspeaker"
    try:
        choose(name, microphone)
    except AudioError as error:
        return Check(kind, False, str(error))
    return Check(kind, True, name or "the system's choice")


def _sound(microphone: str | None, loudspeaker: str | None) -> Iterator[Check]:
    """Opens both devices, plays a tone and listens for two seconds."""
    player = Player()
    card = SoundCard(microphone, loudspeaker, player)
    try:
        with stderr_dropped():
            try:
                card.open()
                first = _wait(card)
                asked = time.monotonic()
                player.play(LISTENING)
                heard = _listen(card)
                begun = player.begun
            finally:
                card.close()
    except AudioError as error:
        yield Check("sound", False, str(error))
        return
    yield _level(heard if first is not None else [])
    if begun is None:
        yield Check("loudspeaker", False, "asks for no sound: choose another with --speaker, or restart the sound server")
        return
    out = begun - asked
    if out > SLOW_S:
        yield Check("delay", False, f"sound comes out {out * 1000:.0f} ms late: choose a wired headset or a nearer device")
    else:
        yield Check("delay", True, f"sound comes out {out * 1000:.0f} ms after it is asked for")
    if card.overruns:
        yield Check("load", False, f"sound was lost {card.overruns} times in {LISTEN_S:.0f} s: close other programs")


def _wait(card: SoundCard) -> Block | None:
    deadline = time.monotonic() + 3.0
    while time.monotonic() < deadline:
        block = card.read(0.1)
        if block is not None:
            return block
    return None


def _listen(card: SoundCard) -> list[Samples]:
    deadline = time.monotonic() + LISTEN_S
    heard = []
    while time.monotonic() < deadline:
        block = card.read(0.1)
        if block is not None:
            heard.append(block.samples)
    return heard


def _level(heard: list[Samples]) -> Check:
    if not heard:
        return Check("microphone", False, "gives no sound at all: choose another with --mic, or restart the sound server")
    sound = np.concatenate(heard).astype(np.float64)
    if not sound.any():
        return Check(
            "microphone", False, "gives nothing but zeros: switch it on, and allow this program to use it in the system's settings"
        )
    frames = sound[: len(sound) // 400 * 400].reshape(-1, 400)
    background = float(np.percentile(np.sqrt((frames**2).mean(axis=1)), 20))
    decibels = f"{20 * np.log10(max(background, 0.1) / 32768):.0f} dBFS"
    if background < FAINT and np.abs(sound).max() < 10 * FAINT:
        return Check("microphone", False, f"is almost silent ({decibels}): raise its level in the system's settings")
    if background > LOUD:
        return Check("microphone", False, f"the background is at {decibels}: lower its level, or move away from the noise")
    seconds = len(sound) / SAMPLE_RATE
    return Check("microphone", True, f"{seconds:.1f} s heard, background at {decibels}")
