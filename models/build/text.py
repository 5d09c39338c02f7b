"""Random training / test sentences: the fence-setting-out domain and general English."""

from __future__ import annotations

import glob
import gzip
import os
import pydoc
import random
import re
from collections.abc import Collection, Sequence
from fractions import Fraction
from pathlib import Path

from assistant.language.patterns import expand, parse_template
from assistant.language.vocabulary import PHRASES
from assistant.numbers import say_count, say_length
from assistant.numbers.styles import NumberStyle
from assistant.setout.lengths import Unit, inches

UNITS = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
]
TENS = ["", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
DENOM = ["half", "quarter", "quarters", "third", "thirds", "eighth", "eighths", "sixteenth", "sixteenths"]
LENGTH = [
    "millimetres",
    "millimetre",
    "mil",
    "metres",
    "metre",
    "centimetres",
    "centimetre",
    "feet",
    "foot",
    "inches",
    "inch",
]
COMMANDS = """next|repeat|back|yes|no|stop|start|undo|again|pause|resume|help|confirm|cancel|done
|left|right|top|bottom|go back|say again|next bay|next picket|next post|next mark|previous|skip
|okay|correct|wrong|ready|start over|mark done|mark it|set out|new bay|new fence|save|delete|repeat that
|from the left|from the right|top rail|bottom rail|how many|how far|what is next|where am i|last one
|first post|last post|louder|quieter|faster|slower|end post|gate|gate post|centre|middle|face to face
|on centre|go on|wait|never mind|read it back|that is right|that is wrong|change it|clear|all done
|finish|continue|quit|menu|settings|measure|plus|minus|equal gaps|width|length|height|thickness
|inside|outside|keep going|hold on|carry on|undo that|cancel that|not yet""".replace("\n", "").split("|")
NOUN = ["bay", "picket", "gap", "post", "rail", "mark", "panel", "baluster"]


def cardinal(n: int, rnd: random.Random, and_p: float = 0.6) -> list[str]:
    """Words of 0 <= n < 100000."""
    if n < 20:
        return [UNITS[n]]
    if n < 100:
        return [TENS[n // 10]] + ([UNITS[n % 10]] if n % 10 else [])
    if n < 1000:
        w = [UNITS[n // 100] if rnd.random() > 0.1 or n // 100 != 1 else "a", "hundred"]
        r = n % 100
        if r:
            w += (["and"] if rnd.random() < and_p else []) + cardinal(r, rnd, and_p)
        return w
    if 1100 <= n < 2000 and n % 1000 >= 100 and rnd.random() < 0.15:
        w = [UNITS[n // 100], "hundred"]
        r = n % 100
    else:
        w = [*cardinal(n // 1000, rnd, and_p), "thousand"]
        r = n % 1000
    if r:
        if r < 100 and rnd.random() < and_p:
            w.append("and")
        w += cardinal(r, rnd, and_p)
    return w


def digits(n: int, rnd: random.Random) -> list[str]:
    return [rnd.choice(["oh", "zero"]) if d == 0 else UNITS[d] for d in (rnd.randrange(10) for _ in range(n))]


def fraction(rnd: random.Random) -> list[str]:
    k = rnd.random()
    if k < 0.25:
        return ["a", "half"] if rnd.random() < 0.8 else ["one", "half"]
    if k < 0.5:
        return rnd.choice([["a", "quarter"], ["one", "quarter"], ["three", "quarters"]])
    if k < 0.75:
        n = rnd.choice([1, 3, 5, 7])
        return [UNITS[n], "eighth" if n == 1 else "eighths"]
    n = rnd.choice([1, 3, 5, 7, 9, 11, 13, 15])
    return [UNITS[n], "sixteenth" if n == 1 else "sixteenths"]


def any_int(rnd: random.Random) -> int:
    r = rnd.random()
    if r < 0.3:
        return rnd.randrange(0, 21)
    if r < 0.55:
        return rnd.randrange(20, 100)
    if r < 0.8:
        return rnd.randrange(100, 1000)
    return rnd.randrange(1000, 10000)


def number(rnd: random.Random) -> list[str]:
    r = rnd.random()
    if r < 0.2:
        return digits(rnd.randint(1, 6), rnd)
    w = cardinal(any_int(rnd), rnd)
    if r < 0.4:
        w += ["point", *digits(rnd.randint(1, 2), rnd)]
    elif r < 0.55:
        w += ["and", *fraction(rnd)]
    elif r < 0.6:
        w = fraction(rnd)
    return w


def domain(rnd: random.Random) -> list[str]:
    r = rnd.random()
    if r < 0.3:
        return rnd.choice(COMMANDS).split()
    if r < 0.4:
        return [rnd.choice(NOUN), *cardinal(rnd.randrange(1, 100), rnd)]
    if r < 0.6:
        return number(rnd)
    if r < 0.7:
        w = [*cardinal(rnd.randrange(1, 100), rnd), rnd.choice(["feet", "foot"])]
        if rnd.random() < 0.8:
            w += cardinal(rnd.randrange(0, 12), rnd)
            if rnd.random() < 0.5:
                w += ["and", *fraction(rnd)]
            w.append(rnd.choice(["inches", "inch"]))
        return w
    if r < 0.95:
        return [*number(rnd), rnd.choice(LENGTH)]
    return rnd.choice(COMMANDS).split() + rnd.choice(COMMANDS).split()


UNIT_NAMES = ["millimetres", "millimetres", "mil", "mil", "metres", "centimetres", "inches", "inch", "feet"]
SITE = """bay {n}|opening {n}|bay {n} is {l}|opening {n} is {l}|the bay is {l}|the opening is {l}|left post|right post|top rail is {l}
|bottom rail is {l}|middle rail|top left|top right|bottom left|bottom right|post to post {l}|picket width {l}|the pickets are {l} wide
|gap {l}|largest gap {l}|smallest gap {l}|gap limit {l}|strict limit|latch clearance {l}|hinge clearance {l}|gate leaf {l}|gate|latch side
|hinge side|left edge|right edge|centre|center|near edge|far edge|near end|far end|start|stop|next|repeat|back|undo|help|more|yes|no|correct
|wrong|confirm|confirmed|nailing|nail it|ready|understood|acknowledge|mark {n}|go to mark {n}|go back to mark {n}|how many|how many left
|how many marks|what is left|slope|rise {l}|run {l}|raked|stepped|story pole|stock length {l}|waste|timber|fixings|rails|rail spacing {l}
|spacer {l}|measure|measured {l}|i measured {l}|respace|re space|respace from mark {n}|off by {l}|off by half|half|quarter|eighth|sixteenth
|thirty second|sixty fourth|strong|shy|{l} strong|{l} shy|millimetres|metres|centimetres|inches|feet|units|resolution|faster|slower|louder
|quieter|hold|hold on|carry on|go to sleep|wake up|listening|terse|full|digit by digit|say again|that is right|that is wrong|cancel
|pause|continue|resume|next bay|next opening|last bay|mark {n} {l}|mark {n} is at {l}|{l} from the left|{l} from the right|picket {n}
|post {n}|post at {l}|{n} pickets|{n} marks|{n} to go|set out|read it back|spacing {l}|equal gaps|half gap|full gap|end gap|end post
|corner post|gate post|new job|finish|done|all done|change it|change the gap|change the width|what was that|where am i|{n} left
|{l} by {l}|double {d} {d}|triple {d}|{d} double {d} {d}|{d} point {d} {d}|point {d}|oh point {d}|zero point {d}|plus {d}|minus {d}
|level|degrees|{n} degrees|{d} {d} {d} {d}|{d} {d} {d}|{d} {d}|{d} oh {d}|{n} hundred and {n}""".replace("\n", "").split("|")


def sixty_fourths(rnd: random.Random) -> list[str]:
    """A fraction of an inch down to sixty-fourths."""
    den = rnd.choice([2, 4, 4, 8, 8, 16, 16, 32, 32, 64, 64])
    num = rnd.randrange(1, den, 2)
    name = {
        2: ["half"],
        4: ["quarter"],
        8: ["eighth"],
        16: ["sixteenth"],
        32: ["thirty", "second"],
        64: ["sixty", "fourth"],
    }[den]
    if num > 1:
        return cardinal(num, rnd) + name[:-1] + [name[-1] + "s"]
    return [rnd.choice(["a", "one"]) if den < 32 else "one", *name]


def length(rnd: random.Random) -> list[str]:
    """A spoken length, with or without its unit."""
    k = rnd.random()
    if k < 0.15:
        return digits(rnd.randint(2, 5), rnd) + ([rnd.choice(["mil", "millimetres"])] if rnd.random() < 0.4 else [])
    if k < 0.3:
        return (
            cardinal(rnd.randrange(1, 145), rnd)
            + ["and"]
            + sixty_fourths(rnd)
            + ([rnd.choice(["inch", "inches"])] if rnd.random() < 0.6 else [])
        )
    if k < 0.4:
        return [
            *cardinal(rnd.randrange(1, 60), rnd),
            rnd.choice(["feet", "foot"]),
            *cardinal(rnd.randrange(1, 12), rnd),
            *rnd.choice([[], ["inches"]]),
        ]
    if k < 0.5:
        return [
            *cardinal(rnd.randrange(0, 30), rnd),
            "point",
            *digits(rnd.randint(1, 3), rnd),
            rnd.choice(["metres", "inches", "millimetres", "mil"]),
        ]
    if k < 0.6:
        return cardinal(rnd.randrange(10, 100), rnd) + cardinal(rnd.randrange(10, 100), rnd)
    if k < 0.66:
        return [*cardinal(rnd.randrange(0, 3000), rnd), "point", *digits(1, rnd)]
    return cardinal(any_int(rnd), rnd) + ([rnd.choice(UNIT_NAMES)] if rnd.random() < 0.6 else [])


def site(rnd: random.Random) -> list[str]:
    """A phrase of the dialogue: commands, marks and lengths as they are said on site."""
    out = []
    for w in rnd.choice(SITE).split():
        if w == "{l}":
            out += length(rnd)
        elif w == "{n}":
            out += cardinal(rnd.randrange(1, 100), rnd)
        elif w == "{d}":
            out += digits(1, rnd)
        else:
            out.append(w)
    return out


def prose(known: Collection[str], patterns: Sequence[str], limit: int = 6000, seed: int = 1) -> list[str]:
    """Sentences of known words from text files (glob patterns, e.g. licence texts and documentation) and Python docstrings."""
    rnd = random.Random(seed)
    blobs = []
    for pat in patterns:
        for p in glob.glob(pat):
            try:
                with gzip.open(p, "rt", errors="ignore") if p.endswith(".gz") else open(p, errors="ignore") as f:
                    blobs.append(f.read(300000))
            except OSError:
                pass
    for p in glob.glob(os.path.dirname(pydoc.__file__) + "/*.py") + glob.glob(os.path.dirname(pydoc.__file__) + "/*/*.py"):
        blobs += re.findall(r'"""(.*?)"""', Path(p).read_text(errors="ignore"), re.S)
    found = set()
    for b in blobs:
        for s in re.split(r"[.;:!?\n]\s*\n|[.;:!?]\s", b):
            w = re.findall(r"[a-z']+", s.lower())
            if 3 <= len(w) <= 14 and re.fullmatch(r"[A-Za-z',\s-]+", s.strip() or "1") and all(x in known for x in w):
                found.add(" ".join(w))
    out = sorted(found)
    rnd.shuffle(out)
    return out[:limit]


def opening(rnd: random.Random) -> list[str]:
    """A length as it is said to the assistant: millimetres in one of four habits, or inches in sixteenths, feet now and then."""
    unit = rnd.random() < 0.3
    if rnd.random() < 0.6:
        n = rnd.randrange(5, 400) if rnd.random() < 0.15 else rnd.randrange(400, 4000)
        w = rnd.choice([say_length(Fraction(n), Unit.MM, s, with_unit=unit) for s in NumberStyle]).split()
        return [x for x in w if x != "and"] if rnd.random() < 0.25 else w
    kind = Unit.FOOT_INCH if rnd.random() < 0.2 else Unit.INCH
    part = rnd.choice([0, 2, 4, 8, *range(16)])
    said = say_length(inches(rnd.randrange(1, 145) + Fraction(part, 16)), kind, NumberStyle.WHOLE, with_unit=unit or kind is Unit.FOOT_INCH)
    return said.split()


def in_slot(word: str, rnd: random.Random) -> list[str]:
    """Words for a slot of a wording; a word that is none stays."""
    if word in ("<length>", "<second>"):
        return opening(rnd)
    return say_count(rnd.randrange(1, 61)).split() if word == "<count>" else [word]


WORDINGS = sorted({w for p in PHRASES for t in p.templates for w in expand(parse_template(t))} - {("<length>",)})


def dialogue(rnd: random.Random) -> list[str]:
    """What the assistant listens for: a length, or any wording of its vocabulary."""
    if rnd.random() < 0.45:
        return opening(rnd)
    return [x for w in rnd.choice(WORDINGS) for x in in_slot(w, rnd)]


TEENS = [*range(13, 20), 30, 40, 50, 60, 70, 80, 90]
"""What is taken for one another: thirteen for thirty."""


def near(rnd: random.Random) -> list[str]:
    """A length that is easily taken for another: teens and tens at its end, or a hundred that may be eight hundred."""
    last = rnd.choice(TEENS)
    k = rnd.random()
    if k < 0.1:
        n = last
    elif k < 0.3:
        n = 100 * rnd.choice([1, 8, rnd.randrange(1, 10)]) + rnd.choice([0, last, rnd.randrange(100)])
    elif k < 0.8:
        n = 100 * rnd.choice([rnd.choice(TEENS), rnd.randrange(10, 40)]) + last
    else:
        n = 100 * rnd.choice(TEENS) + rnd.randrange(100)
    w = say_length(Fraction(n), Unit.MM, rnd.choice(list(NumberStyle)), with_unit=rnd.random() < 0.2).split()
    if w[:2] == ["one", "hundred"] and rnd.random() < 0.5:
        w[0] = "a"
    w = [rnd.choice(["oh", "nought", "zero"]) if x in ("oh", "nought", "zero") else x for x in w]
    return [x for x in w if x != "and"] if rnd.random() < 0.3 else w


def string(rnd: random.Random) -> list[str]:
    """Digits one by one: single, four or ten of them most often."""
    nought = rnd.choice(["oh", "zero", "nought"])
    drawn = [UNITS[rnd.randrange(10)] for _ in range(rnd.choice([1, 1, 2, 3, 4, 4, 4, 5, 6, 8, 10, 10]))]
    w = [nought if x == "zero" else x for x in drawn]
    if rnd.random() < 0.15:
        w[-1:] = [rnd.choice(["double", "triple"]), w[-1]]
    return w


def for_the_ear(ordinary: Sequence[str], rnd: random.Random) -> list[str]:
    """What speech made for the second ear says: what it is asked, every wording alike, easy mistakes, and words of no meaning here."""
    k = rnd.random()
    if k < 0.3:
        return dialogue(rnd)
    if k < 0.5:
        return [x for w in rnd.choice(WORDINGS) for x in in_slot(w, rnd)]
    if k < 0.7:
        return near(rnd)
    if k < 0.78:
        return opening(rnd)
    if k < 0.88:
        return string(rnd)
    return [rnd.choice(ordinary) for _ in range(rnd.choice([1, 1, 1, 2, 3, 4, 6]))]
