"""A subject is one file: its value is collected from it, and it knows little of the rest of the conversation."""

from __future__ import annotations

import ast
from importlib import import_module
from pathlib import Path

import pytest

from assistant.dialogue import subjects
from assistant.dialogue.subjects import SUBJECTS

FILES = sorted(Path(subjects.__file__).parent.glob("*.py"))
SHARED = {"__init__", "shared"}
"""Files that are no subject."""


@pytest.mark.parametrize("path", [path for path in FILES if path.stem not in SHARED], ids=lambda path: path.stem)
def test_every_file_brings_one_subject(path: Path) -> None:
    subject = import_module(f"{subjects.__name__}.{path.stem}").SUBJECT
    assert [one for one in SUBJECTS if one is subject] == [subject]
    assert subject.handlers or subject.forms


def test_no_phrase_and_no_form_belongs_to_two_subjects() -> None:
    acts = [act for subject in SUBJECTS for act in subject.handlers]
    keys = [form.key for subject in SUBJECTS for form in subject.forms]
    assert len(acts) == len(set(acts))
    assert len(keys) == len(set(keys))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_subject_does_not_know_who_asks_and_who_answers(path: Path) -> None:
    allowed = {"forms", "subject", "turn", "speaking", "cautions", "state", "subjects"}
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("assistant.dialogue."):
            assert (node.module or "").split(".")[2] in allowed, node.module
