"""The walls of the house: what each room may import."""

from __future__ import annotations

import ast
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent / "assistant"
PURE = [path for room in ("setout", "numbers", "language", "dialogue") for path in sorted((ROOT / room).rglob("*.py"))]
PURE += [ROOT / name for name in ("job.py", "plan.py", "events.py", "errors.py", "solve_command.py")]
IMPURE = {
    "asyncio", "datetime", "io", "multiprocessing", "os", "pathlib", "queue", "random", "secrets", "shutil", "socket", "sqlite3",
    "subprocess", "tempfile", "threading", "time", "urllib",
}  # fmt: skip


def imports(path: Path) -> set[str]:
    """The modules a file imports, by full name."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module)
            found.update(f"{node.module}.{alias.name}" for alias in node.names)
    return found


@pytest.mark.parametrize("path", PURE, ids=lambda path: str(path.relative_to(ROOT)))
def test_pure_rooms_import_only_the_pure_standard_library_and_each_other(path: Path) -> None:
    for name in imports(path):
        top = name.split(".")[0]
        if top == "assistant":
            assert not name.startswith(("assistant.speech", "assistant.record", "assistant.app", "assistant.cli")), name
        else:
            assert top in sys.stdlib_module_names, name
            assert top not in IMPURE, name


def test_setout_does_not_know_the_dialogue() -> None:
    for path in (ROOT / "setout").rglob("*.py"):
        assert not any(name.startswith(("assistant.dialogue", "assistant.job", "assistant.plan")) for name in imports(path)), path


@pytest.mark.parametrize("library", ["vosk", "sounddevice", "pyttsx3"])
def test_each_sound_library_is_imported_in_one_file(library: str) -> None:
    users = [path for path in ROOT.rglob("*.py") if library in {name.split(".")[0] for name in imports(path)}]
    assert len(users) == 1
    assert users[0].parent.name == "speech"


def test_pydantic_stands_at_the_file_boundary_only() -> None:
    users = [path for path in ROOT.rglob("*.py") if "pydantic" in {name.split(".")[0] for name in imports(path)}]
    assert users
    assert all(path.parent.name == "record" for path in users)


def test_edges_do_not_know_the_dialogue() -> None:
    for room in ("speech", "record", "paper", "display"):
        for path in (ROOT / room).rglob("*.py"):
            unwanted = [name for name in imports(path) if name.startswith("assistant.dialogue")]
            allowed = [name for name in unwanted if name.startswith(("assistant.dialogue.cautions", "assistant.numbers"))]
            assert unwanted == allowed, path
