"""Composition root: the only file that knows the dialogue, the speech edges and the record together."""

from __future__ import annotations

import io
import json
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from assistant.conversation import Conversation, Reply
from assistant.display.board import Board
from assistant.display.lines import picture_width, shown
from assistant.display.rail_line import rail_line
from assistant.display.view import Picture, view_of
from assistant.errors import AudioError, RecordError, SynthesisError
from assistant.events import Utterance
from assistant.faults import keep_fault
from assistant.job_commands import latest, leave, named, ready
from assistant.language.typed_lines import LONGEST
from assistant.record.store import Store, Writer
from assistant.recorded import Hear, recorded_builder
from assistant.speech.hearing import Hearing
from assistant.speech.models import find_model
from assistant.speech.recogniser import Recogniser
from assistant.speech.secondear import open_second_ear
from assistant.speech.synthesiser import Synthesiser
from assistant.speech.wav import SAMPLE_RATE, Samples, blocks, mix_at, read_wav, silence, write_wav

REPLY_SPACE = 0.35
"""Seconds between two replies in the file of replies."""

Show = Callable[[str], None]


@dataclass(slots=True)
class Replies:
    """The spoken replies, one after another on a timeline."""

    synthesiser: Synthesiser
    parts: list[tuple[float, Samples]] = field(default_factory=list)
    index: list[dict[str, object]] = field(default_factory=list)
    end: float = 0.0

    def add(self, text: str, show: Show) -> None:
        """Render a reply and put it behind the others; one that cannot be spoken is left out, for the job goes on without a sentence.

        Raises SynthesisError when the very first cannot be: there is no voice on this machine.
        """
        try:
            samples = self.synthesiser.render(text)
        except SynthesisError as error:
            if not self.parts:
                raise
            show(f"notice     not spoken: {error}")
            samples = silence(0.0)
        start = self.end
        self.parts.append((start, samples))
        self.end = start + len(samples) / SAMPLE_RATE
        self.index.append({"start": round(start, 3), "end": round(self.end, 3), "text": text})
        self.end += REPLY_SPACE

    def write(self, folder: Path) -> None:
        """The replies as one WAV, and where each stands in it.  Raises AudioError."""
        write_wav(folder / "replies.wav", mix_at(self.parts))
        try:
            (folder / "replies.json").write_text(json.dumps(self.index, indent=1) + "\n", encoding="utf-8")
        except OSError as error:
            raise AudioError(f"cannot write {folder / 'replies.json'}: check the folder and the free space") from error


def demo(noisy: bool, out: Path, model: str | None, show: Show = shown) -> None:
    """The whole job of the bundled recording: what is not taken is said again."""

    def speak(hear: Hear) -> None:
        recorded_builder(noisy).build(hear)

    _by_sound(speak, out, model, "demo job", show)


def hear(files: Iterable[Path], out: Path, model: str | None, title: str, show: Show = shown) -> None:
    """Run recordings of a user through a whole conversation on the time of the audio, and leave everything in `out`."""
    recordings = [read_wav(path, lambda text: show(f"notice     {text}")) for path in files]

    def speak(hear: Hear) -> None:
        for samples in recordings:
            hear(samples)

    _by_sound(speak, out, model, title, show)


def _by_sound(speak: Callable[[Hear], None], out: Path, model: str | None, title: str, show: Show) -> None:
    """A new job by sound that `speak` gives piece by piece; it gets what was made of each."""
    recogniser = Recogniser(find_model(model))
    ready(out)
    store = Store(out / "record")
    number = store.create(title)
    with store.open(number) as writer, Synthesiser() as synthesiser:
        conversation = Conversation(writer, writer.turns, writer.title, lambda error, heard: show(keep_fault(out / "record", error, heard)))
        replies = Replies(synthesiser)
        hearing = Hearing(recogniser, show, open_second_ear(show, hurried=False))

        def answer(reply: Reply) -> None:
            said(reply, show)
            for text in reply.spoken:
                replies.add(text, show)
            hearing.tune(conversation.phrases(), conversation.ending, conversation.expected())

        def heard(first: Utterance) -> Utterance:
            utterance = hearing.judged(first)
            note = "   (not for us)" if not utterance.understood else "   (not sure)" if utterance.doubt else ""
            show(f"heard      {' '.join(utterance.words) or '…'}{note}")
            answer(conversation.take(utterance))
            return utterance

        def listen(samples: Samples) -> list[Utterance]:
            found = (recogniser.feed(block) for block in blocks(samples))
            return [heard(utterance) for utterance in found if utterance is not None]

        try:
            answer(conversation.open())
            speak(listen)
            last = recogniser.flush()
            if last is not None:
                heard(last)
        finally:  # whatever stood in the way, what there is of the job is left
            try:
                replies.write(out)
            finally:
                leave(store, number, out, show)


def type_job(home: Path | None, title: str, out: Path | None, show: Show = shown, *, board: bool = False, lan: bool = False) -> None:
    """A new job by a conversation on the keyboard, or from a script of lines on a pipe; with `board` its mark is a page too."""
    if out is not None:
        ready(out)
    store = Store(home)
    with _served(board, lan) as page:
        _keyboard(store, store.create(title), out, show, page)


def resume_typing(
    home: Path | None, number: int | None, out: Path | None, show: Show = shown, *, board: bool = False, lan: bool = False
) -> None:
    """Go on with a job on the keyboard; with `board` its mark is a page too."""
    if out is not None:
        ready(out)
    store = Store(home)
    number = latest(store, number)
    show(named(store, number))
    with _served(board, lan) as page:
        _keyboard(store, number, out, show, page)


@contextmanager
def _served(board: bool, lan: bool) -> Iterator[Board | None]:
    """The page of the mark, where it is wanted.  Raises RecordError."""
    if not board:
        yield None
        return
    with Board(lan=lan) as page:
        yield page


def _keyboard(store: Store, number: int, out: Path | None, show: Show, page: Board | None) -> None:
    with store.open(number) as writer:
        if page is not None:
            show(page.where())
        try:
            keyboard(writer, store.home, show, page)
        finally:
            if out is not None:
                leave(store, number, out, show)


def keyboard(writer: Writer, home: Path, show: Show, page: Board | None = None) -> None:
    """A conversation on the keyboard with whatever the record already holds; what goes wrong in the program is kept in `home`."""
    for notice in writer.notices:
        show(notice)

    def faulty(error: Exception, heard: str) -> None:
        show(keep_fault(home, error, heard))

    drawn = Picture()

    def answer(reply: Reply) -> None:
        nonlocal drawn
        said(reply, show)
        try:
            view = view_of(conversation.state.job, writer.title)
            if page is not None:
                page.show(view)
            if (width := picture_width()) and view.picture not in (drawn, Picture()):
                show(rail_line(view.picture, width))
            drawn = view.picture
        except Exception as error:  # what is seen is not worth the conversation
            faulty(error, "showing the job")

    conversation = Conversation(writer, writer.turns, writer.title, faulty)
    given = sys.stdin or io.StringIO()  # a closed one is none at all
    if isinstance(given, io.TextIOWrapper):
        given.reconfigure(errors="replace")
    talk = given.isatty()
    answer(conversation.open())
    while True:
        if talk:
            print("you        ", end="", flush=True)
        line = given.readline()
        if not line:
            break
        if line.strip():
            if not talk:
                show(f"typed      {line.strip() if len(line) <= LONGEST else line[:LONGEST].strip() + ' …'}")
            reply = _told(conversation, line) if talk else conversation.typed(line)  # a script would go on in the wrong place
            answer(reply)
            if reply.ended:
                show("To go on with this job: site-assistant resume --type")
                break


def _told(conversation: Conversation, line: str) -> Reply:
    """The reply to a person; where nothing could be kept that is said, and the conversation stands where it stood."""
    try:
        return conversation.typed(line)
    except RecordError as error:
        return Reply((str(error),))


def said(reply: Reply, show: Show) -> None:
    """Show what the assistant says."""
    for text in reply.spoken:
        show(f"assistant  {text}")
