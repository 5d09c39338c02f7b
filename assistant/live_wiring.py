"""The conversation by microphone and loudspeaker: how the live parts are put together."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

from assistant.conversation import Conversation, Reply
from assistant.display.board import Board
from assistant.display.console import screen
from assistant.display.view import view_of
from assistant.errors import AssistantError
from assistant.events import Ending, Event
from assistant.faults import keep_fault
from assistant.job import Job
from assistant.job_commands import latest, named
from assistant.language.expecting import Expected
from assistant.phone.certificate import Credentials
from assistant.phone.certificate import own as own_credentials
from assistant.phone.phone_card import PhoneCard
from assistant.phone.phone_server import PhoneServer
from assistant.record.store import Store, default_home
from assistant.serving import lan_address
from assistant.speech.devices import SoundCard, list_devices
from assistant.speech.doctor import checks
from assistant.speech.kept_sound import KeepingCard, keepable
from assistant.speech.live import Card, LiveSession
from assistant.speech.models import find_model
from assistant.speech.player import Player
from assistant.speech.recogniser import Recogniser
from assistant.speech.secondear import open_second_ear
from assistant.speech.synthesiser import Synthesiser

Show = Callable[[str], None]

PHONE_GONE = "I have lost the machine. Your job is kept."
"""Said by the phone itself while there is no connection."""
KEPT = "You asked for the sound to be kept. Everything the microphone hears goes into a file."
"""Said aloud before anything else where sound is kept."""


@dataclass(frozen=True, slots=True)
class Wiring:
    """Which parts to use, as asked on the command line."""

    model: str | None = None
    mic: str | None = None
    speaker: str | None = None
    board: bool = False
    lan: bool = False
    keep_audio: Path | None = None
    phone: bool = False
    phone_certificate: Path | None = None
    phone_key: Path | None = None

    @staticmethod
    def of(options: argparse.Namespace) -> Wiring:
        """From the command line; what a command does not offer stays as it is."""
        return Wiring(**{name: value for name, value in vars(options).items() if name in Wiring.__slots__})


class Watched:
    """A conversation whose job is shown after every step; `first` is said before anything else."""

    def __init__(self, conversation: Conversation, show: Callable[[Job], None], first: str = "") -> None:
        self._conversation, self._show, self._first = conversation, show, first

    def open(self) -> Reply:
        """Begin, or take up again."""
        reply = self._shown(self._conversation.open())
        return replace(reply, spoken=(self._first, *reply.spoken)) if self._first else reply

    def take(self, event: Event) -> Reply:
        """One step."""
        return self._shown(self._conversation.take(event))

    def _shown(self, reply: Reply) -> Reply:
        self._show(self._conversation.state.job)
        return reply

    def phrases(self) -> tuple[str, ...]:
        """What to listen for now."""
        return self._conversation.phrases()

    def ending(self, words: tuple[str, ...]) -> Ending:
        """Whether more is to be expected behind these words."""
        return self._conversation.ending(words)

    def expected(self) -> Expected:
        """All that can be said now, and what it means."""
        return self._conversation.expected()

    def armed(self) -> tuple[str, ...]:
        """The words that interrupt."""
        return self._conversation.armed()

    def asleep(self) -> bool:
        """Whether only the wake-up phrase counts."""
        return self._conversation.asleep()

    def headset(self) -> bool:
        """Whether the user may talk over the assistant."""
        return self._conversation.headset()


def listen_new(home: Path | None, title: str, wiring: Wiring) -> None:
    """A new job by voice, until it is interrupted."""
    _check(wiring)
    store = Store(home)
    _listen(store, store.create(title), wiring)


def listen_again(home: Path | None, number: int | None, wiring: Wiring) -> None:
    """Go on with a job by voice at the very mark it was left."""
    _check(wiring)
    store = Store(home)
    number = latest(store, number)
    print(named(store, number))
    _listen(store, number, wiring)


def _check(wiring: Wiring) -> None:
    """What was asked for is there, before a job is begun.  Raises AssistantError."""
    find_model(wiring.model)
    if wiring.keep_audio is not None:
        keepable(wiring.keep_audio)


def _listen(store: Store, number: int, wiring: Wiring, until: Callable[[], bool] = lambda: False) -> None:
    title = store.title(number)
    player = Player()
    recogniser = Recogniser(find_model(wiring.model))
    with ExitStack() as stack:
        writer = stack.enter_context(store.open(number))
        synthesiser = stack.enter_context(Synthesiser())
        seen = screen()
        phone = stack.enter_context(_phone(wiring, player, store.home)) if wiring.phone else None
        card = _card(wiring, player, stack, seen.notice, phone)
        board = stack.enter_context(Board(lan=wiring.lan)) if wiring.board else None
        pages = [page for page in (board, phone.server if phone is not None else None) if page is not None]
        if phone is not None:
            _invite(phone.server, synthesiser, print)

        def opened() -> None:
            """Only now is there a conversation to look at."""
            if board is not None:
                print(board.where())
            stack.enter_context(seen)
            for notice in writer.notices:
                seen.notice(notice)

        def faulty(error: Exception, heard: str) -> None:
            seen.notice(keep_fault(store.home, error, heard))

        def show(job: Job) -> None:
            try:
                seen.show(job)
                for page in pages:
                    page.show(view_of(job, title))
            except Exception as error:  # what is seen is not worth the conversation
                faulty(error, "showing the job")

        conversation = Conversation(writer, writer.turns, writer.title, faulty)
        session = LiveSession(
            Watched(conversation, show, KEPT if wiring.keep_audio else ""),
            recogniser=recogniser,
            second=open_second_ear(seen.notice),
            synthesiser=synthesiser,
            card=card,
            player=player,
            screen=seen,
        )
        session.run(until, opened)


@dataclass(frozen=True, slots=True)
class _Phone:
    """A phone as card, and the server of its page."""

    card: PhoneCard
    server: PhoneServer


@contextmanager
def _phone(wiring: Wiring, player: Player, home: Path) -> Iterator[_Phone]:
    """Raises RecordError where there is no network, PhoneError where there is no certificate."""
    host = lan_address()
    if wiring.phone_certificate is not None and wiring.phone_key is not None:
        credentials = Credentials(wiring.phone_certificate, wiring.phone_key)
    else:
        credentials = own_credentials(home / "phone", host)
    card = PhoneCard(player)
    with PhoneServer(card, host, credentials) as server:
        yield _Phone(card, server)


def _invite(server: PhoneServer, synthesiser: Synthesiser, show: Show) -> None:
    """What the console says until the phone is there."""
    server.say_when_gone(synthesiser.render(PHONE_GONE))
    show(server.qr())
    show(f"Scan this with the phone, or open there: {server.link}")
    show("The phone will warn that it does not know this machine. Go on only if it shows this fingerprint (SHA-256):")
    show(server.fingerprint)


def _card(wiring: Wiring, player: Player, stack: ExitStack, tell: Callable[[str], None], phone: _Phone | None) -> Card:
    card: Card = phone.card if phone is not None else SoundCard(wiring.mic, wiring.speaker, player)
    if wiring.keep_audio is None:
        return card
    keeping = KeepingCard(card, wiring.keep_audio, tell)
    stack.callback(keeping.finish)
    return keeping


def show_devices(show: Show) -> None:
    """One line a device."""
    found = list_devices()
    for device in found:
        kinds = [kind for kind, has in (("microphone", device.microphone), ("loudspeaker", device.loudspeaker)) if has]
        show(f"{' and '.join(kinds):28} {device.name}")
    if not found:
        raise AssistantError("No sound device was found. Plug one in, or see: site-assistant doctor.")


def examine(home: Path | None, wiring: Wiring, show: Show) -> None:
    """Every check in a line; AssistantError when one fails, so that the exit code says so too."""
    failed = 0
    for check in checks(home or default_home(), wiring.model, wiring.mic, wiring.speaker):
        show(f"{'ok  ' if check.passed else 'FAIL'}  {check.name}: {check.text}")
        failed += not check.passed
    if failed:
        raise AssistantError(f"{failed} of the checks failed; each line says what to do.")
