"""What the recogniser should listen for in a state: the phrases of the vocabulary that count now, and numbers where they are wanted.

Whole phrases, not loose words: the recogniser turns the list into word pairs, so what stands together here is expected together there.
"""

from __future__ import annotations

from functools import lru_cache

from assistant.dialogue.asking import wanted
from assistant.dialogue.numbers import PhraseKind, number_phrases, number_words, say_count
from assistant.dialogue.patterns import expand, parse_template
from assistant.dialogue.state import State
from assistant.dialogue.understand import Wants
from assistant.dialogue.vocabulary import PHRASES, Stage
from assistant.setout.lengths import Unit

COUNTS = range(1, 61)
"""Counts listed whole behind a phrase such as “mark …”; higher ones are heard all the same, word by word."""


def phrases(state: State) -> tuple[str, ...]:
    """The phrase list for what this state can hear."""
    metric = state.job.settings.unit in (Unit.MM, Unit.CM, Unit.M)
    return _phrases(state.stage, wanted(state), metric)


def expects_number(state: State) -> bool:
    """Whether an answer may be a number spoken with a pause inside."""
    return state.stage in (Stage.ASK, Stage.CHOOSE, Stage.DOUBT, Stage.GAP)


def vocabulary_words() -> frozenset[str]:
    """Every word the assistant can understand: what a speech model has to know."""
    words = set(number_words())
    for phrase in PHRASES:
        for template in phrase.templates:
            for line in expand(parse_template(template)):
                words.update(word for word in line if not word.startswith("<"))
    return frozenset(words)


@lru_cache(maxsize=64)
def _phrases(stage: Stage, wants: Wants, metric: bool) -> tuple[str, ...]:
    lengths = number_phrases(PhraseKind.MILLIMETRES if metric else PhraseKind.INCHES)
    first_words = sorted({phrase.split()[0] for phrase in lengths})
    found: dict[str, None] = {}
    alone = False
    for phrase in PHRASES:
        if stage not in phrase.stages:
            continue
        for template in phrase.templates:
            for words in expand(parse_template(template)):
                if words == ("<length>",):
                    alone = True
                elif "<count>" in words:
                    at = words.index("<count>")
                    for count in COUNTS:
                        found[" ".join((*words[:at], *say_count(count).split(), *words[at + 1 :]))] = None
                elif "<length>" in words:
                    before = words[: words.index("<length>")]
                    for first in first_words:
                        found[" ".join((*before, first))] = None
                else:
                    found[" ".join(words)] = None
    if alone and wants is Wants.COUNT:
        found.update(dict.fromkeys(number_phrases(PhraseKind.COUNT)))
    elif alone or any("<length>" in t for p in PHRASES if stage in p.stages for t in p.templates):
        found.update(dict.fromkeys(lengths))
    return tuple(found)
