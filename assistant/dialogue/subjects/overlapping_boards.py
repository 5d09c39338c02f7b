"""Boards that overlap, on one side of the rail or on alternate sides: how many, by how much, then each by its number."""

from __future__ import annotations

from assistant.dialogue.forms import OPENING, PICKET, Form, slot
from assistant.dialogue.speaking import counted, mark_words, sentence, spoken
from assistant.dialogue.subject import Answers, Subject
from assistant.dialogue.subjects.shared import beginning, say_and_keep
from assistant.dialogue.turn import Turn
from assistant.job import BoardsSet
from assistant.language.understanding import Intent
from assistant.language.vocabulary import Act
from assistant.numbers import say_count
from assistant.set_out import mark_unit
from assistant.setout.lapped import Boards, lap
from assistant.setout.lengths import mm, write

LAPPED = Form(
    "overlapping boards",
    "overlapping boards",
    (
        slot("opening", "What is the clear opening between the posts?", "Opening?", OPENING),
        slot("board", "How wide is a board?", "Board width?", PICKET),
        slot("overlap", "By how much must each overlap the next, at least?", "Overlap?", (mm(5), mm(100)), zero=True),
    ),
)


def boards(turn: Turn, answers: Answers) -> None:
    """The fewest that overlap enough, and every mark for the sheet."""
    wanted, settings = Boards(answers["opening"], answers["board"], answers["overlap"]), turn.settings
    row = lap(wanted)
    turn.close()
    turn.fact(BoardsSet(wanted))
    unit = mark_unit(settings.unit, settings.resolution)
    marks = (row.mark(number, settings.edge, settings.origin, settings.resolution) for number in range(1, row.count + 1))
    between = f"; on alternate sides {write(row.same_side, settings.unit)} between boards of one side" if row.same_side > 0 else ""
    say_and_keep(
        turn,
        f"Overlapping boards over {write(wanted.opening, settings.unit)}",
        f"{counted(row.count, 'board')}, each over the next by {spoken(settings, row.overlap)}",
        "on alternate sides: odd boards in front, even ones behind",
        written=(
            f"{row.count} boards of {write(wanted.board, settings.unit)}, each over the next by {write(row.overlap, settings.unit)}"
            + between,
            "On alternate sides of the rail: odd boards in front, even ones behind",
            f"{settings.edge.value.capitalize()}s from the {settings.origin.value}: "
            + ", ".join(f"{mark.index}: {write(mark.value, unit)}" for mark in marks),
        ),
    )
    turn.note(board=0)
    turn.say("For each, say: next one; or board, and its number.")


def board(turn: Turn, intent: Intent) -> None:
    """Where one board is marked, and on which side it goes where they alternate."""
    if turn.job.boards is None:
        turn.say("No boards are set out yet. Say: overlapping boards.")
        return
    _call(turn, turn.job.boards, intent.count or 0)


def next_board(turn: Turn) -> None:
    """The board after the one that was called last."""
    assert turn.job.boards is not None
    last = turn.state.board or 0
    if last == lap(turn.job.boards).count:
        turn.note(board=None)
        turn.say("That was the last board.")
    else:
        _call(turn, turn.job.boards, last + 1)


def _call(turn: Turn, wanted: Boards, number: int) -> None:
    row, settings = lap(wanted), turn.settings
    if not 1 <= number <= row.count:
        turn.say(sentence(f"there is no board {say_count(number)}; there are {say_count(row.count)}"))
        return
    turn.note(board=number)
    mark = row.mark(number, settings.edge, settings.origin, settings.resolution)
    value = mark_words(settings, mark_unit(settings.unit, settings.resolution), mark.value)
    turn.say(f"Board {say_count(number)}{', last one' if number == row.count else ''}: {value}, {'front' if number % 2 else 'behind'}.")


SUBJECT = Subject(handlers={Act.LAPPED: beginning(LAPPED, needs_bay=False), Act.BOARD: board}, forms={LAPPED: boards})
