"""The ways of saying a length, written a second time for the tests, from the value to the words.

Nothing here is shared with the package: given a value that a reader claims for some words, it answers whether the words
are one of the ways of saying that value.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache

from assistant.setout.lengths import Unit

ONES = ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine"]
TEENS = ["ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"]
SMALL = [*ONES, *TEENS]
TENS = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
ZEROS = ("oh", "zero", "nought", "naught")
MM = {Unit.MM: Fraction(1), Unit.CM: Fraction(10), Unit.M: Fraction(1000)}
INCH = Fraction(254, 10)
NAMES = {
    Unit.MM: ["millimetre", "millimetres", "millimeter", "millimeters", "mil", "mils", "mill", "mills"],
    Unit.CM: ["centimetre", "centimetres", "centimeter", "centimeters"],
    Unit.M: ["metre", "metres", "meter", "meters"],
    Unit.INCH: ["inch", "inches"],
    Unit.FOOT_INCH: ["foot", "feet"],
}
PARTS = {2: "half", 4: "quarter", 8: "eighth", 16: "sixteenth", 32: "thirty second", 64: "sixty fourth"}


def below_100(n: int) -> str:
    return SMALL[n - 1] if n < 20 else " ".join([TENS[n // 10 - 2], *ONES[n % 10 - 1 : n % 10]][: 1 + (n % 10 > 0)])


def after_hundred(n: int) -> set[str]:
    return {f" {below_100(n)}", f" and {below_100(n)}"} if n else {""}


def hundreds(n: int) -> set[str]:
    return {f"{ONES[n // 100 - 1]} hundred{tail}" for tail in after_hundred(n % 100)}


def pair(n: int) -> set[str]:
    if n >= 10:
        return {below_100(n)}
    return {f"{zero} {below_100(n)}" for zero in ZEROS} if n else set()


def three(n: int) -> set[str]:
    heads = ZEROS if n < 100 else (ONES[n // 100 - 1],)
    return {f"{head} {tail}" for head in heads for tail in pair(n % 100)}


def cardinal(n: int) -> set[str]:
    if not 1 <= n < 100_000:
        return set()
    if n < 100:
        return {below_100(n)}
    if n < 1000:
        articles = {f"{article}hundred{tail}" for tail in after_hundred(n % 100) for article in ("a ", "")} if n < 200 else set()
        return hundreds(n) | articles
    rest = n % 1000
    tails = {f" {tail}" for tail in hundreds(rest) | three(rest)} if rest >= 100 else after_hundred(rest)
    heads = {below_100(n // 1000), "a"} if n < 2000 else {below_100(n // 1000)}
    return {f"{head} thousand{tail}" for head in heads for tail in tails}


def trade(n: int) -> set[str]:
    ways: set[str] = set()
    if 100 <= n < 10_000:
        ways |= {f"{below_100(n // 100)} {tail}" for tail in pair(n % 100)}
        if n >= 1000:
            ways |= {f"{below_100(n // 100)} hundred{tail}" for tail in after_hundred(n % 100)}
    if n >= 1000 and (n < 20_000 or n // 1000 % 10):
        tails = three(n % 1000) | (hundreds(n % 1000) if n % 1000 >= 100 else set())
        ways |= {f"{below_100(n // 1000)} {tail}" for tail in tails}
    return ways


def digits(text: str) -> str:
    """The digits said one by one, or nothing."""
    found, times = "", 1
    for word in text.split():
        if word in ("double", "triple", "treble"):
            if times > 1:
                return ""
            times = 2 if word == "double" else 3
        elif word in ZEROS or word in ONES:
            found += times * ("0" if word in ZEROS else str(ONES.index(word) + 1))
            times = 1
        else:
            return ""
    return found if times == 1 else ""


def whole(text: str, n: Fraction) -> bool:
    if n.denominator != 1 or not 0 <= n < 100_000:
        return False
    said = digits(text)
    by_digits = 2 <= len(said) <= 5 and int(said) == n
    lone_zero = n == 0 and text in ("zero", "nought")
    return by_digits or lone_zero or text in cardinal(int(n)) | trade(int(n))


def behind_point(text: str) -> set[str]:
    pairs = {f"{n}" for n in range(10, 100) if text == below_100(n)}
    threes = {f"{n:03}" for n in range(1000) if text.split(maxsplit=1)[0] in (*ZEROS, *ONES) and text in three(n)}
    said = digits(text)
    return pairs | threes | ({said} if 1 <= len(said) <= 6 else set())


def decimal(text: str, value: Fraction) -> bool:
    if text.split().count("point") != 1 or text.endswith("point"):
        return False
    before, behind = (side.strip() for side in f" {text}".split(" point "))
    for said in behind_point(behind):
        rest = value - Fraction(int(said), 10 ** len(said))
        if (before in ("", "oh") and rest == 0) or whole(before, rest):
            return True
    return False


def counted(text: str, value: Fraction, most: int) -> bool:
    return any(
        text in {f"{below_100(int(value * under))} {name}{'s' * (value * under > 1)}"}
        or (under == 4 and text == f"{below_100(int(value * 4))} fourth{'s' * (value > Fraction(1, 4))}")
        for under, name in PARTS.items()
        if under <= most and 0 < value < 1 and (value * under).denominator == 1
    )


def part(text: str, value: Fraction, most: int) -> bool:
    if counted(text, value, most):
        return True
    return any(
        (text in {f"{'an' if under == 8 else 'a'} {name}", *([name] if under <= 4 else [])} and value == Fraction(1, under))
        or (
            under > 2
            and 0 < value < 1
            and (value * under).denominator == 1
            and text == f"{below_100(int(value * under))} {name}{'s' * (value * under == 1)}"
        )
        for under, name in PARTS.items()
        if under <= most
    )


def splits(text: str, at: str = " ") -> list[tuple[str, str]]:
    pieces = text.split(at)
    return [(at.join(pieces[:cut]), at.join(pieces[cut:])) for cut in range(1, len(pieces))]


def number(text: str, value: Fraction, most: int) -> bool:
    """Whether the words say the value, in fractions no finer than 1/most."""
    return whole(text, value) or decimal(text, value) or mixed(text, value, most)


def mixed(text: str, value: Fraction, most: int, least: int = 2) -> bool:
    """A fraction, on its own or behind a whole number; no halves where ``least`` is more than two."""
    rest = value % 1
    if most == 64 and parts_added(text, value):
        return True
    if least > 2 and "half" in text.split():
        return False
    with_and = any(whole(head, value - rest) and part(tail, rest, most) for head, tail in splits(text, " and "))
    beside = any(head in cardinal(int(value)) and counted(tail, rest, most) for head, tail in splits(text))
    some = text.removesuffix(" half")
    halved = (
        most >= 2
        and text.endswith(" half")
        and any(some == below_100(n) and value in (n + Fraction(1, 2), Fraction(n, 2)) for n in range(2, 100))
    )
    top_heavy = (
        most > 4
        and value > 1
        and any(
            text == f"{below_100(over)} {name}s" and value == Fraction(over, under)
            for under, name in PARTS.items()
            if under > 2
            for over in range(22, 100)
            if 2 <= over % 10 < under < over
        )
    )
    lost_and = any(
        text in {f"{head} {name}" for head in ending_in_one(int(value))} and value % 1 == Fraction(1, under)
        for under, name in PARTS.items()
        if 2 < under <= most
    )
    return with_and or beside or halved or part(text, value, most) or top_heavy or lost_and


def ending_in_one(n: int) -> set[str]:
    """Twenty one, a hundred and thirty one … and "two hundred one"."""
    if n % 10 == 1 and n % 100 > 20:
        return cardinal(n)
    return {f"{ONES[n // 100 - 1]} hundred one"} if n % 100 == 1 and 100 < n < 1000 else set()


@cache
def every_part() -> dict[str, Fraction]:
    """Every fraction of an inch as it is said."""
    return {
        said: Fraction(over, under)
        for under, name in PARTS.items()
        for over in range(1, under)
        for said in (f"{below_100(over)} {name}", f"{below_100(over)} {name}s", f"{'an' if under == 8 else 'a'} {name}", name)
        if part(said, Fraction(over, under), 64)
    }


def parts_added(text: str, value: Fraction) -> bool:
    """Two fractions of different denominators, behind a whole number or alone."""
    parts = every_part()
    pieces = text.split(" and ")
    for cut in range(len(pieces) - 1):
        last = [parts.get(piece) for piece in pieces[cut:]]
        if len(last) == 2 and None not in last and last[0].denominator != last[1].denominator:
            left = value - sum(last)
            if left == 0 if cut == 0 else whole(" and ".join(pieces[:cut]), left):
                return True
    return False


def article(unit: Unit) -> str:
    return "an" if unit is Unit.INCH else "a"


def singular(unit: Unit) -> list[str]:
    return [name for name in NAMES[unit] if not name.endswith("s") and name != "feet"]


def one(text: str, unit: Unit) -> bool:
    return any(text == f"{article(unit)} {name}" for name in singular(unit))


def adjectival(text: str, value: Fraction) -> bool:
    return any(
        text == f"{below_100(over)} {name}" and value == Fraction(over, under) for under, name in PARTS.items() for over in range(2, under)
    )


def amount(text: str, value: Fraction, unit: Unit, most: int) -> bool:
    """A length of one unit, the unit said."""
    head, _, last = text.rpartition(" ")
    if last in NAMES[unit] and number(head, value, most):
        return True
    if last in singular(unit):
        of_one = f" of {article(unit)}"
        if head == f"half {article(unit)}" and value == Fraction(1, 2):
            return True
        if head.endswith(of_one) and part(head.removesuffix(of_one), value, most):
            return True
        if unit is Unit.INCH and head.endswith(of_one) and parts_added(head.removesuffix(of_one), value):
            return True
        if unit is Unit.INCH and adjectival(head, value):
            return True
    if one(text, unit):
        return value == 1
    rest = value % 1
    return any(
        ((one(before, unit) or before in singular(unit)) and value - rest == 1)
        or (before.rpartition(" ")[2] in NAMES[unit] and whole(before.rpartition(" ")[0], value - rest))
        for before, behind in splits(text, " and ")
        if part(behind, rest, most)
    )


def feet_and_inches(text: str, inches: Fraction) -> bool:
    if text.rpartition(" ")[2] in ("nothing", "even"):
        feet = text.rpartition(" ")[0]
        head, _, name = feet.rpartition(" ")
        alone = inches == 12 and (one(feet, Unit.FOOT_INCH) or feet == "foot")
        return alone or (name in NAMES[Unit.FOOT_INCH] and whole(head, inches / 12))
    for before, behind in splits(text):
        tail = behind.removeprefix("and ")
        small = inches % 12
        feet = (inches - small) / 12
        head, _, name = before.rpartition(" ")
        several = name in NAMES[Unit.FOOT_INCH] and whole(head, feet)
        if not (several or ((one(before, Unit.FOOT_INCH) or before == "foot") and feet == 1)):
            continue
        bare_part = any(tail in (f"{'an' if under == 8 else 'a'} {PARTS[under]}", PARTS[under] * (under < 8)) for under in PARTS)
        if tail != behind and small < 1 and bare_part and part(tail, small, 64) and (several or small != Fraction(1, 2)):
            return True
        if any(tail.removesuffix(" inches") == f"one {name}" and small == 1 + Fraction(1, under) for under, name in PARTS.items()):
            return tail == behind
        said = tail.removesuffix(" inches").removesuffix(" inch")
        if small_inches(said, small) or counted(said, small, 64) or (tail.endswith(" inch") and part(said, small, 64)):
            return True
        if tail == "half an inch" and small == Fraction(1, 2):
            return True
        if tail.endswith(" of an inch") and part(tail.removesuffix(" of an inch"), small, 64):
            return True
        if any(
            piece.rpartition(" ")[2] in NAMES[Unit.INCH]
            and small_inches(piece.rpartition(" ")[0], Fraction(int(small)))
            and part(rest, small % 1, 64)
            for piece, rest in splits(tail, " and ")
        ):
            return True
    return False


def small_inches(text: str, value: Fraction) -> bool:
    """One to eleven inches and a fraction, the unit not said."""
    names = {below_100(n): n for n in range(1, 12)}
    if value.denominator == 1:
        return names.get(text) == value
    rest = value % 1
    with_and = any(names.get(head) == value - rest and part(tail, rest, 64) for head, tail in splits(text, " and "))
    return with_and or any(names.get(head) == value - rest and counted(tail, rest, 64) for head, tail in splits(text))


def metres_and(text: str, metres: Fraction) -> bool:
    rest = metres % 1
    for before, behind in splits(text):
        head, _, name = before.rpartition(" ")
        single = one(before, Unit.M) or before in singular(Unit.M)
        if not ((name in NAMES[Unit.M] and whole(head, metres - rest)) or (single and metres - rest == 1)):
            continue
        tail = behind.removeprefix("and ")
        said, _, unit = tail.rpartition(" ")
        for digits_said in behind_metres(tail):
            if rest in (Fraction(int(digits_said), 10 ** len(digits_said)), Fraction(int(digits_said), 1000)):
                return True
        if unit in NAMES[Unit.MM] and any(rest == Fraction(int(found), 1000) for found in behind_metres(said)):
            return True
        if unit in NAMES[Unit.CM] and any(said == below_100(n) and rest == Fraction(n, 100) for n in range(1, 100)):
            return True
    return False


def behind_metres(text: str) -> set[str]:
    found = {str(n) for n in range(1, 100) if text == below_100(n)}
    found |= {f"{n:02}" for n in range(1, 10) if text in pair(n)}
    found |= {f"{n:03}" for n in range(1, 1000) if text in three(n)}
    found |= {str(n) for n in range(100, 1000) if text in hundreds(n) | (cardinal(n) if n < 200 else set())}
    said = digits(text)
    return found | ({said} if 2 <= len(said) <= 3 else set())


def two_numbers(text: str, inches: Fraction) -> bool:
    """Feet and inches without a unit, or the carpenter's code."""
    for head, tail in splits(text):
        for n in range(1, 100):
            if head != below_100(n):
                continue
            small = inches - 12 * n
            round_ten = n >= 20 and n % 10 == 0
            if 0 < small < 12 and small_inches(tail, small) and (small >= 10 or not round_ten):
                return True
            code = (inches - n) * 16
            half = tail.removesuffix(" and a half")
            over = code - Fraction(1, 2) if half != tail else code
            if over.denominator == 1 and 10 <= over <= 15 and half == below_100(int(over)):
                return True
    return False


def derived(text: str, mm: Fraction, unit: Unit) -> bool:
    """Whether the words are a way of saying that length in a job of that unit."""
    metric = unit is Unit.MM
    if metric and (whole(text, mm) or (mixed(text, mm, 2)) or decimal(text, mm / 1000)):
        return True
    if mm == 100 and text.removeprefix("hundred ") in NAMES[Unit.MM]:
        return True
    if any(amount(text, mm / MM[u], u, 4 if u is Unit.M else 2) for u in MM) or metres_and(text, mm / 1000):
        return True
    inches = mm / INCH
    if mixed(text, inches, 64, least=4 if metric else 2) or (not metric and number(text, inches, 64)):
        return True
    if amount(text, inches, Unit.INCH, 64) or amount(text, inches / 12, Unit.FOOT_INCH, 4):
        return True
    if feet_and_inches(text, inches) or two_numbers(text, inches) or strong_or_shy(text, inches, metric):
        return True
    apart = re.sub(r"\b(sixteen|eight)ths?(?= and)", r"\1", text)
    return apart != text and (not metric or text.endswith(("inch", "inches"))) and derived(apart, mm, unit)


def strong_or_shy(text: str, inches: Fraction, metric: bool) -> bool:
    """A sixty-fourth more or less, behind inches that are not digits one by one and no decimal."""
    said, _, last = text.rpartition(" ")
    if last not in ("strong", "shy") or "point" in said.split():
        return False
    inches += Fraction(1, 64) if last == "shy" else Fraction(-1, 64)
    head, _, name = said.rpartition(" ")
    if digits(said) or ((name in NAMES[Unit.INCH] and digits(head)) and head not in ONES):
        return said in ONES and not metric and whole(said, inches)
    if mixed(said, inches, 64, least=4 if metric else 2) or (not metric and whole(said, inches)):
        return True
    return amount(said, inches, Unit.INCH, 64) or feet_and_inches(said, inches) or two_numbers(said, inches)
