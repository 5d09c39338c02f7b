"""Decimals and fractions as they are said: the grammar.  Values are exact fractions."""

from __future__ import annotations

from collections.abc import Collection
from fractions import Fraction

from assistant.numbers.combinators import Alt, Form, Map, Only, Opt, Seq, Shared, Table, Unlisted, word
from assistant.numbers.integers import BEHIND_POINT, CARDINAL, INTEGER, UNIT
from assistant.numbers.tables import BELOW_100, DENOMINATORS

HALVES = (2,)
QUARTERS = (2, 4)
FINE = tuple(DENOMINATORS)
FINER_THAN_HALF = FINE[1:]
"""Denominators: what is said of millimetres, of metres and feet, of inches, and of inches alone."""

WHOLE: Form[Fraction] = Map(Fraction, INTEGER)


def _point(whole: str, _: None, behind: str) -> Fraction:
    return Fraction(f"{whole}.{behind}")


DECIMAL: Form[Fraction] = Shared(Seq(_point, Opt(Alt(INTEGER, Table((("oh", "0"),))), "0"), word("point"), BEHIND_POINT))


PLAIN: Form[Fraction] = Alt(WHOLE, DECIMAL)


def _names(denominator: int) -> tuple[str, str]:
    return DENOMINATORS[denominator]


def _article(name: str) -> str:
    return "an" if name[0] == "e" else "a"


def counted(denominators: Collection[int]) -> Form[Fraction]:
    """ "one eighth", "three quarters": less than one, the plural from two on."""
    listed = [(f"{BELOW_100[over]} {_names(under)[over > 1]}", Fraction(over, under)) for under in denominators for over in range(1, under)]
    spelled = [(f"{BELOW_100[n]} fourth{'s' * (n > 1)}", Fraction(n, 4)) for n in (1, 2, 3) if 4 in denominators]
    return Alt(Table(listed), Unlisted(Table(spelled)))


def slurred(denominators: Collection[int]) -> Form[Fraction]:
    """ "three eighth", "one sixteenths": the s at the end is the first sound that a noisy site takes away or adds."""
    parts = [(over, under) for under in denominators if under > 2 for over in range(1, under)]
    return Unlisted(Table((f"{BELOW_100[over]} {_names(under)[over == 1]}", Fraction(over, under)) for over, under in parts))


def adjectival(denominators: Collection[int]) -> Form[Fraction]:
    """ "three quarter", "five eighth": only good before "inch"."""
    return Table((f"{BELOW_100[over]} {_names(under)[0]}", Fraction(over, under)) for under in denominators for over in range(2, under))


def one_part(denominators: Collection[int]) -> Form[Fraction]:
    """ "a half", "an eighth", and bare "half" and "quarter"."""
    named = [(f"{_article(_names(under)[0])} {_names(under)[0]}", Fraction(1, under)) for under in denominators]
    bare = [(_names(under)[0], Fraction(1, under)) for under in denominators if under <= 4]
    return Table(named + bare)


def fraction(denominators: Collection[int]) -> Form[Fraction]:
    """Any fraction less than one."""
    return Alt(counted(denominators), one_part(denominators), slurred(denominators))


MORE_THAN_ONE: Form[str] = Table((said, str(n)) for n, said in BELOW_100.items() if n > 1)


def _plus(whole: str, part: Fraction) -> Fraction:
    return int(whole) + part


def with_part(whole: Form[str], counted_whole: Form[str], denominators: Collection[int]) -> Form[Fraction]:
    """ "Four and three eighths", "four three eighths"; without "and" only a counted whole number."""
    return Alt(
        Seq(lambda whole, _, part: _plus(whole, part), whole, word("and"), fraction(denominators)),
        Seq(_plus, counted_whole, counted(denominators)),
    )


_HALF_BEHIND: Form[Fraction] = Alt(
    Seq(lambda whole, _: int(whole) + Fraction(1, 2), MORE_THAN_ONE, word("half")),
    Unlisted(Seq(lambda whole, _: Fraction(int(whole), 2), MORE_THAN_ONE, word("half"))),
)
""" "Three half" may be three and a half or three halves: both are read."""


def mixed(denominators: Collection[int]) -> Form[Fraction]:
    """A whole number and a fraction."""
    fine = [under for under in denominators if under > 2]
    plain = Alt(with_part(INTEGER, CARDINAL, denominators), _one_too_many(fine))
    return Alt(plain, _HALF_BEHIND) if 2 in denominators else plain


def single(denominators: Collection[int]) -> Form[Fraction]:
    """ "Quarter", "eighth": the bare name of one part."""
    return Table((_names(under)[0], Fraction(1, under)) for under in denominators)


_ENDS_IN_ONE: Form[str] = Alt(
    Only(lambda digits: digits[-1] == "1" and digits[-2:-1] not in ("", "0", "1"), CARDINAL),
    Seq(lambda hundreds, *_: hundreds + "01", UNIT, word("hundred one")),
)


def _one_too_many(denominators: Collection[int]) -> Form[Fraction]:
    """ "Twenty one quarter" as 21 and 1/4, beside 20 and 1/4: an "and a" is soon lost."""
    return Seq(_plus, _ENDS_IN_ONE, single(denominators))


def _split(over: int, under: int) -> bool:
    """Whether "twenty three eighths" may be 20 and 3/8: a round ten, then a proper fraction of several parts."""
    return over > 20 and 2 <= over % 10 < under < over


TOP_HEAVY: Form[Fraction] = Unlisted(
    Table(
        (f"{said} {_names(under)[1]}", Fraction(over, under))
        for under in FINER_THAN_HALF
        for over, said in BELOW_100.items()
        if _split(over, under)
    )
)
"""Fractions over one, read only where they make "twenty three eighths" doubtful."""

FRACTION = fraction(FINE)


def _sum(parts: tuple[Fraction, Fraction]) -> Fraction:
    return parts[0] + parts[1]


_TWO_PARTS: Form[Fraction] = Map(
    _sum,
    Only(
        lambda parts: parts[0].denominator != parts[1].denominator,
        Seq(lambda one, _, other: (one, other), FRACTION, word("and"), FRACTION),
    ),
)
PARTS_ADDED: Form[Fraction] = Alt(_TWO_PARTS, Seq(lambda whole, _, parts: int(whole) + parts, INTEGER, word("and"), _TWO_PARTS))
""" "Five eighths and a sixteenth": a line of the tape and the next finer one."""

PARTS: Form[Fraction] = Alt(mixed(FINE), FRACTION, TOP_HEAVY, PARTS_ADDED)
"""Every number with a fraction."""

ANY: Form[Fraction] = Alt(PLAIN, PARTS)
"""Every number."""
