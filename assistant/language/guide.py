"""“What can I say?”, answered from the vocabulary for the present stage, a breath at a time."""

from __future__ import annotations

from assistant.language.patterns import expand, parse_template
from assistant.language.vocabulary import ARMED, ARMED_WALKING, PHRASES, Act, Phrase, Stage

BREATH = 5
"""Phrases named in one answer."""

_LEADS_ON = {
    Stage.ASK: (Act.VALUE,),
    Stage.HUB: (Act.NEXT_BAY, Act.NEW_GATE, Act.ALL_MEASURED, Act.START_MARKING),
}
"""What a newcomer needs to hear first."""

_ANSWERS = (Act.VALUE, Act.SAME, Act.CONFIRM_GAP, Act.UNDERSTOOD)
"""What help leaves to the question on the table, where there is one."""

_SLOT_WORDS = {"<length>": "and a length", "<second>": "and a length", "<count>": "and a number"}


def helpful(stage: Stage) -> tuple[Phrase, ...]:
    """The phrases help names in this stage: what leads on first, then those that belong to it alone, then those that hold everywhere."""
    here = [phrase for phrase in PHRASES if stage in phrase.stages and phrase.help]
    leading = _LEADS_ON.get(stage, ())
    return tuple(sorted(here, key=lambda phrase: (phrase.act not in leading, len(phrase.stages))))


def named(phrase: Phrase, silent: tuple[str, ...] = ()) -> str:
    """How help names a phrase: its first wording without any of the `silent` words, a slot in words; empty for none."""
    for template in phrase.templates:
        words = next(iter(expand(parse_template(template))))
        if not set(words) & set(silent):
            return " ".join(_SLOT_WORDS.get(word, word) for word in words).removeprefix("and ")
    return ""


def guide(stage: Stage, start: int, takes: tuple[str, ...] = ()) -> tuple[str, int]:
    """The next breath of help from `start`, and where “more” goes on; 0 when the list is through.

    `takes` is what answers the question on the table: the first breath names that and nothing else.  A word that would interrupt the
    assistant itself is not spoken: such a phrase is named by another wording, or left out.
    """
    armed = ARMED_WALKING if stage is Stage.WALK else ARMED
    rest = [phrase for phrase in helpful(stage) if not (takes and phrase.act in _ANSWERS)]
    sayings = [*takes, *(saying for phrase in rest if (saying := named(phrase, armed)) and saying not in takes)]
    end = start + BREATH if start or not takes else len(takes)
    following = end if end < len(sayings) else 0
    text = "You can say: " + "; ".join(sayings[start:end]) + "."
    if following:
        text += " Or say: what else."
    return text, following


def written_guide() -> list[tuple[str, str, str]]:
    """(stage, phrase, what it does) for the printed help."""
    return [(stage.value, named(phrase), phrase.help) for stage in Stage for phrase in helpful(stage)]
