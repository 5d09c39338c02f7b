"""A subject beside the bays: its forms, what it does with a finished one, and what else can be said of it.

Crosses the border: a `Subject` is a value; the table of the conversation is put together from all of them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from assistant.dialogue.forms import Form
from assistant.dialogue.turn import Turn
from assistant.language.understanding import Intent
from assistant.language.vocabulary import Act

Answers: TypeAlias = Mapping[str, Fraction]
Handler: TypeAlias = Callable[[Turn, Intent], None]
Finisher: TypeAlias = Callable[[Turn, Answers], None]


@dataclass(frozen=True, slots=True)
class Subject:
    """One subject.  What is asked next is said by the conversation itself, behind whatever these say."""

    handlers: Mapping[Act, Handler]
    """What each of its phrases does."""
    forms: Mapping[Form, Finisher]
    """Its forms, and what each does when it is full; the form is still open then, so that what cannot be set out leaves it so."""
