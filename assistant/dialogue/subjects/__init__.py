"""The subjects beside the bays, each one file here over one file of `setout`.

Crosses the border: `SUBJECTS`, one value for each file that has one; a subject is added by adding its file.
"""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules

from assistant.dialogue.subject import Subject


def _collected() -> tuple[Subject, ...]:
    """The `SUBJECT` of every module of this package that has one, by the name of its file."""
    modules = [import_module(f"{__name__}.{module.name}") for module in iter_modules(__path__)]
    return tuple(module.SUBJECT for module in modules if hasattr(module, "SUBJECT"))


SUBJECTS: tuple[Subject, ...] = _collected()
"""Every subject."""
