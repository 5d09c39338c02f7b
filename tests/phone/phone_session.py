"""A whole session whose sound card is a phone, for the tests; the assistant runs in a thread of its own."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from pathlib import Path
from types import TracebackType

from assistant.conversation import Conversation
from assistant.display.view import view_of
from assistant.job import Job
from assistant.live_wiring import PHONE_GONE, Watched
from assistant.phone.certificate import own
from assistant.phone.phone_card import PhoneCard
from assistant.phone.phone_server import PhoneServer
from assistant.record.store import Store
from assistant.serving import LOOPBACK
from assistant.speech.live import LiveSession
from assistant.speech.models import find_model
from assistant.speech.player import Player
from assistant.speech.recogniser import Recogniser
from assistant.speech.secondear import open_second_ear
from assistant.speech.synthesiser import Synthesiser


class Notes:
    """A screen that remembers what was said and noticed."""

    def __init__(self) -> None:
        self.texts: list[str] = []
        self.heards: list[str] = []
        self.notices: list[str] = []

    def heard(self, utterance: object) -> None:
        self.heards.append(" ".join(getattr(utterance, "words", ())))

    def said(self, text: str) -> None:
        self.texts.append(text)

    def level(self, level: float, speech: bool) -> None:
        """Nothing to remember."""

    def notice(self, text: str) -> None:
        self.notices.append(text)


class PhoneSession:
    """Recogniser, both ears, dialogue, record and voice, with a phone as card; a context manager."""

    def __init__(self, folder: Path, synthesiser: Synthesiser) -> None:
        self.store = Store(folder / "home")
        self.number = self.store.create("yard")
        self.notes, self.player = Notes(), Player()
        self.card = PhoneCard(self.player)
        self.server = PhoneServer(self.card, LOOPBACK, own(folder / "certificate", LOOPBACK))
        self.server.say_when_gone(synthesiser.render(PHONE_GONE))
        self.conversation: Conversation | None = None
        self._synthesiser = synthesiser
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, daemon=True)
        self._thread.start()

    def _run(self) -> None:
        """All in one thread: a record belongs to the thread that opened it."""
        with self.store.open(self.number) as writer:
            self.conversation = Conversation(writer, writer.turns, writer.title)
            LiveSession(
                Watched(self.conversation, self._show),
                recogniser=Recogniser(find_model("site-en")),
                second=open_second_ear(self.notes.notice),
                synthesiser=self._synthesiser,
                card=self.card,
                player=self.player,
                screen=self.notes,
            ).run(self._stop.is_set)

    def _show(self, job: Job) -> None:
        self.server.show(view_of(job, "yard"))

    @property
    def job(self) -> Job:
        """As it stands now."""
        assert self.conversation is not None
        return self.conversation.state.job

    def until(self, happened: Callable[[], bool], seconds: float = 10.0) -> bool:
        """Waits; whether it happened in that time."""
        end = time.monotonic() + seconds
        while not happened():
            if time.monotonic() > end:
                return False
            time.sleep(0.02)
        return True

    def quiet(self) -> None:
        """Until the assistant has said its say and its ears are open."""
        self.until(lambda: self.player.speaking(time.monotonic()), 5)
        self.until(lambda: not self.player.speaking(time.monotonic()), 60)
        time.sleep(0.65)

    def close(self) -> None:
        """Ends session and server."""
        self._stop.set()
        self._thread.join(15)
        self.server.close()

    def __enter__(self) -> PhoneSession:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()
