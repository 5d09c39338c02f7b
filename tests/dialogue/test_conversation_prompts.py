"""What the assistant says of itself holds: what it names can be said, and nothing it says would interrupt it."""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from strategies import COUNTS, LENGTHS
from talk import TO_REACH, Talk, armed, text, watched
from wordings import Words

from assistant.conversation import Conversation
from assistant.dialogue.asking import listened_for, wanted
from assistant.dialogue.cautions import CAUTIONS
from assistant.dialogue.registry import FORMS
from assistant.events import NothingHeard, Utterance
from assistant.language.guide import helpful, written_guide
from assistant.language.listening import expects_number, phrases, vocabulary_words
from assistant.language.patterns import expand, parse_template
from assistant.language.understanding import Intent, Wants, understand
from assistant.language.vocabulary import PHRASES, Act, Stage
from assistant.numbers.tables import BELOW_100, DENOMINATORS, UNIT_WORDS

AWAKE = [stage for stage in Stage if stage is not Stage.ASLEEP]
NO_ANSWER = ("I did not get that", "That has to wait", "First this", "Not while marking")


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
    """The recogniser is told every word that counts, and where a number may come with a pause inside; no yes or no beside “next”."""
    state = watched(TO_REACH[stage]).conversation.state
    listened = {word for phrase in phrases(*listened_for(state)) for word in phrase.split()}
    for phrase in PHRASES:
        if stage in phrase.stages and not (stage is Stage.WALK and phrase.act in (Act.YES, Act.NO)):
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


# Everything that is said ---------------------------------------------------------------------------------------------

TALKS, TURNS = 60, 40
STARTS = (
    *TO_REACH.values(),
    (*TO_REACH[Stage.ASK], "2145", "2138"),
    (*TO_REACH[Stage.ASK], "2145", "2140"),
    (*TO_REACH[Stage.WALK], "next", "next", "stop", "gate", "1000", "20", "same", "1"),
    ("work in inches", "3 1/2 in", "4 in", "71 1/2", "the same", "new bay", "84 1/16", "84"),
    ("short answers", *TO_REACH[Stage.ASK], "2145", "2130"),
)
SENTENCES = [line.split("\t")[1] for line in Path(__file__).with_name("sentences.tsv").read_text(encoding="utf-8").splitlines()]
LEADS_ON = {
    Stage.ASK: ("<length>", "<length>", "the same"), Stage.CAUTION: ("understood",), Stage.DOUBT: ("yes", "no", "<length>"),
    Stage.CHOOSE: ("the first",), Stage.GAP: ("gap confirmed",), Stage.ASLEEP: ("wake up assistant",),
}  # fmt: skip
"""What a talk is carried on with half of the time, so that it gets somewhere."""


def random_talk(rng: random.Random) -> Iterator[str]:
    """What is answered in a talk made of phrases that count, of some that do not, of what builders say, of silence and of noise."""
    talk = Talk()
    for line in rng.choice(STARTS):
        yield talk.say(line)
    for _ in range(TURNS):
        state = talk.conversation.state
        chance = rng.random()
        if chance < 0.1:
            yield text(talk.conversation.take(rng.choice((NothingHeard(), Utterance(("the",), 0.0, 0.0, understood=False)))))
            continue
        if chance < 0.2:
            yield talk.say(rng.choice(SENTENCES))
            continue
        here = [phrase for phrase in PHRASES if chance < 0.25 or (state.stage in phrase.stages and phrase.act is not Act.SLEEP)]
        templates = rng.choice(here).templates if chance > 0.5 or state.stage not in LEADS_ON else LEADS_ON[state.stage]
        line = " ".join(rng.choice(list(expand(parse_template(rng.choice(templates))))))
        lengths = COUNTS[:5] if wanted(state) is Wants.COUNT else LENGTHS
        for slot, numbers in (("<length>", lengths), ("<second>", LENGTHS), ("<count>", COUNTS[:5])):
            line = line.replace(slot, rng.choice(numbers))
        yield talk.say(line)


@cache
def everything_said() -> frozenset[str]:
    """Every sentence of many talks; one ends with a stop or a question."""
    replies = [reply for seed in range(TALKS) for reply in random_talk(random.Random(seed))]
    return frozenset(one for reply in replies for one in re.split(r"(?<=[.?!]) ", reply) if one)


NUMBER_WORDS = frozenset(word for said in BELOW_100.values() for word in said.split()) | {"hundred", "thousand", "zero", "oh", "point"}
BEHIND_NUMBERS = frozenset(word for names in (*DENOMINATORS.values(), *UNIT_WORDS.values()) for name in names for word in name.split())


def length_in_words(sentence: str) -> int:
    """How many words there are to be kept in mind up to a pause, which a semicolon is too: a number with its unit is one."""
    if ";" in sentence:
        return max(map(length_in_words, sentence.split(";")))
    count, within = 0, False
    words = re.findall(r"[\w']+|[,.;:?]", sentence.lower())
    for word, following in zip(words, (*words[1:], ""), strict=True):
        joins = word in ("and", "of", "a", "an") and (following in NUMBER_WORDS | BEHIND_NUMBERS | {"a", "an"})
        number = (
            word in NUMBER_WORDS
            or word == "half"
            or (word in ("a", "an") and following in BEHIND_NUMBERS)
            or (within and (word in BEHIND_NUMBERS or joins))
        )
        count += word.isalpha() and not (number and within)
        within = number
    return count


BREATHS = frozenset(one for caution in CAUTIONS.values() for one in re.split(r"(?<=[.?!]) ", caution.spoken))


def test_no_sentence_is_longer_than_fourteen_words() -> None:
    assert {one for one in everything_said() - BREATHS if length_in_words(one) > 14} == set()


SLIPS = {
    "a word twice": r"\b(\w+) \1\b(?<!zero zero)(?<!\bone one)",
    "an article before a vowel": r"\ba (?:eight|eleven|inch|opening|end)\b",
    "one of many": r"(?:^|[:;,] |\b(?:of|by|is) )[Oo]ne (?:pickets|bays|marks|posts|gaps|rails|millimetres|inches|feet)\b",
    "many of one": r"\b(?:two|three|four|five|six|seven|eight|nine|ten|\w+teen) (?:picket|bay|mark|post|gap|rail|millimetre)\b",
    "a wish for words": r"\b(?:need|for) (?:what to do|understood|yes or no|gap confirmed)\b",
    "stops or spaces run together": r"  | [.,;:?]|[.,;:?]{2}|:\.|\. [a-z]",
    "a hole": r"\bNone\b(?! (?:left|stands))|\{|\}|<|>|_|\(\)",
    "no capital": r"^[a-z]",
}
"""What must not occur in a sentence."""


@pytest.mark.parametrize("slip", SLIPS)
def test_nothing_is_said_with_a_slip_of_grammar(slip: str) -> None:
    found = set()
    for one in everything_said():
        hit = re.search(SLIPS[slip], one)
        if hit and not (slip == "a word twice" and hit[1].lower() in NUMBER_WORDS):
            found.add(one)
    assert found == set()


@pytest.mark.parametrize("style", ["short answers", "full answers"])
@pytest.mark.parametrize("top", ["2140", "2130", "2100"])
@pytest.mark.parametrize("lean", ["share the lean", "keep pickets plumb"])
def test_a_bay_out_of_plumb_is_told_in_twenty_five_words(lean: str, top: str, style: str) -> None:
    talk = Talk(*TO_REACH[Stage.ASK], lean, style, "2145")
    said = talk.say(top)
    told = said[said.index("Bay one: ") :].removesuffix(" Say: next bay, gate, or no more bays.")
    assert len(told.split()) <= 25, told
    assert ("tape?" in told) == (top == "2140"), "what a careless tape explains is asked, not told"
