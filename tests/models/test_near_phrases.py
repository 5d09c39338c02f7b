"""Phrases that mean different things in one state never sound almost alike."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "bench"))

from list_near_phrases import lexicon, near, said_at, spoken

from assistant.language.vocabulary import Act, Stage

LEAST = 2
"""Phonemes between any two phrases of different meaning."""
KNOWN = lexicon()


@pytest.mark.parametrize("stage", Stage, ids=lambda stage: stage.name)
def test_phrases_of_different_meaning_are_apart(stage: Stage) -> None:
    assert not list(near(stage, LEAST - 1, KNOWN))


@pytest.mark.parametrize("stage", Stage, ids=lambda stage: stage.name)
def test_a_yes_is_never_the_end_of_a_no(stage: Stage) -> None:
    """Noise that swallows the beginning of a refusal must not leave a consent."""
    phrases = said_at(stage)
    consents = [way for words, act in phrases.items() if act in (Act.YES, Act.CONFIRM_GAP, Act.UNDERSTOOD) for way in spoken(words, KNOWN)]
    refusals = [way for words, act in phrases.items() if act is Act.NO for way in spoken(words, KNOWN)]
    assert not [(yes, no) for yes in consents for no in refusals if no[-len(yes) :] == yes]
