"""Manner of speaking, in one place: words around a sentence, other names for one thing, and small words that carry no meaning.

`plainly` takes fillers off and gives everything one name; `kernel` leaves only the words that tell one sentence from another, and
`kernel_of` does the same to a template, so that “and what have we got for the gap” and “what is the gap” are one.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from assistant.language.patterns import Choice, Node, Slot, Word
from assistant.numbers import number_words

_ONE_FOR_ANOTHER = {
    "what's": "what is", "that's": "that is", "it's": "it is", "i'm": "i am", "we're": "we are", "they're": "they are",
    "there's": "there is",
    "let's": "let us", "lets": "let us", "i've": "i have", "we've": "we have", "didn't": "did not", "don't": "do not",
    "isn't": "is not", "haven't": "have not",
    "where's": "where is", "won't": "will not", "we'll": "we will", "i'll": "i will", "you've": "you have", "how's": "how is",
        "that'll": "that will", "it'll": "it will",
    "whats": "what is", "thats": "that is",
    "its": "it is", "im": "i am", "dont": "do not", "okay": "ok", "center": "centres", "centers": "centres", "meters": "metres",
    "millimeters": "millimetres",
    "stringer": "rail", "stringers": "rails", "panel": "bay", "panels": "bays", "section": "bay", "sections": "bays", "span": "bay",
    "spans": "bays",
    "pale": "paling", "pales": "palings", "batten": "slat", "battens": "slats", "upright": "picket", "uprights": "pickets",
    "vertical": "picket", "verticals": "pickets",
    "plank": "board", "planks": "boards", "stave": "picket", "staves": "pickets", "baluster": "picket", "balusters": "pickets",
    "spindle": "picket", "spindles": "pickets",
    "spacing": "gap", "spacings": "gaps", "reveal": "opening", "reveals": "openings",
    "chuck": "put", "bung": "put", "whack": "put", "throw": "put", "btm": "bottom", "gimme": "give me", "wanna": "want to",
        "gonna": "going to", "cos": "because", "biggest": "largest",
    "low": "bottom", "high": "top",
    "centre": "centres", "nineties": "ninety", "eighties": "eighty", "seventies": "seventy", "sixties": "sixty", "hundreds": "hundred",
    "maximum": "max", "upper": "top", "lower": "bottom",
}  # fmt: skip
"""Other names and spellings, each for the one on its right."""
_BEFORE = frozenset(
    (
        "ok", "right", "righto", "so", "um", "uh", "er", "ah", "oh", "well", "now", "then", "alright", "actually", "hey", "please",
        "mate", "just", "and", "but",
        "cheers", "good", "great", "yeah", "yep", "hello", "assistant", "listen", "look", "anyway", "also", "basically", "i think",
        "i reckon", "we have", "we have got", "i have", "i have got", "got", "let us say", "let us", "all good", "looks like", "i want",
        "can i", "read me", "make it", "there is", "a", "give me", "it is", "that is", "they are", "the", "can you", "could you",
        "would you", "will you", "i want to", "i would like to", "i need to", "let me", "you can", "all right", "hang on",
        "let me see", "first", "next", "for now", "wait", "hold on", "sorry", "whoa", "oi", "no wait", "wait no", "cool", "yes", "yup",
        "yeh", "aye",
        "no worries", "too easy", "sweet", "beauty", "done", "nice", "excellent", "perfect", "guess what",
    )
)  # fmt: skip
"""Manner of speaking in front of a sentence."""
_BEHIND = frozenset(
    ("please", "mate", "thanks", "cheers", "thank you", "then", "now", "for me", "i think", "i reckon", "boss", "ta", "eh",
        "if you can", "if you would", "will you", "would you", "here", "ok", "right", "today", "buddy",
     "assistant", "this time", "again please", "bro", "love", "there", "as well", "too", "again", "on the tape", "on my tape",
     "by my tape", "to the next post", "is fine", "is ok", "to me", "for this one", "for this bay", "for that one", "on this one",
     "in that bay", "in this bay",
        "on that bay", "for that bay", "on this bay", "in there", "that bay", "this time round", "all up", "or so", "ish", "like",
        "will do", "would be good", "would do", "fine", "if possible", "give or take",
        "near enough", "on the dot", "is it", "i guess", "i suppose", "i believe", "at the moment", "from here", "over here")
)  # fmt: skip
"""Manner of speaking behind one."""
_BETWEEN = frozenset(("mate", "actually", "just", "um", "uh", "er", "really", "basically"))
"""Manner of speaking anywhere in one."""
_ORDINALS = (
    ("first", "one"), ("second", "two"), ("third", "three"), ("fourth", "four"), ("fifth", "five"), ("sixth", "six"),
    ("seventh", "seven"), ("eighth", "eight"), ("ninth", "nine"), ("tenth", "ten"),
)  # fmt: skip
_BEGINS_A_NUMBER = "|".join(sorted(number_words()))
_SEVERAL_WORDS = (
    (r"^(?:it is |it's |just )?(?:a |the )?(?:one|single)(?: leaf)?$", "one"),
    (r"^(?:it is |it's )?(?:a )?(?:double|pair)(?: (?:leaf|of leaves))?$", "two"),
    *(
        (rf"\bthe {ordinal} (?:one|picket|paling|board|slat)(?= (?:has |is )?(?:slipped|moved|shifted|off|out)\b)", f"picket {count}")
        for ordinal, count in _ORDINALS
    ),
    *(
        (rf"\b(bumped|knocked|nudged) the {ordinal} (?:one|picket|paling|board|slat)\b", rf"\1 picket {count}")
        for ordinal, count in _ORDINALS
    ),
    (r"^(?:nah|nope)(?= (?:the )?(?:top|bottom)\b)", "no"),
    *(
        (
            rf"\b(?:the )?{ordinal} (?:one|bay|opening)(?= (?:is|was|measures|reads|comes to|comes in at)"
            r" (?!(?:the )?(?:right|wrong|fine|good|ok|correct|not|it|same|marked|done|off|out|level|plumb|at|by)\b))",
            f"bay {count}",
        )
        for ordinal, count in _ORDINALS
    ),
    *((rf"\b(?:the )?{ordinal} bay(?= (?:(?:top|bottom|both) )?(?:{_BEGINS_A_NUMBER})\b)", f"bay {count}") for ordinal, count in _ORDINALS),
    (r"\b(?:scrap|forget|strike|ignore) that(?= \w)(?! (?:bay|gate|one|last))", "no"),
    (r"\beach one\b", "each"),
    (r"\boff the (?=left|right)", "from the "),
    (r"\b(left|right) hand (?=post|side|end|edge)", r"\1 "),
    (r"\b(?:pressure )?treated (?:pine|timber|lumber)\b", ""),
    (r"\b(top|bottom) first\b", r"\1"),
    (r"\b(these|those) ones\b", r"\1"),
    (r"\bup to\b", "upto"),
    (
        r"\b(?:can't|can not|cannot|must not|mustn't|should not|shouldn't|not|never) (?:go )?(?:exceed|over|past|above|beyond)\b",
        "not more than",
    ),
    (r"\bidentical to\b", "same as"),
    (r"\b(?:number|opening|measurement) (?:is|was) wrong\b", "that is wrong"),
    (r"\bwhat (?:we|i|you)(?:'ve| have)?(?: got)?(?: here)?(?: is| are|'s)\b", "it is"),
    (r"\b(?:a )?couple(?: of)?(?= (?:mil|millimetres|inches|less|more|short|shorter|longer|bigger|smaller)\b)", "two"),
    (r"\b(?:down low|low down|down below|down the bottom|down at the bottom|down bottom)\b", "bottom"),
    (r"\b(?:up high|high up|up top|up the top|up at the top)\b", "top"),
    (r"\b(this|that) one(?= (?:is|was|reads|measures|comes)\b|'s)", r"\1"),
    (r"\b(bottom|top) one(?= (?:is|was|reads|measures|comes)\b|'s)", r"\1"),
    (r"\bthe (bottom|top) one$", r"the \1"),
    (r"\bpool code\b", "pool limit"),
    (r"\baustralian\b", "australia"),
    (r"\bamerican\b", "united states"),
    (r"\birish\b", "ireland"),
    (r"\benglish\b", "england"),
    (r"\bhow come\b", "why"),
    (r"\b(?:gotta|has got to|have got to|got to|has to|have to|needs to|need to|must|ought to|should) be\b", "should be"),
)
"""Several words that are one name, and what stands for them."""
_NAMES = re.compile(r"[\w'-]+")
_ENDINGS = (
    ("can't", "can not"), ("won't", "will not"), ("shan't", "shall not"), ("n't", " not"), ("'re", " are"),
    ("'ve", " have"), ("'ll", " will"), ("'d", " would"), ("'m", " am"), ("'s", " is"),
)  # fmt: skip
"""What is run together at the end of a word."""


def one_name(text: str) -> str:
    """The text with one name for one thing."""
    for several, one in _SEVERAL:
        text = several.sub(one, text)
    return _NAMES.sub(lambda found: _whole(found[0]), text)


_SEVERAL = tuple((re.compile(pattern), one) for pattern, one in _SEVERAL_WORDS)


def _whole(word: str) -> str:
    if word in _ONE_FOR_ANOTHER:
        return _ONE_FOR_ANOTHER[word]
    ending = next(((end, full) for end, full in _ENDINGS if word.endswith(end)), None) if "'" in word else None
    return word if ending is None else word.removesuffix(ending[0]) + ending[1]


_HALTS = frozenset(("sorry", "wait", "whoa", "oi", "hold", "hang", "no"))
"""How one begins who takes something back: no confirmation goes on behind it."""


def halts(words: tuple[str, ...], fewer: tuple[str, ...]) -> bool:
    """Whether something by which one takes back was taken off the words."""
    return not _HALTS.isdisjoint(word for word in words if word not in fewer)


def plainly(words: tuple[str, ...]) -> tuple[tuple[str, ...], ...]:
    """The words with one name for one thing, and ever less of the manner of speaking around them; the fullest first."""
    said = tuple(word for word in one_name(" ".join(words)).split() if word not in _BETWEEN)
    found = [said]
    for shorter in found:  # grows while it is read
        for size in (3, 2, 1):
            if len(shorter) > size:
                if " ".join(shorter[:size]) in _BEFORE:
                    found.append(shorter[size:])
                if " ".join(shorter[-size:]) in _BEHIND:
                    found.append(shorter[:-size])
    return tuple(dict.fromkeys(found))


_SMALL = frozenset(
    (
        "a", "an", "the", "is", "are", "was", "were", "be", "been", "being", "am", "it", "they", "them", "that", "this", "these", "those",
        "there", "here", "i", "we", "you", "my", "our", "your", "she", "he", "her", "us", "me", "have", "has", "had", "got", "get",
        "getting", "will", "would", "could", "can", "want", "wants", "need", "needs", "like", "do", "did", "does", "to", "for", "of",
        "on", "in",
        "at", "with", "and", "so", "then", "please", "mate", "about", "roughly", "around", "exactly", "exact", "bang", "dead", "spot",
        "just", "only", "standard", "nominal", "simply", "um", "uh", "er", "erm", "ah", "hmm", "well", "ok", "alright", "yeah", "yep",
        "actually", "really", "basically", "probably", "said", "says", "thanks", "cheers", "let", "going", "comes", "come", "came",
        "clear", "give",
        "measures", "reads", "should", "must", "using", "use", "make", "makes", "call", "looks", "reckon", "think", "guess",
        "also", "sitting", "look", "see", "now", "today", "currently", "still", "some", "any", "much", "bit", "little", "tad",
        "measurement", "reading", "distance", "dimension",
    )
)  # fmt: skip
"""Words that tell no two things apart that can be said; never one that denies, asks, counts or points to a side."""
_BEHIND_A_NUMBER = frozenset(("wide", "long", "clear", "across", "high"))
"""Small only behind a number: “how wide” is a question."""
_ASKS = frozenset(("is", "are", "was", "were", "am", "do", "does", "did", "have", "has", "should", "shall", "must", "why", "who", "when"))
"""A sentence that begins so may only ask about what it names."""
_ORDERS = frozenset(("do", "have", "has", "must", "should"))
"""Of those the ones that may begin a sentence that is none: “do the top”, “has to stay …”."""
_WHO = (("i",), ("you",), ("we",), ("they",), ("it",), ("he",), ("she",))
_OF_A_SIDE = frozenset(("rail", "opening", "end", "measurement"))
"""Small behind “bottom” and “top”."""
APART = ","
"""What stands for small words between two numbers, so that the two do not become one."""
_POINTS = frozenset(("that", "this", "which", "each", "every"))
"""Behind these “one” counts nothing."""
_INSIDE = frozenset(("a", "an", "and", "of"))
"""Small words that belong to a number when they stand inside it."""


def kernel(words: tuple[str, ...], known: frozenset[str] | None = None) -> tuple[str, ...]:
    """The words with one name for one thing, without those that are small; none where the sentence may be a question.

    Given what words are `known`, the others are passed over too.
    """
    said = tuple(one_name(" ".join(words)).split())
    if not said or (said[0] in _ASKS and (said[0] not in _ORDERS or said[1:2] in _WHO)):
        return ()
    said = tuple(word for at, word in enumerate(said) if not (at and (word == said[at - 1] and word not in number_words())))
    counted = _counted(said)
    found: list[str] = []
    behind = False  # whether the last word kept is a number's
    dropped = False
    for at, word in enumerate(said):
        if at in counted:
            if behind and dropped:
                found.append(APART)
            found.append(word)
            behind, dropped = True, False
        elif (
            word in _SMALL
            or (word == "one" and said[at - 1] in _POINTS)
            or (known is not None and word not in known)
            or (behind and word in _BEHIND_A_NUMBER)
            or (word in _OF_A_SIDE and found[-1:] in (["bottom"], ["top"]))
        ):
            dropped = True
        else:
            found.append(word)
            behind, dropped = False, False
    return tuple(found)


def _counted(words: Sequence[str]) -> frozenset[int]:
    """Where the words of numbers stand."""
    numbers = number_words()
    found: set[int] = set()
    start = 0
    for at in range(len(words) + 1):
        if at < len(words) and words[at] in numbers:
            continue
        first, last = start, at
        if last - first == 1 and words[first] == "one" and first and words[first - 1] in _POINTS:
            first = last  # “that one”
        while (
            first < last
            and words[first] in _INSIDE
            and not (words[first] == "a" and words[first + 1 : first + 2] != ("and",) and first + 1 < last)
        ):
            first += 1
        while first < last and words[last - 1] in _INSIDE:
            last -= 1
        found.update(range(first, last))
        start = at + 1
    return frozenset(found)


def kernel_of(nodes: Sequence[Node]) -> tuple[Node, ...]:
    """A template without its small words."""
    found: list[Node] = []
    before: Node | None = None
    for node in nodes:
        match node:
            case Word(text) if text in _SMALL or (text in _BEHIND_A_NUMBER and isinstance(before, Slot)):
                pass
            case Word(text) if text in _OF_A_SIDE and before in (Word("bottom"), Word("top")):
                pass
            case Choice(options):
                fewer = tuple(dict.fromkeys(kernel_of(option) for option in options))
                found += [Choice(fewer)] if fewer != ((),) else []
            case Slot() if before is not None:
                found += [_MAYBE_APART, node]
            case _:
                found.append(node)
        before = node
    return tuple(found)


_MAYBE_APART = Choice(((Word(APART),), ()))
