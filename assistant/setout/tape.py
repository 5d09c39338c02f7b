"""How far a tape may be wrong: the largest error its accuracy class allows.

Crosses the border: a class and a length in, a length out. The class is printed on the tape in an oval.
Source: UK SI 2016/1153, Schedule 1I (= 2014/32/EU, Annex X, MI-008).
"""

from __future__ import annotations

from enum import Enum
from fractions import Fraction

from assistant.setout.lengths import Length
from assistant.setout.trouble import require_not_negative


class TapeClass(Enum):
    """Accuracy class: (a, b, c), all in mm, for a + b * metres, and c more from the hook or the end."""

    I = (Fraction(1, 10), Fraction(1, 10), Fraction(1, 10))  # noqa: E741 - the class is called I
    II = (Fraction(3, 10), Fraction(2, 10), Fraction(2, 10))
    III = (Fraction(6, 10), Fraction(4, 10), Fraction(3, 10))


def tape_error(tape: TapeClass, length: Length, from_hook: bool = False) -> Length:
    """The largest error either way, in mm; the length is rounded up to the next whole metre, as the rule says."""
    require_not_negative("length", length)
    fixed, per_metre, hook = tape.value
    metres = -(-length // 1000)
    return fixed + per_metre * metres + (hook if from_hook else 0)
