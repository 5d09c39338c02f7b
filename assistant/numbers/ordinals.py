"""Places in a row as they are said: the grammar."""

from __future__ import annotations

from assistant.numbers.combinators import Alt, Form, Map, Opt, Seq, Table, word
from assistant.numbers.integers import UNIT
from assistant.numbers.tables import BELOW_100, ordinal_word

_BELOW_100: Form[str] = Table((ordinal_word(said), f"{n:02}") for n, said in BELOW_100.items())
_HUNDRED: Form[str] = Alt(Seq(lambda digit, _: digit, UNIT, word("hundred")), Map(lambda _: "1", word("a hundred")))
ORDINAL: Form[str] = Alt(
    _BELOW_100,
    Seq(lambda hundred, _, rest: hundred + rest, _HUNDRED, Opt(word("and"), None), _BELOW_100),
    Seq(lambda digit, _: digit + "00", UNIT, word("hundredth")),
    Map(lambda _: "100", word("hundredth")),
)
"""First to nine hundred and ninety ninth; the value is the text of the number."""
