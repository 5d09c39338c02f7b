"""A folder whose speed does not hang on the disk, for what writes thousands of facts; the laws tested are the same there."""

import os
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

SHARED_MEMORY = Path("/dev/shm")


@pytest.fixture(scope="module")
def quick_home() -> Iterator[Path]:
    """In memory where the system has a place for that, else on the disk."""
    in_memory = SHARED_MEMORY.is_dir() and os.access(SHARED_MEMORY, os.W_OK)
    folder = Path(tempfile.mkdtemp(prefix="record-", dir=SHARED_MEMORY if in_memory else None))
    yield folder
    shutil.rmtree(folder)
