"""What is said when nothing usable was heard: three tries, each different, each more helpful, then a way out."""

from __future__ import annotations

from assistant.language.vocabulary import Stage

GIVE_UP_AFTER = 3
"""After this many misses running the assistant stops asking and waits."""

_WANTED = {
    Stage.ASK: "a number",
    Stage.CHOOSE: "the first, the second, or the number",
    Stage.DOUBT: "a yes or a no",
    Stage.HUB: "a command",
    Stage.GAP: "the words gap confirmed, or the gap",
    Stage.CAUTION: "the word understood",
    Stage.WALK: "the mark you want",
    Stage.ASLEEP: "",
}

_WAY_OUT = "I will keep quiet until I hear you. Nothing is lost. Say: what can I say, for the list."


def not_understood(stage: Stage, misses: int, question: str, listed: str = "") -> str:
    """After words that mean nothing here; `misses` counts this one.

    While marking, people talk among themselves and are not answered.  A keyboard always is, in one wording after another; the third is
    what can be said, `listed`.
    """
    if listed:
        misses = (misses - 1) % GIVE_UP_AFTER + 1
    elif stage is Stage.WALK:
        return ""
    if misses == 1:
        return f"I did not get that. {question}".strip()
    if misses == 2:
        return f"Sorry, not that either. I am listening for {_WANTED[stage]}. Say one thing at a time."
    if listed:
        return " ".join(part for part in ("That means nothing to me here.", question, listed) if part)
    return _WAY_OUT if misses == GIVE_UP_AFTER else ""


def nothing_heard(stage: Stage, misses: int, question: str) -> str:
    """After silence where an answer was waited for; while marking nobody is prompted."""
    if stage in (Stage.WALK, Stage.ASLEEP):
        return ""
    if misses == 1:
        return question or f"I am listening for {_WANTED[stage]}."
    if misses == 2:
        return f"Still here, listening for {_WANTED[stage]}."
    return _WAY_OUT if misses == GIVE_UP_AFTER else ""


def out_of_place(stage: Stage, question: str) -> str:
    """After words that mean something, but not now."""
    if stage is Stage.WALK:
        return "Not while marking. To get out, say: leave it."
    if stage is Stage.ASK:
        return f"First this, or say: leave it. {question}"
    return f"That has to wait for {_WANTED[stage]}. {question}".strip()
