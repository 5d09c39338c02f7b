"""From words to what was meant, by the one vocabulary; strict, and a refusal is a value.

`understand` never guesses: words that no phrase of the vocabulary derives give `Unknown`, words that mean something only elsewhere
give `OutOfPlace`, and a number with two readings arrives as `Ambiguous` inside the intent.  A sentence that is put together from several
things that can be said gives `Several`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import Enum
from functools import cache, lru_cache
from typing import TypeAlias

from assistant.language.manner import APART, halts, kernel, kernel_of, one_name, plainly
from assistant.language.patterns import Choice, Node, SlotValue, Word, beginning, first_words, match, match_passing, parse_template
from assistant.language.rarer import RARER
from assistant.language.vocabulary import BEFORE_A_CORRECTION, CORRECTABLE, PARTS, PARTS_AT, PHRASES, Act, Phrase, Stage
from assistant.numbers import Ambiguous, NoParse, SpokenCount, SpokenLength, number_words, parse_count, parse_length
from assistant.numbers.tables import BELOW_100, ZEROS
from assistant.setout.lengths import Length, Unit

LengthReading: TypeAlias = "SpokenLength | Ambiguous[SpokenLength]"


class Wants(Enum):
    """What kind of number the question on the table wants."""

    LENGTH = "length"
    COUNT = "count"
    NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class Intent:
    """What was meant."""

    act: Act
    length: LengthReading | None = None
    count: int | None = None
    """How many; beside a length, of which bay it is."""
    words: tuple[str, ...] = ()
    instead: LengthReading | None = None
    """The length that it puts right, where that was said too: “not …, …”."""


@dataclass(frozen=True, slots=True)
class Several:
    """Several things meant by one sentence, in the order they were said."""

    parts: tuple[Intent, ...]


@dataclass(frozen=True, slots=True)
class OutOfPlace:
    """Words that mean something, but not now."""

    intent: Intent
    stages: frozenset[Stage]
    alone: bool = True
    """Whether nothing more was said with it."""


@dataclass(frozen=True, slots=True)
class Unknown:
    """Words that mean nothing here."""

    words: tuple[str, ...]


Understanding: TypeAlias = Intent | Several | OutOfPlace | Unknown

_NUMBERS = frozenset(word for said in BELOW_100.values() for word in said.split())
"""Nobody begins a length with “zero nine”: behind a zero these are a “no” that was misheard, and its number a correction."""
_DIGITS = frozenset(BELOW_100[digit] for digit in range(1, 10)) | frozenset(ZEROS)
_OPENINGS = (Length(300), Length(6000))
"""mm; where the words could be parted in two ways, an opening is of such a size."""
_TOP_TO_BOTTOM = Length(100)
"""mm; two openings said one after the other without their names are no further apart.  Common practice, no source."""
_JOINTS = ("and", "then", "with", APART)
"""What stands between the parts of a sentence."""
_YES = frozenset(("yes", "yep", "yeah", "yup", "that's right", "that is right", "yes that's right", "correct", "it is", "yes it is"))
"""Behind which what comes next is taken, where a number is in question."""
_MOST_WORDS = 60
"""A longer sentence is none of a builder's, and trying all that it might be would take a second."""


def intents(meaning: Understanding) -> tuple[Intent, ...]:
    """What was meant, one thing after another; nothing where it was not understood."""
    match meaning:
        case Intent():
            return (meaning,)
        case Several(parts):
            return parts
    return ()


_Compiled: TypeAlias = tuple[tuple[Phrase, tuple[Node, ...], "frozenset[str] | None"], ...]

_NEVER_BY_THE_KERNEL = frozenset(
    (
        Act.CORRECT, Act.YES, Act.NO, Act.FIRST, Act.SECOND, Act.CONFIRM_GAP, Act.UNDERSTOOD, Act.SLEEP, Act.WAKE, Act.END, Act.STOP,
        Act.UNDO, Act.BARE, Act.OVER, Act.HELP, Act.ALL_MEASURED,
    )
)  # fmt: skip
"""What confirms, removes, ends or settles is only taken in words of its own."""
_NEVER_BEHIND_A_HALT = frozenset((Act.YES, Act.FIRST, Act.SECOND, Act.CONFIRM_GAP, Act.UNDERSTOOD, Act.REMOVE_BAY, Act.SLEEP, Act.END))
_BUSY = frozenset({Stage.WALK, Stage.GAP, Stage.CAUTION})
"""Where one word that is left of a sentence says too little: people talk among themselves."""


_ASKED = frozenset(
    (
        Act.WHICH_GAP, Act.WHICH_BOTTOM, Act.WHICH_TOP, Act.WHICH_SETTINGS, Act.IN_ALL, Act.SUMMARY, Act.REPEAT, Act.HOW_MANY_LEFT,
        Act.WHERE, Act.WHICH_LIMITS, Act.WHICH_CODE,
    )
)  # fmt: skip
"""What only asks."""
_HARMLESS = _ASKED | frozenset(
    (
        Act.VALUE, Act.BOTH, Act.SET_BOTTOM, Act.SET_TOP, Act.SET_PICKET, Act.SET_LARGEST_GAP, Act.SET_GAP_UNDER, Act.THICKNESS, Act.SAME,
        Act.SAME_BAY, Act.LESS_BY, Act.MORE_BY, Act.NEXT_BAY, Act.NEW_BAY, Act.NEW_GATE, Act.GO_BAY, Act.CHANGE_BAY, Act.START_MARKING,
        Act.RUN_IS, Act.MORE_PICKETS, Act.FEWER_PICKETS, Act.CENTRES, Act.LEFT_EDGES, Act.RIGHT_EDGES, Act.FROM_LEFT, Act.FROM_RIGHT,
        Act.ENDS_GAP, Act.ENDS_PICKET, Act.ENDS_HALF, Act.POSTS, Act.TIMBER, Act.POLE, Act.HOLD, Act.WORK_MM, Act.WORK_INCHES,
        Act.WORK_FEET,
    )
)  # fmt: skip
"""What is told back at once, or asked about, and can be taken back: taken though there were words in it that mean nothing here."""
_FEW = 3
"""So many words that nothing is said with are passed over, and as many again as there are others."""
_MOST_PASSED = 2
"""So many of the other words, and no more than half of them; one where people talk among themselves."""
_PASSED = 100
"""What it counts against a way of taking a sentence apart that a word is passed over: more than any number of parts."""
_MOST_PASSED_IN = 14
"""Of longer sentences none."""
_TELLING = frozenset(
    (
        "not", "no", "never", "without", "except", "minus", "or", "if", "unless", "until", "before", "after", "when", "because", "maybe",
        "top", "bottom", "middle", "both", "same", "gate", "gates", "hinge", "hinges", "latch",
        "bay", "next", "left", "right", "less", "more", "fewer", "under", "over",
        "last", "wrong", "instead", "post", "posts", "gap", "gaps", "between", "what", "how", "which", "where", "remove", "scrap",
    )
)  # fmt: skip
"""Never passed over."""


def _passable(word: str) -> bool:
    return word not in _TELLING and word not in number_words() and word != APART


class _Form(Enum):
    """How much of the manner of speaking is left in what is compared."""

    SAID = "as it was said"
    PLAIN = "one name for one thing"
    KERNEL = "without small words"


@cache
def _compiled(form: _Form) -> _Compiled:
    """Every wording in a form, and the words it can begin with; None for a slot."""
    found: dict[tuple[Phrase, tuple[Node, ...]], frozenset[str] | None] = {}
    for phrase in (*PHRASES, *RARER):
        if form is _Form.KERNEL and phrase.act in _NEVER_BY_THE_KERNEL:
            continue
        for template in phrase.templates:
            nodes = parse_template(template if form is _Form.SAID else one_name(template))
            nodes = kernel_of(nodes) if form is _Form.KERNEL else nodes
            if match(nodes, (), lambda slot, span: None) is None:  # a kernel that is nothing tells nothing
                found[phrase, nodes] = first_words(nodes)
    return tuple((phrase, nodes, firsts) for (phrase, nodes), firsts in found.items())


@cache
def _known_words() -> frozenset[str]:
    """Every word that a wording holds, with one name for one thing, and what denies or makes a condition."""
    found = set(_TELLING)

    def collect(nodes: tuple[Node, ...]) -> None:
        for node in nodes:
            if isinstance(node, Word):
                found.add(node.text)
            elif isinstance(node, Choice):
                for option in node.options:
                    collect(option)

    for _, nodes, _ in _compiled(_Form.PLAIN):
        collect(nodes)
    return frozenset(found)


@cache
def _acts_at(stage: Stage) -> frozenset[Act]:
    return frozenset(phrase.act for phrase in (*PHRASES, *RARER) if stage in phrase.stages)


_ANYTHING = ""
"""Stands for a word that no wording begins with."""


@cache
def _by_first_word(form: _Form, in_parts: bool) -> dict[str, _Compiled]:
    """The wordings, those of PARTS or all, that can begin with a word, in order; those that a slot begins can begin with any."""
    rows = [row for row in _compiled(form) if row[0].act in PARTS or not in_parts]
    known = frozenset({_ANYTHING}).union(*(firsts for _, _, firsts in rows if firsts is not None))
    return {word: tuple(row for row in rows if row[2] is None or word in row[2]) for word in known}


def _begun_by(word: str, form: _Form, *, in_parts: bool = False) -> _Compiled:
    rows = _by_first_word(form, in_parts)
    return rows.get(word, rows[_ANYTHING])


@lru_cache(maxsize=8192)
def understand(words: tuple[str, ...], stage: Stage, wants: Wants, unit: Unit) -> Understanding:
    """What the words mean in this stage; a number without a unit is read in `unit`."""
    if len(words) > _MOST_WORDS:
        return Unknown(words)
    reader = _Reader(stage, wants, unit)
    as_said = understand_as_said(words, stage, wants, unit)
    if isinstance(as_said, (Intent, Several)):
        return as_said
    found: Understanding | None = as_said if isinstance(as_said, OutOfPlace) else None
    for fewer in plainly(words):
        again = reader.whole(fewer, _Form.PLAIN)
        if isinstance(again, Intent) and again.act in _NEVER_BEHIND_A_HALT and halts(words, fewer):
            continue
        if isinstance(again, Intent):
            return replace(again, words=words) if again.length is None and again.count is None else again
        parts = reader.parted(fewer, _Form.PLAIN) or reader.corrected(fewer, _Form.PLAIN)
        if parts is not None and not _has_an_odd_part(parts):
            return parts
        found = found or parts
        found = found or again
    with_a_yes = reader.behind_a_yes(words)
    if with_a_yes is not None:
        return with_a_yes
    for fewer in plainly(words):
        by_kernel = reader.by_kernel(kernel(fewer), words)
        if by_kernel is not None:
            return by_kernel
    return found or reader.passing_over(words) or Unknown(words)


@lru_cache(maxsize=8192)
def understand_as_said(words: tuple[str, ...], stage: Stage, wants: Wants, unit: Unit) -> Understanding:
    """The same of words that are wordings as they stand, one or several; nothing is passed over or taken for another word.

    For ears: what they make of noise and talk among people means nothing, however near to something it comes.
    """
    if len(words) > _MOST_WORDS:
        return Unknown(words)
    reader = _Reader(stage, wants, unit)
    found = reader.whole(words, _Form.SAID)
    if isinstance(found, Intent):
        return found
    return reader.parted(words, _Form.SAID) or reader.corrected(words, _Form.SAID) or found or Unknown(words)


@lru_cache(maxsize=8192)
def _number(span: tuple[str, ...], unit: Unit, counted: bool) -> SlotValue | None:
    """What the words spell; kept, for a hundred phrases ask for the same span."""
    if not number_words().issuperset(span):
        return None
    reading = parse_count(span) if counted else parse_length(span, unit)
    return None if isinstance(reading, NoParse) else reading


@dataclass(frozen=True, slots=True)
class _Reader:
    """Reads words where something is waited for."""

    stage: Stage
    wants: Wants
    unit: Unit

    def read(self, slot: str, span: tuple[str, ...]) -> SlotValue | None:
        """The number that words spell in a slot."""
        if len(span) > 1 and span[0] in ZEROS and span[1] in _NUMBERS:
            return None
        return _number(span, self.unit, slot == "count" or (self.wants is Wants.COUNT and slot == "length"))

    def read_among_others(self, slot: str, span: tuple[str, ...]) -> SlotValue | None:
        """The same where other numbers may stand beside it: a bay is not numbered digit by digit."""
        if slot == "count" and len(span) > 1 and _DIGITS.issuperset(span):
            return None
        return self.read(slot, span)

    def whole(self, words: tuple[str, ...], form: _Form) -> Intent | OutOfPlace | None:
        """The one phrase that the words are."""
        elsewhere: OutOfPlace | None = None
        for phrase, nodes, _ in _begun_by(words[0] if words else _ANYTHING, form):
            here = self.stage in phrase.stages
            if not here and (elsewhere is not None or phrase.act is Act.VALUE):
                continue
            found = match(nodes, words, self.read)
            if found is None:
                continue
            intent = _intent(phrase.act, found, words)
            if here:
                return intent
            elsewhere = OutOfPlace(intent, phrase.stages)
        return elsewhere

    def behind_a_yes(self, words: tuple[str, ...]) -> Several | OutOfPlace | None:
        """A yes to a number in question, and in the same breath what comes next; without the yes that has to wait."""
        if self.stage is not Stage.DOUBT:
            return None
        agreed = next((at for at in (3, 2, 1) if " ".join(words[:at]) in _YES), 0)
        rest = understand(words[agreed:], Stage.ASK, self.wants, self.unit)
        following = intents(rest)
        if not following or any(one.act not in PARTS or (one.act is Act.VALUE and len(following) == 1) for one in following):
            return None
        if agreed:
            return Several((Intent(Act.YES, words=words[:agreed]), *following))
        return OutOfPlace(following[0], frozenset({Stage.ASK}), alone=len(following) == 1)

    def by_kernel(self, left: tuple[str, ...], words: tuple[str, ...]) -> Intent | Several | None:
        """What the words that are left of a sentence mean, where that is one thing only."""
        if not left or (len(left) == 1 and (self.stage in _BUSY or left == ("one",))):
            return None  # “let me measure one”
        found: dict[tuple[Act, LengthReading | None, int | None], Intent] = {}
        for phrase, nodes, _ in _begun_by(left[0], _Form.KERNEL):
            if self.stage in phrase.stages:
                values = match(nodes, left, self.read_among_others)
                if values is not None:
                    intent = _intent(phrase.act, values, words)
                    found[intent.act, intent.length, intent.count] = intent
        if found:
            return next(iter(found.values())) if len(found) == 1 else None
        parts = self.parted(left, _Form.KERNEL) or self.corrected(left, _Form.KERNEL)
        return None if parts is None or _has_an_odd_part(parts) else parts

    def passing_over(self, words: tuple[str, ...]) -> Intent | Several | None:
        """What the words mean without those that nothing is said with, and without a few more: where it is told back, or only asks."""
        known = _known_words()
        found: list[tuple[int, Intent | Several]] = []
        for fewer in plainly(words):
            left = kernel(fewer, known)
            if not left or (len(left) == 1 and left[0] not in number_words()) or len(fewer) > 2 * len(left) + _FEW:
                continue
            exact = self.by_kernel(left, words)
            if exact is not None and self._may_pass(exact):
                return exact
            passed = self._whole_passing(left, words)
            if passed is not None:
                found.append(passed)
            parts = None if passed is not None or self.stage in _BUSY else self.parted(left, _Form.KERNEL, passing=True)
            if parts is not None and self._may_pass(parts):
                found.append((_MOST_PASSED, parts))
        return min(found, key=lambda one: one[0])[1] if found else None

    def _may_pass(self, meaning: Intent | Several) -> bool:
        acts = {one.act for one in intents(meaning)}
        return acts <= (_ASKED if self.stage in _BUSY else _HARMLESS)

    def _whole_passing(self, left: tuple[str, ...], words: tuple[str, ...]) -> tuple[int, Intent] | None:
        if len(left) > _MOST_PASSED_IN:
            return None
        best: dict[Act, tuple[int, Intent]] = {}
        most = 1 if self.stage in _BUSY else _MOST_PASSED
        for phrase, nodes, _ in _compiled(_Form.KERNEL):
            if self.stage not in phrase.stages or phrase.act not in (_ASKED if self.stage in _BUSY else _HARMLESS):
                continue
            found = match_passing(nodes, left, self.read_among_others, _passable, min(most, len(left) // 2))
            if found is not None and (phrase.act not in best or found[1] < best[phrase.act][0]):
                best[phrase.act] = (found[1], _intent(phrase.act, found[0], words))
        if not best:
            return None
        fewest = min(passed for passed, _ in best.values())
        nearest = [one for one in best.values() if one[0] == fewest]
        return nearest[0] if len(nearest) == 1 else None

    def corrected(self, words: tuple[str, ...], form: _Form) -> Intent | Several | None:
        """“No, the top was …”: what can be put right, behind a word that says so."""
        at = next((at for at, word in enumerate(words) if word not in BEFORE_A_CORRECTION), len(words))
        if not 0 < at < len(words):
            return None
        found = self.whole(words[at:], form)
        if isinstance(found, Intent) and found.act in CORRECTABLE:
            return replace(found, words=words)
        parts = self.parted(words[at:], form)
        if parts is None or not all(one.act in CORRECTABLE for one in intents(parts)):
            return None
        first, *rest = intents(parts)
        return Several((replace(first, words=words), *rest)) if rest else replace(first, words=words)

    def parted(self, words: tuple[str, ...], form: _Form, *, passing: bool = False) -> Intent | Several | None:
        """The sentence as several phrases one behind another: the fewest, and of those the ones with the likeliest openings.

        Passing: without a few words between them.
        """
        if self.stage not in PARTS_AT or self.wants is Wants.COUNT or len(words) <= 2:
            return None
        known: dict[int, tuple[int, tuple[Intent, ...]] | None] = {len(words): (0, ())}

        def behind(at: int) -> tuple[int, tuple[Intent, ...]] | None:
            if at not in known:
                known[at] = None
                ways = []
                for intent, used in self._phrases_at(words, at, form):
                    rest = behind(at + used)
                    if rest is not None and _goes_with(intent, rest[1], words[at + used : at + used + 1]):
                        ways.append((rest[0] + _odd(intent) + 1, (intent, *rest[1])))
                if passing and _passable(words[at]) and (rest := behind(at + 1)) is not None:
                    ways.append((rest[0] + _PASSED, rest[1]))
                if at and words[at] in _JOINTS and (rest := behind(at + 1)) is not None:
                    ways.append(rest)
                known[at] = min(ways, key=lambda way: way[0], default=None)
            return known[at]

        found = behind(0)
        parts = _together(found[1]) if found is not None and found[0] < (_MOST_PASSED + 1) * _PASSED else ()
        if self.stage is Stage.HUB and [part.act for part in parts] == [Act.VALUE, Act.NEW_GATE]:
            return Several(parts[::-1])  # “a 42 inch gate” is no bay and a gate behind it
        if len(parts) == 1:
            return replace(parts[0], words=words) if parts[0].act in _acts_at(self.stage) else None
        return Several(parts) if parts else None

    def _phrases_at(self, words: tuple[str, ...], at: int, form: _Form) -> Iterator[tuple[Intent, int]]:
        for phrase, nodes, _ in _begun_by(words[at], form, in_parts=True):
            for found, rest in beginning(nodes, words[at:], self.read_among_others):
                used = len(words) - at - len(rest)
                yield _intent(phrase.act, found, words[at : at + used]), used


def _goes_with(intent: Intent, rest: tuple[Intent, ...], joint: tuple[str, ...]) -> bool:
    """Whether phrases can follow one another: a bare number behind another needs a word between, and to be like it."""
    if not rest:
        return intent.act is not Act.GO_BAY
    follows = rest[0]
    if follows.act is Act.THICKNESS:
        return intent.length is not None
    if intent.length is not None and intent.words[-1] in number_words() and joint[0] in number_words() and joint != ("and",):
        return False
    if follows.act is not Act.VALUE:
        return True
    if intent.length is None:
        return not _odd(follows)
    return joint[:1] in (("and",), ("then",)) and _alike(intent.length, follows.length)


def _alike(one: LengthReading, other: LengthReading | None) -> bool:
    """Whether two numbers with nothing but “and” between are the openings of one bay, and not one number with a word too many."""
    if not isinstance(one, SpokenLength) or not isinstance(other, SpokenLength):
        return False
    low, high = sorted((one.mm, other.mm))
    return _OPENINGS[0] <= low and high <= _OPENINGS[1] and high - low <= _TOP_TO_BOTTOM


def _odd(intent: Intent) -> int:
    """How much there is against a part: an opening of no likely size, a bay with a number of three digits."""
    odd = 0
    if intent.length is not None and intent.act in (Act.VALUE, Act.SET_BOTTOM, Act.SET_TOP, Act.BOTH):
        heard = intent.length.candidates if isinstance(intent.length, Ambiguous) else (intent.length,)
        odd += 0 if any(_OPENINGS[0] <= one.mm <= _OPENINGS[1] for one in heard) else 3
    if intent.count is not None and intent.count > 99:
        odd += 3
    return odd


def _has_an_odd_part(parts: Intent | Several) -> bool:
    """Whether an opening that is named has no likely size: a number was cut in two, as likely as not."""
    return any(_odd(part) for part in intents(parts) if part.act is not Act.VALUE)


def _together(parts: tuple[Intent, ...]) -> tuple[Intent, ...]:
    """“Bay two, bottom …” as the bottom of bay two; “next bay” with a measurement behind it as a new bay."""
    found: list[Intent] = []
    bay: int | None = None
    for part, following in zip(parts, (*parts[1:], None), strict=True):
        match part.act:
            case Act.GO_BAY:
                bay = part.count
                if following is None or following.act not in (Act.SET_BOTTOM, Act.SET_TOP):
                    found.append(part)
            case Act.SET_BOTTOM | Act.SET_TOP if part.count is None and bay is not None:
                found.append(replace(part, count=bay))
            case Act.NEXT_BAY if following is not None:
                bay = None
                found.append(replace(part, act=Act.NEW_BAY))
            case Act.NEW_BAY | Act.NEW_GATE:
                bay = None
                found.append(part)
            case _:
                if not (found and found[-1].act is part.act and part.length is None and part.count is None):
                    found.append(part)  # said twice, it is meant once: “that's it, no more”
    return tuple(found)


def _intent(act: Act, found: dict[str, SlotValue], words: tuple[str, ...]) -> Intent:
    lengths: dict[str, LengthReading] = {}
    count = None
    for slot, value in found.items():
        if isinstance(value, SpokenCount):
            count = value.value
        elif isinstance(value, (SpokenLength, Ambiguous)):
            lengths[slot] = value
    return Intent(act, lengths.get("length"), count, words, lengths.get("second"))
