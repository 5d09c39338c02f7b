"""The recogniser, the synthesiser and the committed recordings, for the tests that listen."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from listening import Recording, read_recording

from assistant.speech.models import find_model
from assistant.speech.recogniser import Recogniser
from assistant.speech.synthesiser import Synthesiser


@pytest.fixture(scope="session")
def recording() -> Recording:
    """The phrases; the job's own recording follows the dialogue and may change with it."""
    return read_recording("phrases")


@pytest.fixture
def recogniser() -> Recogniser:
    return Recogniser(find_model("site-en"))


@pytest.fixture(scope="module")
def synthesiser() -> Iterator[Synthesiser]:
    with Synthesiser() as running:
        yield running


@pytest.fixture
def model_copy(tmp_path: Path) -> Path:
    """A copy of the bundled model that a test may damage."""
    source, target = find_model("site-en"), tmp_path / "model"
    for file in source.rglob("*"):
        if file.is_file():
            place = target / file.relative_to(source)
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(file.read_bytes())
    return target
