"""The version and the news of it agree."""

from __future__ import annotations

import re
from pathlib import Path

from assistant import __version__

DEVELOPERS = Path(__file__).resolve().parent.parent / "DEVELOPERS.md"


def numbers(version: str) -> tuple[int, ...]:
    """The numbers of a version, for putting versions in order."""
    return tuple(map(int, version.split(".")))


def versions(text: str) -> list[tuple[int, ...]]:
    """The versions that have news in the text, as they stand there."""
    news = text.partition("\n## News\n")[2].partition("\n## ")[0]
    return [numbers(found) for found in re.findall(r"^### (\d+\.\d+\.\d+)\b", news, re.MULTILINE)]


def test_the_newest_news_is_that_of_the_version_and_older_ones_follow_in_order() -> None:
    found = versions(DEVELOPERS.read_text(encoding="utf-8"))
    assert found[0] == numbers(__version__)
    assert found == sorted(set(found), reverse=True)
