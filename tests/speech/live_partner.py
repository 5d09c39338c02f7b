"""A partner with a handful of phrases and a screen that remembers, for tests of the live session without the dialogue."""

from __future__ import annotations

import threading
import time
from dataclasses import dataclass, field

from assistant.events import AdjustSound, CallEvery, Ending, Event, NothingHeard, Sound, Tone, Utterance
from assistant.language.expecting import Expected
from assistant.language.understanding import Wants
from assistant.language.vocabulary import Stage
from assistant.setout.lengths import Unit

LONG = "this sentence goes on and on and on so that there is time to talk over it before it has ended"


@dataclass(frozen=True)
class Said:
    """What the partner wants done."""

    spoken: tuple[str, ...] = ()
    adjustments: tuple[AdjustSound, ...] = ()
    pace: tuple[CallEvery, ...] = ()
    signal: Tone | None = None


@dataclass
class Marks:
    """Counts marks: “next” goes on, “how many left” talks for long, everything taken is remembered."""

    on_headset: bool = False
    mark: int = 0
    taken: list[Event] = field(default_factory=list)

    def open(self) -> Said:
        return Said(("ready",))

    def take(self, event: Event) -> Said:
        self.taken.append(event)
        if isinstance(event, NothingHeard):
            return Said()
        assert isinstance(event, Utterance)
        if not event.understood:
            return Said()
        match " ".join(event.words):
            case "next":
                self.mark += 1
                return Said((f"mark {('one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight')[self.mark - 1]}",))
            case "how many left":
                return Said((LONG,))
            case "louder":
                return Said((), (AdjustSound(Sound.LOUDER),))
            case "call every two seconds":
                return Said(("two seconds",), (), (CallEvery(2),))
            case "hold":
                return Said((), (), (CallEvery(None),))
        return Said(("all measured",))

    def phrases(self) -> tuple[str, ...]:
        return ("next", "stop", "how many left", "louder", "call every two seconds", "hold", "repeat")

    def ending(self, words: tuple[str, ...]) -> Ending:
        return Ending.COMPLETE

    def expected(self) -> Expected:
        return Expected(Stage.WALK, Wants.LENGTH, Unit.MM)

    def armed(self) -> tuple[str, ...]:
        return ("stop", "next", "repeat")

    def asleep(self) -> bool:
        return False

    def headset(self) -> bool:
        return self.on_headset

    def words(self) -> list[str]:
        """Everything understood so far."""
        return [" ".join(e.words) for e in self.taken if isinstance(e, Utterance) and e.understood]


@dataclass
class Notes:
    """A screen that remembers what was shown, and when."""

    texts: list[tuple[float, str]] = field(default_factory=list)
    notices: list[tuple[float, str]] = field(default_factory=list)
    levels: int = 0
    changed: threading.Condition = field(default_factory=threading.Condition)

    def heard(self, utterance: Utterance) -> None:
        pass

    def said(self, text: str) -> None:
        self.texts.append((time.monotonic(), text))

    def level(self, level: float, speech: bool) -> None:
        self.levels += 1

    def notice(self, text: str) -> None:
        self.notices.append((time.monotonic(), text))
