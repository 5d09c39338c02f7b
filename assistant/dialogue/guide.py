"""“What can I say?”, answered from the vocabulary for the present stage, a breath at a time."""

from __future__ import annotations

from assistant.dialogue.patterns import expand, parse_template
from assistant.dialogue.vocabulary import PHRASES, Phrase, Stage

BREATH = 5
"""Phrases named in one answer."""

_SLOT_WORDS = {"<length>": "and a length", "<count>": "and a number"}


def helpful(stage: Stage) -> tuple[Phrase, ...]:
    """The phrases help names in this stage: those that belong to it alone first, those that hold everywhere last."""
    here = [phrase for phrase in PHRASES if stage in phrase.stages and phrase.help]
    return tuple(sorted(here, key=lambda phrase: len(phrase.stages)))


def named(phrase: Phrase) -> str:
    """How help names a phrase: its first wording, a slot in words."""
    words = next(iter(expand(parse_template(phrase.templates[0]))))
    said = " ".join(_SLOT_WORDS.get(word, word) for word in words)
    return said.removeprefix("and ")


def guide(stage: Stage, start: int) -> tuple[str, int]:
    """The next breath of help from `start`, and where “more” goes on; 0 when the list is through."""
    phrases = helpful(stage)
    part = phrases[start : start + BREATH]
    following = start + BREATH if start + BREATH < len(phrases) else 0
    text = "You can say: " + "; ".join(named(phrase) for phrase in part) + "."
    if following:
        text += " Or say: more."
    return text, following


def written_guide() -> list[tuple[str, str, str]]:
    """(stage, phrase, what it does) for the printed help."""
    return [
        (stage.value, named(phrase), phrase.help)
        for stage in Stage
        for phrase in helpful(stage)
    ]
