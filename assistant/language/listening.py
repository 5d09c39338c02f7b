"""What the recogniser should listen for in a state: the phrases of the vocabulary that count now, and numbers where they are wanted.

Whole phrases, not loose words: the recogniser turns the list into word pairs, so what stands together here is expected together there.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from assistant.events import Ending
from assistant.language.patterns import expand, parse_template
from assistant.language.understanding import Intent, Wants, intents, understand_as_said
from assistant.language.vocabulary import BEHIND_A_LENGTH, OPENING_A_BAY, PHRASES, Act, Stage
from assistant.numbers import NoParse, PhraseKind, SpokenLength, number_phrases, number_words, parse_length, say_count
from assistant.numbers.tables import DENOMINATORS, UNIT_WORDS
from assistant.setout.lengths import Length, Unit

_NEXT_IN_A_NUMBER = ("one", "ten", "twenty", "oh")
"""Where one of these can stand behind a number, it can go on."""
_BREATH_BEHIND = frozenset(("thousand", "hundred", "and", "point", "no", "correction", "wrong"))
"""Words behind which people breathe."""
_PARTS = frozenset(name.split()[-1] for names in DENOMINATORS.values() for name in names)
"""Feet and inches without a part of an inch go on after a breath (“six feet … and a quarter”); nothing comes behind the part."""
_INCHES = frozenset(UNIT_WORDS[Unit.INCH])
"""Said at the end more often than before a part."""
_FEET = frozenset(UNIT_WORDS[Unit.FOOT_INCH])
_GROUP = 2
"""Numbers said in groups (“twenty one … forty five”) are open behind their first group, which is so many words."""
_TWO_GROUPS = 1000
"""mm; numbers below this are not said in groups, so where only such are likely, nobody breathes inside one."""
_TWO_DIGITS = 10
_LONGEST = Length(6000)
"""Nobody is expected to go on to more than this."""

JOINED_AT = (Stage.ASK, Stage.HUB)
"""Where whole sentences about a bay are listened for: elsewhere they would only make the phrases harder to hear."""
COUNTS = range(1, 61)
"""Counts listed whole behind a phrase such as “mark …”; higher ones are heard all the same, word by word."""


def phrases(stage: Stage, wants: Wants, unit: Unit) -> tuple[str, ...]:
    """The phrase list for what can be said at this stage, where the question wants such a number."""
    return _phrases(stage, wants, unit in (Unit.MM, Unit.CM, Unit.M))


def listened_for_at(stage: Stage, wants: Wants) -> tuple[str, ...]:
    """The wordings that are listened for: not a yes or a no while marks are called and nothing is asked, for both sound like “next”."""
    unasked = stage is Stage.WALK and wants is Wants.NOTHING
    said = (phrase for phrase in PHRASES if stage in phrase.stages and not (unasked and phrase.act in (Act.YES, Act.NO)))
    return tuple(template for phrase in said for template in phrase.templates)


def expects_number(stage: Stage) -> bool:
    """Whether an answer may be a number spoken with a pause inside."""
    return stage in (Stage.ASK, Stage.CHOOSE, Stage.DOUBT, Stage.GAP)


def ending(
    words: tuple[str, ...], stage: Stage, wants: Wants, unit: Unit, likely: tuple[Fraction, Fraction] = (Fraction(0), _LONGEST)
) -> Ending:
    """Whether the words heard so far may be followed by others at this stage: how long to wait for those.

    ``likely``: the numbers that are likely here, mm.
    """
    return _ending(words, stage, wants, unit, likely)


def vocabulary_words() -> frozenset[str]:
    """Every word the assistant can understand: what a speech model has to know."""
    words = set(number_words())
    for template in (*(one for phrase in PHRASES for one in phrase.templates), *OPENING_A_BAY, *BEHIND_A_LENGTH):
        for line in expand(parse_template(template)):
            words.update(word for word in line if not word.startswith("<"))
    return frozenset(words)


@lru_cache(maxsize=64)
def _phrases(stage: Stage, wants: Wants, metric: bool) -> tuple[str, ...]:
    lengths = number_phrases(PhraseKind.MILLIMETRES if metric else PhraseKind.INCHES)
    first_words = sorted({phrase.split()[0] for phrase in lengths})
    found: dict[str, None] = {}
    alone = False
    joined = (*OPENING_A_BAY, *BEHIND_A_LENGTH) if stage in JOINED_AT and wants is not Wants.COUNT else ()
    said = listened_for_at(stage, wants)
    for template in (*said, *joined):
        for words in expand(parse_template(template)):
            if words == ("<length>",):
                alone = True
            elif "<length>" in words:
                # A list of word pairs: the words before a number with its first word, and those behind the last one alone.
                *before, behind = _between(words)
                for part in before:
                    at = part.index("<count>") + 1 if "<count>" in part else 0
                    if at:
                        found.update(dict.fromkeys(" ".join((*part[: at - 1], *say_count(count).split())) for count in COUNTS))
                    if part[at:]:
                        found.update(dict.fromkeys(" ".join((*part[at:], first)) for first in first_words))
                if behind:
                    found[" ".join(behind)] = None
            elif "<count>" in words:
                at = words.index("<count>")
                for count in COUNTS:
                    found[" ".join((*words[:at], *say_count(count).split(), *words[at + 1 :]))] = None
            else:
                found[" ".join(words)] = None
    if alone and wants is Wants.COUNT:
        found.update(dict.fromkeys(number_phrases(PhraseKind.COUNT)))
    elif alone or any("<length>" in template for template in said):
        found.update(dict.fromkeys(lengths))
    return tuple(found)


def _between(words: tuple[str, ...]) -> list[tuple[str, ...]]:
    """What stands before each length, and behind the last one."""
    parts: list[tuple[str, ...]] = [()]
    for word in words:
        if word == "<length>":
            parts.append(())
        else:
            parts[-1] = (*parts[-1], word)
    return parts


@lru_cache(maxsize=1024)
def _ending(words: tuple[str, ...], stage: Stage, wants: Wants, unit: Unit, likely: tuple[Fraction, Fraction]) -> Ending:
    meaning = understand_as_said(words, stage, wants, unit)
    start = next((i for i in range(len(words)) if number_words().issuperset(words[i:])), len(words))
    if start < len(words) and not (isinstance(meaning, Intent) and meaning.length is None):
        if _takes(words[:start], stage, wants, unit):
            return _number_ending(words[start:], unit, likely)
        if start == 0:  # a number where none is wanted
            return Ending.FINISHED
    said = " ".join(words)
    metric = unit in (Unit.MM, Unit.CM, Unit.M)
    if not any(phrase.startswith(f"{said} ") for phrase in _phrases(stage, wants, metric)):
        # “bottom two one six oh top”
        more = not intents(meaning) and start == len(words) and number_words() & set(words) and _takes(words, stage, wants, unit)
        return Ending.OPEN if more else Ending.FINISHED
    return Ending.COMPLETE if isinstance(meaning, Intent) and not _BREATH_BEHIND & {words[-1]} else Ending.OPEN


def _takes(before: tuple[str, ...], stage: Stage, wants: Wants, unit: Unit) -> bool:
    """Whether a length can stand behind these words."""
    meaning = understand_as_said((*before, "ninety"), stage, wants, unit)
    meant = intents(meaning)
    return bool(meant) and (meant[-1].length or meant[-1].count) is not None


def _number_ending(number: tuple[str, ...], unit: Unit, likely: tuple[Fraction, Fraction]) -> Ending:
    reads = _reads(number, unit)
    short = unit is Unit.MM and _is_short(number, unit, likely[1])
    if number[-1] in _BREATH_BEHIND and not short:
        return Ending.BREATH
    if unit in (Unit.INCH, Unit.FOOT_INCH) or not _FEET.isdisjoint(number):
        if not reads or number[-1] not in _INCHES | _PARTS:
            return Ending.BREATH
        return Ending.COMPLETE if number[-1] in _INCHES else Ending.FINISHED
    if any(_reads((*number, word), unit) for word in _NEXT_IN_A_NUMBER):
        return Ending.OPEN if (len(number) <= _GROUP and not short) or not reads else Ending.COMPLETE
    return Ending.FINISHED if unit is Unit.MM and reads else Ending.COMPLETE


def _is_short(number: tuple[str, ...], unit: Unit, high: Fraction) -> bool:
    """Whether no more than this is likely, and a number that is not the first digit of another stands already."""
    reading = parse_length(number, unit) if high < _TWO_GROUPS else None
    return isinstance(reading, SpokenLength) and reading.mm <= high and (reading.mm >= _TWO_DIGITS or high < _TWO_DIGITS)


def _reads(number: tuple[str, ...], unit: Unit) -> bool:
    reading = parse_length(number, unit)
    return not isinstance(reading, NoParse) and not (isinstance(reading, SpokenLength) and reading.mm > _LONGEST)
