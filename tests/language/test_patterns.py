"""The template language of the vocabulary."""

from __future__ import annotations

import pytest

from assistant.language.patterns import TemplateError, expand, match, parse_template
from assistant.language.vocabulary import PHRASES


def numbers(slot: str, words: tuple[str, ...]) -> int | None:
    """A reader for tests: how many words the slot took, all of them digits."""
    return len(words) if all(word.isdigit() for word in words) else None


def found(template: str, line: str) -> dict[str, object] | None:
    return match(parse_template(template), tuple(line.split()), numbers)


def test_words_options_and_choices() -> None:
    assert list(expand(parse_template("[go to] (mark|picket) <count>"))) == [
        ("go", "to", "mark", "<count>"),
        ("go", "to", "picket", "<count>"),
        ("mark", "<count>"),
        ("picket", "<count>"),
    ]


def test_a_slot_takes_as_many_words_as_it_can() -> None:
    assert found("bay <count>", "bay 20 1") == {"count": 2}


@pytest.mark.parametrize("line", ["bay", "bay twelve", "go to bay 1 now", "", "bay 1 2 x"])
def test_what_is_not_derived_does_not_match(line: str) -> None:
    assert found("[go to] bay <count>", line) is None


@pytest.mark.parametrize("template", ["(a", "a)", "[a|b", "a]"])
def test_a_broken_template_is_an_error(template: str) -> None:
    with pytest.raises(TemplateError):
        parse_template(template)


def test_no_two_acts_share_a_wording_in_one_stage() -> None:
    seen: dict[tuple[object, tuple[str, ...]], object] = {}
    for phrase in PHRASES:
        for template in phrase.templates:
            for words in expand(parse_template(template)):
                for stage in phrase.stages:
                    assert seen.setdefault((stage, words), phrase.act) is phrase.act, words
