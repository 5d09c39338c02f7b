"""A conversation by voice, for hours: microphone to utterance, utterance to reply, reply to loudspeaker, devices lost and found.

Crosses the border: utterances (and the passing of time) go to the partner, who answers with sentences to speak; what a person
should see goes to the screen.  The partner knows no sound, this file knows no dialogue.
"""

from __future__ import annotations

import re
import time
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np

from assistant.errors import AudioError, RecordError, SynthesisError
from assistant.events import AdjustSound, CallEvery, Ending, Event, NothingHeard, Sound, Tone, Utterance
from assistant.speech import tones
from assistant.speech.devices import Block
from assistant.speech.hearing import Hearing
from assistant.speech.native import stderr_dropped
from assistant.speech.player import Player
from assistant.speech.readings import Expected
from assistant.speech.recogniser import Grammar, Recogniser
from assistant.speech.secondear import SecondEar
from assistant.speech.synthesiser import Synthesiser
from assistant.speech.turn_taking import Ears, ears
from assistant.speech.wav import SAMPLE_RATE

SILENCE_S = 8.0
"""Nobody spoke for so long after a reply: the partner is told."""
ALL_ZERO_S = 5.0
"""A microphone that gives nothing but zeros for so long is switched off or withheld from this program."""
RETRY_S = 0.5
"""Seconds between two tries to open a lost device."""
GRACE_S = 0.2
"""When a sound server dies, its devices fall silent within this time of each other."""
LAST_WORDS_S = 5.0
"""The longest that a lost microphone is spoken about before it is looked for."""
RATES = range(100, 221)
RATE_STEP = 15
VOLUMES = (0.2, 1.4)
VOLUME_STEP = 1.25
LOUD_SITE = 300.0
"""A background of this level (-41 dBFS) and more raises the voice, at most to NOISE_GAIN times."""
NOISE_GAIN = 1.6

_SENTENCE_END = re.compile(r"(?<=[.?!])\s+")

GONE = "I cannot hear you. The microphone is gone."
ALL_ZERO = "The microphone gives no sound. Check that it is switched on and that this program may use it."
FOUND = "I can hear you once more."


class Answer(Protocol):
    """What the partner wants done."""

    @property
    def spoken(self) -> Sequence[str]: ...
    @property
    def adjustments(self) -> Sequence[AdjustSound]: ...
    @property
    def pace(self) -> Sequence[CallEvery]: ...
    @property
    def signal(self) -> Tone | None: ...


class Partner(Protocol):
    """The conversation."""

    def open(self) -> Answer: ...
    def take(self, event: Event) -> Answer: ...
    def phrases(self) -> tuple[str, ...]: ...
    def ending(self, words: tuple[str, ...]) -> Ending: ...
    def expected(self) -> Expected: ...
    def armed(self) -> tuple[str, ...]: ...
    def asleep(self) -> bool: ...
    def headset(self) -> bool: ...


class Card(Protocol):
    """A microphone and a loudspeaker: a sound card, or what stands for one."""

    @property
    def name(self) -> str: ...
    @property
    def overruns(self) -> int: ...
    def open(self) -> None: ...
    def read(self, seconds: float) -> Block | None: ...
    @property
    def microphone_lost(self) -> bool: ...
    @property
    def loudspeaker_lost(self) -> bool: ...
    @property
    def unheard(self) -> bool: ...
    def close(self) -> None: ...
    def reopen(self) -> None: ...


class Screen(Protocol):
    """Where a person can look."""

    def heard(self, utterance: Utterance) -> None: ...
    def said(self, text: str) -> None: ...
    def level(self, level: float, speech: bool) -> None: ...
    def notice(self, text: str) -> None: ...


@dataclass(frozen=True, slots=True)
class _Trouble:
    """What is said when the partner could not answer."""

    spoken: tuple[str, ...]
    adjustments: tuple[AdjustSound, ...] = ()
    pace: tuple[CallEvery, ...] = ()
    signal: Tone | None = None


@dataclass(frozen=True, slots=True)
class Exchange:
    """When one reply came about; seconds on the clock of time.monotonic."""

    word_end: float
    """End of the last word, as the recogniser places it."""
    endpoint: float
    """The utterance was known to be over."""
    decided: float
    """The partner had answered; what it accepted was on the disk."""
    rendered: float
    """The first sentence was samples."""
    begun: float | None = None
    """Its first sample was heard; None while that lies ahead."""


class LiveSession:
    """One conversation through one pair of devices."""

    def __init__(
        self,
        partner: Partner,
        *,
        recogniser: Recogniser,
        second: SecondEar | None = None,
        synthesiser: Synthesiser,
        card: Card,
        player: Player,
        screen: Screen,
    ) -> None:
        self._partner, self._recogniser, self._synthesiser = partner, recogniser, synthesiser
        self._card, self._player, self._screen = card, player, screen
        self.exchanges: deque[Exchange] = deque(maxlen=1000)
        """The latest replies, for whoever measures."""
        self._ears: Ears | None = None
        self._armed: Grammar | None = None
        self._last_said: tuple[str, ...] = ()
        self._interrupted = False
        self._pace: int | None = None
        self._since = 0.0
        self._waiting_for_answer = True
        self._zeros = 0
        self._ever_sound = False
        self._away = False
        self._unheard = False
        self._overruns = 0
        self._volume = 0.7
        self._hearing = Hearing(recogniser, screen.notice, second)

    def run(self, until: Callable[[], bool], opened: Callable[[], None] = lambda: None) -> None:
        """Opens the devices, tells `opened`, and talks until ``until()``.  Raises AudioError when they cannot be opened at the start."""
        with stderr_dropped():
            self._card.open()
            try:
                opened()
                self._answer(self._partner.open())
                while not until():
                    self.step()
            finally:
                self._card.close()

    def step(self) -> None:
        """One block, or a tenth of a second without one."""
        if self._away:
            self._look_for_devices()
            return
        block = self._card.read(0.1)
        if block is not None:
            self._listen(block)
        if self._card.microphone_lost or self._card.loudspeaker_lost:
            self._lose()
        else:
            self._keep_time(time.monotonic())

    def _listen(self, block: Block) -> None:
        self._watch(block)
        speaking = self._player.speaking(block.at)
        self._set_ears(ears(block.at, speaking, self._player.ended, self._partner.headset()))
        if self._ears is Ears.SHUT:
            return
        utterance = self._recogniser.feed(block.samples)
        if self._ears is Ears.ARMED and not self._interrupted and self._recogniser.partial in self._armed_words():
            self._interrupted = True
            self._player.stop(time.monotonic())
        if utterance is not None:
            self._heard(utterance, block.at - (self._recogniser.time - utterance.end))

    def _watch(self, block: Block) -> None:
        """Shows the level; says when the microphone is dead or sound was lost."""
        level = float(np.sqrt((block.samples.astype(np.float64) ** 2).mean()))
        self._screen.level(level, bool(self._recogniser.partial))
        silent = not block.samples.any()
        before, self._zeros = self._zeros, self._zeros + len(block.samples) if silent else 0
        self._ever_sound = self._ever_sound or not silent
        if before < round(ALL_ZERO_S * SAMPLE_RATE) <= self._zeros:
            self._screen.notice(ALL_ZERO)
            if not self._ever_sound:  # some headsets give zeros between words: no talk about that while somebody works
                self._say((ALL_ZERO,))
        if self._card.overruns > self._overruns:
            self._overruns = self._card.overruns
            self._screen.notice(f"sound was lost {self._overruns} times: the machine is too busy")

    def _armed_words(self) -> set[tuple[str, ...]]:
        return {tuple(phrase.split()) for phrase in self._partner.armed()}

    def _set_ears(self, wanted: Ears) -> None:
        if wanted is self._ears:
            return
        if Ears.SHUT in (wanted, self._ears):
            self._recogniser.forget()
        self._ears = wanted
        self._tune()

    def _tune(self) -> None:
        """Tells the recogniser what counts now."""
        if self._ears is Ears.ARMED:
            armed = self._partner.armed()
            phrases = self._recogniser.sayable(self._partner.phrases())
            words = {word for phrase in phrases for word in phrase.split()} - set(armed)
            self._armed = Grammar(armed, decoys=tuple(sorted(words)))
            self._recogniser.listen_for(self._armed)
        else:
            self._hearing.tune(self._partner.phrases(), self._partner.ending, self._partner.expected())

    def _heard(self, utterance: Utterance, word_end: float) -> None:
        endpoint = time.monotonic()
        if self._recogniser.grammar is self._armed:
            counts = utterance.understood and utterance.words in self._armed_words()
            interrupted, self._interrupted = self._interrupted, False
            if not counts:
                if interrupted:  # it was nothing after all: say it once more
                    self._say(self._last_said)
                return
            if not interrupted:
                self._player.stop(time.monotonic())
        else:
            utterance = self._hearing.judged(utterance)
        self._screen.heard(utterance)
        answer = self._take(utterance)
        self._waiting_for_answer = True
        self._answer(answer, Exchange(word_end, endpoint, time.monotonic(), 0.0))

    def _take(self, event: Event) -> Answer:
        """The partner's answer; when nothing could be kept, that is said and the conversation stands where it stood."""
        try:
            return self._partner.take(event)
        except RecordError as error:
            return _Trouble((str(error),))

    def _answer(self, answer: Answer, exchange: Exchange | None = None) -> None:
        for adjustment in answer.adjustments:
            self._adjust(adjustment.sound)
        for pace in answer.pace:
            self._pace = pace.seconds
        if answer.spoken:
            self._last_said = tuple(answer.spoken)
            self._say(self._last_said, exchange)
        elif answer.signal is not None:
            self._player.play(tones.SIGNALS[answer.signal])
        self._since = time.monotonic()
        self._tune()

    def _say(self, texts: Sequence[str], exchange: Exchange | None = None) -> None:
        """Shows and speaks sentences; on a loudspeaker a tone tells when it is the user's turn."""
        follow = min(NOISE_GAIN, max(1.0, self._recogniser.background / LOUD_SITE))
        self._player.volume = min(VOLUMES[1], self._volume * follow)
        for text in texts:
            self._screen.said(text)
            for sentence in _SENTENCE_END.split(text):  # the first is heard while the others are rendered
                self._speak(sentence)
                if exchange is not None:
                    self.exchanges.append(replace(exchange, rendered=time.monotonic()))
                    exchange = None
        if not self._partner.headset():
            self._player.play(tones.LISTENING)

    def _speak(self, sentence: str) -> None:
        try:
            self._player.play(self._synthesiser.render(sentence))
        except SynthesisError as error:
            self._screen.notice(str(error))

    def _adjust(self, sound: Sound) -> None:
        voice = self._synthesiser.voice
        if sound in (Sound.FASTER, Sound.SLOWER):
            rate = voice.rate + (RATE_STEP if sound is Sound.FASTER else -RATE_STEP)
            self._synthesiser.voice = replace(voice, rate=min(max(rate, RATES[0]), RATES[-1]))
        else:
            volume = self._volume * (VOLUME_STEP if sound is Sound.LOUDER else 1 / VOLUME_STEP)
            self._volume = min(max(volume, VOLUMES[0]), VOLUMES[1])

    def _keep_time(self, now: float) -> None:
        """Calls at the pace asked for, tells the partner of silence, completes the latest exchange."""
        if self.exchanges and self.exchanges[-1].begun is None and self._player.begun is not None:
            self.exchanges[-1] = replace(self.exchanges[-1], begun=self._player.begun)
        if self._player.speaking(now) or self._recogniser.partial:
            return
        quiet = now - max(self._since, self._player.ended)
        if self._pace is not None and quiet >= self._pace:
            call = Utterance(("next",), self._recogniser.time, self._recogniser.time)
            self._screen.heard(call)
            self._answer(self._take(call))
        elif self._waiting_for_answer and quiet >= SILENCE_S:
            answer = self._take(NothingHeard())
            self._waiting_for_answer = bool(answer.spoken)
            self._answer(answer)

    def _lose(self) -> None:
        """A device is gone: said at once on the screen, and aloud while there is a loudspeaker."""
        self._away = True
        time.sleep(GRACE_S)
        if self._card.loudspeaker_lost:
            self._screen.notice(f"{self._card.name} is gone: I look for it until it is there")
            self._unheard = self._unheard or self._card.unheard
            return
        self._screen.notice("the microphone is gone: I look for it until it is there")
        self._unheard = True
        self._player.stop(time.monotonic())
        self._say((GONE,))
        deadline = time.monotonic() + LAST_WORDS_S
        while self._player.speaking(now := time.monotonic()) and now < deadline and not self._card.loudspeaker_lost:
            time.sleep(0.05)

    def _look_for_devices(self) -> None:
        try:
            self._card.reopen()
        except AudioError:
            time.sleep(RETRY_S)
            return
        self._away = False
        self._ears = None
        self._interrupted = False
        self._zeros = 0
        self._ever_sound = False
        self._recogniser.forget()
        self._player.stop(time.monotonic())
        self._screen.notice(f"{self._card.name} and its microphone are there")
        self._say((FOUND, *self._last_said) if self._unheard else (FOUND,))
        self._unheard = False
        self._since = time.monotonic()
