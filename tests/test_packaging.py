"""The wheel carries the model and the recording, and runs away from the repository."""

from __future__ import annotations

import os
import subprocess
import sys
import sysconfig
import tarfile
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the wheel and the source archive; the wheel is built from the archive, as an installer would."""
    folder = tmp_path_factory.mktemp("dist")
    command = [sys.executable, "-m", "build", "--no-isolation", "--outdir", str(folder), str(ROOT)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=600)
    assert done.returncode == 0, done.stderr
    return folder


def test_the_wheel_is_pure_python_and_carries_model_and_recording(built: Path) -> None:
    wheel = next(built.glob("*.whl"))
    assert wheel.name.endswith("-py3-none-any.whl")
    names = set(zipfile.ZipFile(wheel).namelist())
    assert "assistant/data/models/site-en/am/final.mdl" in names
    assert "assistant/data/audio_fixtures/job/job.flac" in names


def test_wheel_and_source_carry_the_licence_and_say_that_they_are_typed(built: Path) -> None:
    wheel = zipfile.ZipFile(next(built.glob("*.whl")))
    names = set(wheel.namelist())
    (metadata,) = (name for name in names if name.endswith(".dist-info/METADATA"))
    assert "\nLicense-Expression: MIT\n" in wheel.read(metadata).decode()
    assert {"assistant/LICENSE", "assistant/py.typed", "assistant/data/models/site-en/SHA256SUMS"} <= names
    assert "the site-assistant contributors" in wheel.read("assistant/LICENSE").decode()
    with tarfile.open(next(built.glob("*.tar.gz"))) as source:
        assert {name.partition("/")[2] for name in source.getnames()} >= {"assistant/LICENSE", "assistant/py.typed"}


def test_the_installed_wheel_runs_the_demo_from_another_folder(built: Path, tmp_path: Path) -> None:
    environment = tmp_path / "env"
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(environment)], check=True, timeout=600)
    python = environment / ("Scripts" if os.name == "nt" else "bin") / "python"
    wheel = str(next(built.glob("*.whl")))
    install = [sys.executable, "-m", "pip", "--python", str(python), "install", "-q", "--no-deps", wheel]
    subprocess.run(install, check=True, timeout=600)
    # The dependencies of the running environment are lent to the empty one; the package itself is not among them.
    lent = {**os.environ, "PYTHONPATH": sysconfig.get_paths()["purelib"]}
    where = "import assistant; print(assistant.__file__)"
    found = subprocess.run([str(python), "-c", where], capture_output=True, text=True, check=True, env=lent, cwd=tmp_path)
    assert Path(found.stdout.strip()).is_relative_to(environment)
    command = [str(python), "-m", "assistant", "demo", "--out", "out"]
    done = subprocess.run(command, capture_output=True, text=True, check=False, env=lent, cwd=tmp_path, timeout=600)
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "out" / "replies.wav").stat().st_size > 100_000
