"""How a fact written by an older version is brought up to date, one version at a time.

Crosses the border: plain JSON objects, each the fact of one version, up to `SCHEMA_VERSION`.

When the written form of a fact changes: raise `SCHEMA_VERSION`, add to `MIGRATIONS` the function that turns a fact of
the version before into one of the new version, and freeze an example of the old one in the tests.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final, TypeAlias

from assistant.errors import RecordError

SCHEMA_VERSION: Final = 2

Migration: TypeAlias = Callable[[dict[str, Any]], dict[str, Any]]
"""From the fact of one version to the fact of the next."""


def _to_version_2(fact: dict[str, Any]) -> dict[str, Any]:
    """Version 1 kept no set-out: a bay was worked out anew at every reading, and places in lists named bays and rails."""
    fact = dict(fact)
    match fact["kind"]:
        case "settings_changed":
            settings = dict(fact["settings"])
            settings["likeness"] = "MOST_ALIKE" if settings.pop("matched") else "FEWEST"
            return {**fact, "settings": settings}
        case "draft_changed" if fact["draft"] is not None:
            answers = dict(fact["draft"]["answers"])
            again, gate_next = answers.pop("again", None), answers.pop("gate first", None)
            bay = None if again is None else int(again.split("/")[0])
            draft = {**fact["draft"], "answers": list(answers.items()), "bay": bay, "gate_next": gate_next is not None}
            return {**fact, "draft": draft}
        case "bay_set" if fact["bay"]["slip"] is not None:
            slip = fact["bay"]["slip"]
            places = [[slip["rail"], slip["actual"]]]
            return {**fact, "bay": {**fact["bay"], "slip": {"picket": slip["picket"], "places": places}}}
        case "bay_chosen":
            return {**fact, "named": False}
        case "gap_confirmed":
            return {**fact, "kind": "confirmed_by_index"}
        case "mark_called":
            return {"kind": "called_by_index", **fact["position"]}
    return fact


MIGRATIONS: Mapping[int, Migration] = {1: _to_version_2}
"""Old version -> what makes the next one of it."""


def migrate(
    fact: dict[str, Any], version: int, migrations: Mapping[int, Migration] = MIGRATIONS, current: int = SCHEMA_VERSION
) -> dict[str, Any]:
    """The fact as the current version writes it.  RecordError for a newer version, or one no migration starts from."""
    if version > current:
        raise RecordError(newer(version, current))
    while version < current:
        if version not in migrations:
            raise RecordError(f"This record is of version {version}, which this site-assistant cannot read.")
        fact = migrations[version](fact)
        version += 1
    return fact


def newer(version: int, current: int = SCHEMA_VERSION) -> str:
    """What is said of a record from a newer version."""
    return (
        f"This record was written by a newer site-assistant (version {version}; this one reads up to {current}). "
        "It was left as it is. Install the newer site-assistant to go on with it."
    )
