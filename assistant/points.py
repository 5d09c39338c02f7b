"""Points of a conversation in a file, so that recordings can be scored by what they mean there.

A JSON object: for each kind of recording ``{"stage": "ASK", "wants": "LENGTH", "unit": "MM", "likely": ["300", "6000"]}``; `likely` (mm, or
how many) may be left out.
"""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path

from assistant.errors import AssistantError
from assistant.language.expecting import LIKELY, Expected
from assistant.language.understanding import Wants
from assistant.language.vocabulary import Stage
from assistant.setout.lengths import Unit


def write_points(path: Path, points: dict[str, Expected]) -> None:
    """Writes the file."""
    listed = {
        kind: {"stage": one.stage.name, "wants": one.wants.name, "unit": one.unit.name, "likely": [str(bound) for bound in one.likely]}
        for kind, one in points.items()
    }
    path.write_text(json.dumps(listed, indent=1) + "\n", encoding="utf-8")


def read_points(path: Path) -> dict[str, Expected]:
    """What can be said at each point.  Raises AssistantError when the file cannot be used."""
    try:
        listed = json.loads(path.read_text(encoding="utf-8"))
        return {kind: _point(**found) for kind, found in listed.items()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
        raise AssistantError(f"cannot use the points of {path} ({error}): write them as assistant/points.py says") from error


def _point(stage: str, wants: str, unit: str, likely: tuple[str, str] | None = None) -> Expected:
    low, high = LIKELY if likely is None else (Fraction(likely[0]), Fraction(likely[1]))
    return Expected(Stage[stage], Wants[wants], Unit[unit], (low, high))
