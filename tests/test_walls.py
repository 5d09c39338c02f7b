"""The walls of the house: what each room may import, and which built-in functions a pure room may not touch.

An allow-list: what is not named here is a breach.  `breaches` is tried on lines that are forbidden, and has to catch them.
"""

from __future__ import annotations

import ast
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import pytest

PACKAGE = "assistant"
HOUSE = Path(__file__).resolve().parent.parent / PACKAGE

WORLD = frozenset({"open", "print", "input", "eval", "exec", "compile", "breakpoint", "__import__", "__builtins__"})
"""Built-in names that reach the world outside, or hide what is reached."""

VALUES = frozenset({"__future__", "collections", "dataclasses", "enum", "fractions", "typing"})
"""What values are made of."""


@dataclass(frozen=True)
class Room:
    """What a room may import: modules and rooms of the house (a room stands for all that is in it), and modules from outside."""

    house: frozenset[str]
    outside: frozenset[str]
    pure: bool = True


def room(house: str, outside: str = "", *, pure: bool = True) -> Room:
    """A room from words; a pure room has `VALUES` besides, an edge the whole standard library it names."""
    return Room(frozenset(house.split()), VALUES | frozenset(outside.split()), pure)


CORE = "setout numbers.styles measured set_out job fold plan events errors"
"""The pure core that the edges may know."""

ROOMS: dict[str, Room] = {
    # Pure rooms.
    "setout": room("setout errors", "bisect itertools math operator re statistics"),
    "numbers": room("numbers setout wordgraph", "abc functools itertools"),
    "language": room("language numbers setout events wordgraph", "functools re"),
    "dialogue": room("dialogue language numbers setout measured set_out job fold plan events errors"),
    "dialogue.subjects": room(
        "dialogue.subjects dialogue.cautions dialogue.forms dialogue.speaking dialogue.state dialogue.subject dialogue.turn"
        " language numbers setout measured set_out job plan",
        "itertools math importlib pkgutil",
    ),
    # Pure modules between the rooms.
    "errors": room(""),
    "colours": room(""),
    "measured": room("setout"),
    "set_out": room("setout measured"),
    "job": room("setout numbers.styles measured set_out"),
    "fold": room("job set_out measured"),
    "plan": room("setout measured set_out job fold", "functools"),
    "events": room("job"),
    "wordgraph": room("", "math"),
    "written": room("setout set_out"),
    "solve_command": room("setout measured set_out job plan errors"),
    # Edges.
    "scratch": room("record.lock", "os pathlib shutil tempfile time types", pure=False),
    "speech": room(
        "speech events errors wordgraph scratch",
        "argparse contextlib csv hashlib json math os pathlib queue re resource shutil subprocess sys tempfile threading time types"
        " jiwer numpy onnxruntime pyttsx3 sounddevice soundfile soxr vosk",
        pure=False,
    ),
    # The second ear's thinking is pure.
    "speech.mel": room("speech.wav", "numpy"),
    "speech.soundgraph": room("wordgraph", "numpy"),
    "speech.search": room("speech.soundgraph", "numpy"),
    "speech.readings": room("events speech.search speech.soundgraph wordgraph", "numpy"),
    "speech.judgement": room("events speech.readings", "difflib math"),
    "speech.listed": room("events numbers wordgraph"),
    "record": room(
        f"record {CORE} scratch",
        "contextlib datetime errno fcntl hashlib json msvcrt os pathlib re shutil sqlite3 sys types urllib platformdirs pydantic",
        pure=False,
    ),
    "paper": room(f"paper {CORE} numbers dialogue.cautions written colours", "csv functools html io itertools json math re fpdf"),
    "display": room(
        f"display serving {CORE} written colours",
        "asyncio base64 hashlib io json re secrets shutil sys textwrap types aiohttp rich segno",
        pure=False,
    ),
    "serving": room("errors", "asyncio errno hmac logging socket ssl threading aiohttp", pure=False),
    "phone": room(
        "phone serving display.board_page display.terminal_code display.view speech.wav speech.player speech.devices errors",
        "asyncio base64 datetime hashlib ipaddress json os pathlib queue secrets ssl threading time types aiohttp cryptography numpy",
        pure=False,
    ),
    "phone.frames": room("speech.wav", "json numpy"),
    # Composition.
    "": room(""),
    "__main__": room("cli", "sys"),
    "cli": room(
        "__version__ app display.lines live_wiring job_commands solve_command speech.evaluate points errors faults record.store",
        "argparse io json os pathlib sys",
        pure=False,
    ),
    "points": room("errors language setout", "json pathlib", pure=False),
    "recorded": room("events speech", "itertools json numpy", pure=False),
    "faults": room("__version__", "datetime os pathlib platform traceback", pure=False),
    "app": room(
        "conversation job_commands display.board display.lines display.rail_line display.view events language.typed_lines recorded"
        " speech record.store errors faults",
        "contextlib io json pathlib sys",
        pure=False,
    ),
    "live_wiring": room(
        "conversation job_commands display phone serving speech record.store events job errors faults language.expecting",
        "argparse contextlib pathlib",
        pure=False,
    ),
    "job_commands": room("paper record.store fold errors", "contextlib datetime pathlib"),
    "conversation": room("dialogue language events job fold errors"),
}
"""Every room by the module it begins with; the longest that fits counts."""

ALONE = {
    "vosk": "speech.recogniser",
    "onnxruntime": "speech.secondear",
    "sounddevice": "speech.devices",
    "pyttsx3": "speech.synthesis_worker",
}
"""Modules that one file alone may import."""


def breaches(module: str, source: str) -> list[str]:
    """What a module of the house (its name without the package) imports or calls and may not."""
    tree, allowed = ast.parse(source), ROOMS[_room_of(module)]
    found = [name for name in _imports(module, tree) if not _allowed(name, module, allowed)]
    if allowed.pure:
        found += [node.id for node in ast.walk(tree) if isinstance(node, ast.Name) and node.id in WORLD]
    return found


def _room_of(module: str) -> str:
    """The longest name in ROOMS that the module lies in.  KeyError for a module that no room is named for."""
    fitting = [name for name in ROOMS if name and _inside(module, name)]
    if not fitting and module:
        raise KeyError(f"no room for {module}")
    return max(fitting, key=len, default="")


def _inside(module: str, name: str) -> bool:
    return module == name or module.startswith(f"{name}.")


def _imports(module: str, tree: ast.AST) -> list[str]:
    """Full names of everything imported, wherever it stands."""
    found: list[str] = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            # A relative import is written as if from somewhere else, and none is used here.
            base = "." * node.level + (node.module or "")
            found += [f"{base}.{alias.name}" for alias in node.names]
    return found


def _allowed(name: str, module: str, allowed: Room) -> bool:
    top, _, rest = name.partition(".")
    if top == PACKAGE:
        return any(_inside(rest, one) for one in allowed.house)
    return top in allowed.outside and ALONE.get(top, module) == module


def _module(path: Path) -> str:
    parts = path.relative_to(HOUSE).with_suffix("").parts
    return ".".join(part for part in parts if part != "__init__")


FILES = {_module(path): path for path in sorted(HOUSE.rglob("*.py")) if "data" not in path.relative_to(HOUSE).parts}


@pytest.mark.parametrize("module", FILES)
def test_a_room_imports_only_what_its_list_names(module: str) -> None:
    assert breaches(module, FILES[module].read_text(encoding="utf-8")) == []


def test_no_list_names_what_no_room_uses() -> None:
    """An allow-list that is wider than the house is a hole in its wall."""
    used: dict[str, set[str]] = {name: set() for name in ROOMS}
    for module, path in FILES.items():
        used[_room_of(module)].update(_imports(module, ast.parse(path.read_text(encoding="utf-8"))))
    for name, allowed in ROOMS.items():
        spare = allowed.outside - VALUES - {one.partition(".")[0] for one in used[name]}
        assert spare == set(), name


FORBIDDEN = [
    ("setout.posts", "import http.client"),
    ("setout.posts", "import urllib.request as r"),
    ("setout.posts", "from os import path"),
    ("setout.posts", "import datetime"),
    ("setout.posts", "import numpy"),
    ("setout.posts", "open('x')"),
    ("setout.posts", "write = print"),
    ("setout.posts", "from assistant.numbers import say_count"),
    ("setout.posts", "from assistant import numbers"),
    ("setout.posts", "import assistant"),
    ("setout.posts", "from assistant.measured import Bay"),
    ("setout.posts", "from . import gate"),
    ("setout.posts", "from ..job import Job"),
    ("setout.posts", "def late():\n    import random"),
    ("setout.posts", "if TYPE_CHECKING:\n    from assistant.plan import preview"),
    ("numbers.say", "from assistant.language import vocabulary"),
    ("numbers.say", "from assistant.job import Settings"),
    ("language.guide", "import assistant.dialogue.state"),
    ("language.guide", "from assistant.job import Job"),
    ("language.guide", "input()"),
    ("dialogue.turn", "from assistant.paper import files"),
    ("dialogue.turn", "from assistant.record.store import Store"),
    ("dialogue.turn", "import assistant.speech.live"),
    ("dialogue.turn", "from assistant.conversation import Conversation"),
    ("dialogue.turn", "from assistant.written import mark_text"),
    ("dialogue.turn", "__import__('os')"),
    ("dialogue.turn", "eval('1')"),
    ("dialogue.turn", "import importlib"),
    ("dialogue.turn", "import time"),
    ("dialogue.turn", "import random"),
    ("dialogue.subjects.timber_list", "from assistant.dialogue.asking import question"),
    ("dialogue.subjects.timber_list", "from assistant.dialogue import manager"),
    ("dialogue.subjects.timber_list", "from assistant.dialogue import commands"),
    ("measured", "from assistant.job import Job"),
    ("set_out", "from assistant.plan import preview"),
    ("job", "from assistant.numbers import say_count"),
    ("job", "from assistant.fold import apply"),
    ("fold", "from assistant.plan import preview"),
    ("plan", "from assistant.dialogue import state"),
    ("plan", "import os"),
    ("events", "from assistant.dialogue.state import State"),
    ("errors", "import sys"),
    ("written", "from assistant.job import Settings"),
    ("solve_command", "print('x')"),
    ("solve_command", "from assistant.cli import main"),
    ("speech.live", "from assistant.dialogue.manager import step"),
    ("speech.live", "from assistant.job import Job"),
    ("speech.live", "import vosk"),
    ("speech.live", "import sounddevice"),
    ("speech.live", "import pyttsx3"),
    ("speech.live", "import pydantic"),
    ("record.store", "from assistant.paper.exports import job_json"),
    ("record.store", "from assistant.dialogue.cautions import CAUTIONS"),
    ("record.store", "from assistant.numbers import say_count"),
    ("record.store", "import socket"),
    ("paper.exports", "from assistant.record import written_facts"),
    ("paper.exports", "from assistant.dialogue.speaking import mark_words"),
    ("paper.exports", "import pydantic"),
    ("paper.files", "open('x', 'w')"),
    ("paper.files", "from pathlib import Path"),
    ("display.view", "from assistant.paper.exports import job_json"),
    ("display.view", "from assistant.speech.live import LiveSession"),
    ("display.view", "import sqlite3"),
    ("conversation", "from assistant.record.store import Store"),
    ("conversation", "from assistant.speech.hearing import Hearing"),
    ("conversation", "print('x')"),
    ("job_commands", "from assistant.conversation import Conversation"),
    ("app", "from assistant.record.written_facts import to_json"),
    ("cli", "from assistant.dialogue.manager import step"),
]


@pytest.mark.parametrize(("module", "line"), FORBIDDEN)
def test_a_forbidden_line_is_caught(module: str, line: str) -> None:
    assert breaches(module, line) != []


ALLOWED = [
    ("setout.posts", "from assistant.errors import SetoutError\nfrom math import isqrt"),
    ("language.guide", "from assistant.events import Ending"),
    ("dialogue.turn", "from assistant.plan import preview"),
    ("dialogue.subjects", "from importlib import import_module\nimport pkgutil"),
    ("paper.exports", "from assistant.dialogue.cautions import CAUTIONS\nimport csv"),
    ("speech.recogniser", "import vosk\nprint(open('x'))"),
]


@pytest.mark.parametrize(("module", "line"), ALLOWED)
def test_an_allowed_line_is_let_through(module: str, line: str) -> None:
    assert breaches(module, line) == []


def test_a_room_that_is_not_on_the_list_is_noticed() -> None:
    with pytest.raises(KeyError, match="no room for shed"):
        breaches("shed.tools", "")


def test_no_two_files_have_one_name() -> None:
    names = Counter(path.name for path in FILES.values() if path.name != "__init__.py")
    assert [name for name, count in names.items() if count > 1] == []
