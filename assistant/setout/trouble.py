"""What is wrong with an impossible input, in a plain sentence that names the nearest possible.

Crosses the border: an `ImpossibleError` carries the kind of problem, the lengths and numbers involved, and the nearest
possible values, so that a speaker can say the sentence in the user's own unit.
"""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum, auto

from assistant.errors import SetoutError
from assistant.setout.lengths import Length, Unit, write


class Problem(Enum):
    """The kinds of impossible input."""

    NOT_POSITIVE = auto()
    NEGATIVE = auto()
    PICKET_TOO_WIDE = auto()
    NO_COUNT_MEETS_LIMIT = auto()
    END_GAP_OVER_LIMIT = auto()
    TOO_MANY_PICKETS = auto()
    TOO_FEW_PICKETS = auto()
    NOTHING_GIVEN = auto()
    OUT_OF_RANGE = auto()
    TOO_SHORT = auto()
    TOO_LONG = auto()


class ImpossibleError(SetoutError):
    """A set-out that cannot exist.

    `sentence` holds {names} of `lengths` (millimetres) and `numbers`; str() writes the lengths in millimetres.
    """

    def __init__(self, problem: Problem, sentence: str, *, lengths: dict[str, Length], numbers: dict[str, int] | None = None) -> None:
        self.problem = problem
        self.sentence = sentence
        self.lengths = lengths
        self.numbers = numbers or {}
        super().__init__(self.said(lambda length: write(length, Unit.MM)))

    def said(self, writer: Callable[[Length], str]) -> str:
        """The sentence, with each length put into words by `writer`."""
        words: dict[str, object] = {name: writer(length) for name, length in self.lengths.items()}
        return self.sentence.format(**words, **self.numbers)


def require_positive(name: str, value: Length) -> None:
    """Raise ImpossibleError unless the length is more than zero."""
    if value <= 0:
        raise ImpossibleError(
            Problem.NOT_POSITIVE,
            f"The {name} cannot be {{value}}. It must be more than zero.",
            lengths={"value": value},
        )


def require_not_negative(name: str, value: Length) -> None:
    """Raise ImpossibleError for a length below zero."""
    if value < 0:
        raise ImpossibleError(
            Problem.NEGATIVE,
            f"The {name} cannot be {{value}}. The least it can be is zero.",
            lengths={"value": value},
        )
