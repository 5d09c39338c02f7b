"""What builders say, in the state they say it in, and what it must do: `sentences.tsv`, to which anyone can add a line.

A line is a state, a sentence and its meaning, between tabs: an act and what it counts (“VALUE 2160”, in mm), or several with plus signs
between, or “says” and parts of the reply, between semicolons.
Sentences that are not understood yet stand in `sentences_not_yet.tsv`; none of them may be misunderstood.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from talk import TO_REACH, Talk

from assistant.dialogue.asking import listened_for
from assistant.language.typed_lines import spoken_words
from assistant.language.understanding import Intent, intents, understand
from assistant.language.vocabulary import Stage
from assistant.numbers import Ambiguous, SpokenLength

LEAST = 0.95
"""The share of all sentences that is understood: it only ever rises."""
STATES: dict[str, tuple[str, ...]] = {
    "picket": (),
    "limit": ("ninety",),
    "bottom": TO_REACH[Stage.ASK],
    "top": (*TO_REACH[Stage.ASK], "2160"),
    "next bottom": (*TO_REACH[Stage.HUB], "next bay"),
    "which": TO_REACH[Stage.CHOOSE],
    "doubt": TO_REACH[Stage.DOUBT],
    "hub": TO_REACH[Stage.HUB],
    "gap": TO_REACH[Stage.GAP],
    "caution": TO_REACH[Stage.CAUTION],
    "marking": (*TO_REACH[Stage.WALK], "next"),
}
"""The lines that lead to each state."""

Line = tuple[str, str, str]


def lines(name: str) -> list[Line]:
    """The lines of a list."""
    text = Path(__file__).with_name(name).read_text(encoding="utf-8")
    found: list[Line] = []
    for line in text.splitlines():
        state, sentence, meaning = line.split("\t")
        found.append((state, sentence, meaning))
    return found


UNDERSTOOD = lines("sentences.tsv")
NOT_YET = lines("sentences_not_yet.tsv")


def meant(talk: Talk, sentence: str) -> tuple[Intent, ...]:
    """What the sentence means where the conversation is; nothing where it is not understood."""
    return intents(understand(spoken_words(sentence), *listened_for(talk.conversation.state)))


def in_words(found: tuple[Intent, ...]) -> str:
    """What was meant as the lists write it."""
    return " + ".join(_in_words(intent) for intent in found)


def _in_words(intent: Intent) -> str:
    numbers: list[str] = []
    if isinstance(intent.length, Ambiguous):
        numbers.append("/".join(str(one.mm) for one in intent.length.candidates))
    elif isinstance(intent.length, SpokenLength):
        numbers.append(str(intent.length.mm))
    if intent.count is not None:
        numbers.append(str(intent.count))
    return " ".join((intent.act.name, *numbers))


def does(line: Line) -> bool:
    """Whether a sentence does what its line says."""
    state, sentence, meaning = line
    talk = Talk(*STATES[state])
    found = meant(talk, sentence)
    if not meaning.startswith("says "):
        return in_words(found) == meaning
    reply = talk.say(sentence).lower()
    return all(part.strip() in reply for part in meaning.removeprefix("says ").split(";"))


@pytest.mark.parametrize("line", UNDERSTOOD, ids=lambda line: f"{line[0]}: {line[1]}")
def test_a_sentence_does_what_it_means(line: Line) -> None:
    assert does(line)


@pytest.mark.parametrize("line", NOT_YET, ids=lambda line: f"{line[0]}: {line[1]}")
def test_a_sentence_that_is_not_understood_yet_is_not_misunderstood_either(line: Line) -> None:
    """One that does what it should by now belongs in the other list."""
    assert not meant(Talk(*STATES[line[0]]), line[1])


def test_the_share_of_sentences_that_are_understood_never_falls() -> None:
    assert len(UNDERSTOOD) / (len(UNDERSTOOD) + len(NOT_YET)) >= LEAST


def test_every_sentence_stands_in_one_list_once() -> None:
    found = [line[:2] for line in (*UNDERSTOOD, *NOT_YET)]
    assert len(found) == len(set(found))
