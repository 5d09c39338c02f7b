"""How a fact written by an older version is brought up to date, one version at a time.

Crosses the border: plain JSON objects, each the fact of one version, up to `SCHEMA_VERSION`.

When the written form of a fact changes: raise `SCHEMA_VERSION`, add to `MIGRATIONS` the function that turns a fact of
the version before into one of the new version, and freeze an example of the old one in the tests.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final, TypeAlias

from assistant.errors import RecordError

SCHEMA_VERSION: Final = 1

Migration: TypeAlias = Callable[[dict[str, Any]], dict[str, Any]]
"""From the fact of one version to the fact of the next."""

MIGRATIONS: Mapping[int, Migration] = {}
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
