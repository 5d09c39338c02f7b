"""What the assistant says of itself holds: what it names can be said, and nothing it says would interrupt it."""

from __future__ import annotations

import pytest
from talk import TO_REACH, armed, text, watched
from wordings import Words

from assistant.conversation import Conversation
from assistant.dialogue.asking import listened_for, wanted
from assistant.dialogue.cautions import CAUTIONS
from assistant.dialogue.registry import FORMS
from assistant.language.guide import helpful, written_guide
from assistant.language.listening import expects_number, phrases, vocabulary_words
from assistant.language.patterns import expand, parse_template
from assistant.language.understanding import Intent, Wants, understand
from assistant.language.vocabulary import PHRASES, Stage

AWAKE = [stage for stage in Stage if stage is not Stage.ASLEEP]
NO_ANSWER = ("I did not get that", "I heard you, but", "First this", "Not now")


def filled(template: str, wants: Wants) -> Words:
    """A wording with its slot filled."""
    number = "two" if "<count>" in template or wants is Wants.COUNT else "ninety"
    return tuple(template.replace("<length>", number).replace("<second>", "ninety").replace("<count>", number).split())


@pytest.mark.parametrize("stage", AWAKE)
def test_what_help_names_is_understood(stage: Stage) -> None:
    """Every wording help may name is taken in its stage, never answered with a miss."""
    for phrase in helpful(stage):
        talk = watched(TO_REACH[stage])
        words = filled(" ".join(next(iter(expand(parse_template(phrase.templates[0]))))), wanted(talk.conversation.state))
        said = talk.say(*words)
        assert talk.conversation.state.misses == 0, (words, said)
        assert said, words
        assert not said.startswith(NO_ANSWER), (words, said)


@pytest.mark.parametrize("stage", AWAKE)
def test_every_wording_is_understood_where_it_counts(stage: Stage) -> None:
    """Not only the first wording: each of them derives its own act, and no other phrase takes it first."""
    state = watched(TO_REACH[stage]).conversation.state
    for phrase in PHRASES:
        if stage in phrase.stages:
            for template in phrase.templates:
                for wording in expand(parse_template(template)):
                    words = filled(" ".join(wording), wanted(state))
                    meaning = understand(words, stage, wanted(state), state.job.settings.unit)
                    assert isinstance(meaning, Intent), words
                    assert meaning.act is phrase.act, words


@pytest.mark.parametrize("stage", AWAKE)
def test_help_is_said_to_its_end_and_begins_again(stage: Stage) -> None:
    """“More” gives the rest, each part different, until the list is through."""
    talk = watched(TO_REACH[stage])
    parts = [talk.say("what", "can", "i", "say")]
    while "Or say: what else" in parts[-1]:
        parts.append(talk.say("what", "else"))
        assert len(parts) < 40
    assert len(set(parts)) == len(parts)
    assert all(len(part.split()) < 60 for part in parts)
    assert talk.say("what", "else") == parts[0]


def test_the_way_out_is_named_wherever_one_can_be_caught() -> None:
    """Spoken help names a way to leave in every stage."""
    for stage in AWAKE:
        talk = watched(TO_REACH[stage])
        said = talk.say("what", "can", "i", "say")
        for _ in range(30):
            said += talk.say("what", "else")
        assert "leave it" in said


@pytest.mark.parametrize("form", FORMS.values(), ids=lambda form: form.key)
def test_no_question_holds_an_armed_word(form: object) -> None:
    for slot in FORMS[form.key].slots:  # type: ignore[attr-defined]
        assert not armed(f"{slot.full} {slot.short}", Stage.ASK)


def test_every_caution_is_one_breath() -> None:
    """Whoever stands on a ladder with a nailer hears it to its end."""
    for caution in CAUTIONS.values():
        assert len(caution.spoken.split()) <= 25, caution.spoken
        assert caution.written and caution.sources


def test_no_caution_holds_an_armed_word() -> None:
    for caution in CAUTIONS.values():
        assert not armed(caution.spoken, Stage.CAUTION)


@pytest.mark.parametrize("stage", AWAKE)
def test_what_counts_is_listened_for(stage: Stage) -> None:
    """The recogniser is told every word that counts, and where a number may come with a pause inside."""
    state = watched(TO_REACH[stage]).conversation.state
    listened = {word for phrase in phrases(*listened_for(state)) for word in phrase.split()}
    for phrase in PHRASES:
        if stage in phrase.stages:
            for template in phrase.templates:
                words = {word for word in template.split() if word[0] not in "<[(" and word[-1] not in "])>"}
                assert words <= listened, template
    assert listened <= vocabulary_words()
    assert expects_number(state.stage) == (stage in (Stage.ASK, Stage.CHOOSE, Stage.DOUBT, Stage.GAP))


def test_the_printed_guide_has_every_helpful_phrase() -> None:
    named = {(stage, saying) for stage, saying, _ in written_guide()}
    assert all(any(stage.value == one for one, _ in named) for stage in AWAKE)
    assert all(saying for _, saying in named)


def test_the_first_words_tell_how_to_get_help() -> None:
    """Who knows no manual hears from the first sentence what to ask, and what is asked of him."""

    class Nowhere:
        def append(self, facts: object, heard: str = "") -> None:
            pass

    said = text(Conversation(Nowhere()).open())
    assert "what can I say" in said
    assert said.endswith("?")
