"""The published limits: which there are, and which code, edition and clause the one in force comes from."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from assistant.dialogue.speaking import limit_words, sentence
from assistant.dialogue.subject import Subject
from assistant.dialogue.turn import Turn
from assistant.language.understanding import Intent
from assistant.language.vocabulary import PUBLISHED_LIMITS, Act
from assistant.numbers import say_number
from assistant.numbers.styles import NumberStyle
from assistant.setout.limits import NOT_SEEN, PUBLISHED, GapLimit, published


def which_limits(turn: Turn, intent: Intent) -> None:
    """The published limits by name, region by region."""
    turn.say("You can use these.")
    for region in dict.fromkeys(one.region for one in PUBLISHED):
        turn.say(sentence(f"{region}: {'; '.join(one.what for one in PUBLISHED if one.region == region)}"))
    turn.say(f"For one of them, say: {next(iter(PUBLISHED_LIMITS))}.")


def which_code(turn: Turn, intent: Intent) -> None:
    """Code, edition and clause of the limit that holds: that of the bay that is talked about where it is set out, else the settings'."""
    limit = _in_force(turn)
    if limit is None:
        turn.say("There is no largest gap yet.", "Ask: which limits.")
        return
    held = sentence(f"gaps {limit_words(turn.settings, limit)}")
    found = published(limit.name)
    if found is None:
        turn.say(held, "That is your own limit, from no code.")
        return
    clause = "Its clause number was not seen" if found.clause == NOT_SEEN else f"clause {spelled(found.clause)}"
    turn.say(sentence(found.name), sentence(f"{spelled(found.code)}, {spelled(found.edition)}"), sentence(clause), held)
    if (found.value, found.strict) != (limit.value, limit.strict):
        turn.say(sentence(f"I read it now as {limit_words(turn.settings, found.limit)}"), "To have that, choose the limit again.")


def _in_force(turn: Turn) -> GapLimit | None:
    job = turn.job
    standing = job.standing_of(job.bays[job.current].number) if job.bays else None
    return turn.settings.limit if standing is None else standing.set_out.bay.limit


def spelled(text: str) -> str:
    """A code, an edition or a clause as it is read aloud: “R312.1.3” letter by letter and digit by digit, a year as a year."""
    return " ".join(" ".join(_aloud(word)) for word in text.replace("/", " ").replace("-", " ").split())


def _aloud(word: str) -> Iterator[str]:
    pieces = _pieces(word)
    named = any(piece.isdigit() for piece in pieces) or word.isupper()
    for place, piece in enumerate(pieces):
        if piece == ".":
            if any(later.isdigit() for later in pieces[place + 1 :]):
                yield "point"
        elif piece.isdigit():
            year = len(piece) == 4 and piece[:2] in ("19", "20")
            yield say_number(Fraction(int(piece)), NumberStyle.TRADE if year else NumberStyle.DIGITS)
        else:
            yield from piece if named else (piece,)


def _pieces(word: str) -> list[str]:
    """Runs of digits, runs of letters, and points; other signs are not said."""
    pieces = [""]
    for sign in word:
        like = pieces[-1].isdigit() == sign.isdigit() and pieces[-1].isalpha() == sign.isalpha() and sign != "."
        if not (sign.isalnum() or sign in ".’'"):
            continue
        if like:
            pieces[-1] += sign
        else:
            pieces.append(sign)
    return [piece for piece in pieces if piece]


SUBJECT = Subject(handlers={Act.WHICH_LIMITS: which_limits, Act.WHICH_CODE: which_code}, forms={})
