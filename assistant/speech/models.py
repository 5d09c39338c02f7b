"""Where the speech model and the other bundled files lie.

Crosses the border: a name from the command line or the environment becomes a checked directory.  Nothing is
ever fetched.
"""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

from assistant.errors import ModelError

ENVIRONMENT = "SITE_ASSISTANT_MODEL"
"""Environment variable that names the model when the command line does not."""
BUNDLED = "site-en"
"""The model that ships with the assistant."""

_PACKAGE = Path(__file__).resolve().parent.parent
_NEEDED = ("am/final.mdl", "conf/mfcc.conf", "conf/model.conf", "graph/phones/word_boundary.int")
SUMS = "SHA256SUMS"
"""List of checksums in a model directory."""
_RUN_TIME_GRAPH = ("graph/HCLr.fst", "graph/Gr.fst", "graph/disambig_tid.int")


def data_dir(*parts: str) -> Path:
    """A bundled file or folder: inside the package when installed, else in the source tree."""
    installed = _PACKAGE.joinpath("data", *parts)
    return installed if installed.exists() else _PACKAGE.parent.joinpath(*parts)


def find_model(name: str | None = None) -> Path:
    """The model directory for ``name`` (a path, or the bare name of a folder under models/).

    Without a name the environment decides, and without that the bundled model.  Raises ModelError when it is missing,
    incomplete or not as its list of checksums says.
    """
    wanted = name or os.environ.get(ENVIRONMENT) or BUNDLED
    path = Path(wanted).expanduser()
    if not path.is_dir() and len(path.parts) == 1:
        path = data_dir("models", wanted)
    if not path.is_dir():
        raise ModelError(f"there is no speech model {wanted!r}: give the folder of a Vosk model, or leave out --model and {ENVIRONMENT}")
    missing = [part for part in _NEEDED if not _filled(path / part)]
    if missing:
        raise ModelError(f"{path} is not a complete Vosk model: {', '.join(missing)} missing or empty")
    if not all(_filled(path / part) for part in _RUN_TIME_GRAPH):
        raise ModelError(
            f"the model {path} cannot take a grammar at run time (it needs {', '.join(_RUN_TIME_GRAPH)}): use a small Vosk model"
        )
    check_sums(path)
    return path


def second_ear() -> Path:
    """The folder of the second ear that ships with the assistant."""
    return data_dir("models", "second-ear")


def _filled(path: Path) -> bool:
    return path.is_file() and path.stat().st_size > 0


def check_sums(folder: Path) -> None:
    """Compare the files of a model with its list of checksums; one without a list is not checked.

    One flipped bit in a graph can make the library grow without end, and ten leave it deaf.  Raises ModelError.
    """
    damaged = f"the model {folder} is damaged: install it again or choose another"
    try:
        listed = [line.split(maxsplit=1) for line in (folder / SUMS).read_text(encoding="utf-8").splitlines()]
    except FileNotFoundError:
        return
    except (OSError, ValueError) as error:
        raise ModelError(f"{damaged} ({SUMS} cannot be read)") from error
    for entry in listed:
        try:
            expected, name = entry
            found = hashlib.sha256((folder / name).read_bytes()).hexdigest()
        except (OSError, ValueError) as error:
            raise ModelError(f"{damaged} ({' '.join(entry)[-60:]!r} cannot be checked)") from error
        if found != expected:
            raise ModelError(f"{damaged} ({name} is not what {SUMS} says)")
