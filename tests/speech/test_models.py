"""Finding a model, and saying in one sentence why one will not do."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from assistant.errors import ModelError
from assistant.speech import models
from assistant.speech.models import ENVIRONMENT, SUMS, data_dir, find_model
from assistant.speech.recogniser import Recogniser


@pytest.fixture(autouse=True)
def no_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(ENVIRONMENT, raising=False)


def test_without_a_name_the_bundled_model_is_taken() -> None:
    assert find_model() == data_dir("models", "site-en")


def test_the_environment_names_a_model_and_the_command_line_goes_first(model_copy: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(ENVIRONMENT, str(model_copy))
    assert find_model() == model_copy
    assert find_model("site-en") == data_dir("models", "site-en")


def test_a_bare_name_is_a_folder_under_models(model_copy: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    model_copy.parent.joinpath("models").mkdir()
    placed = model_copy.rename(model_copy.parent / "models" / "other-en")
    monkeypatch.setattr(models, "_PACKAGE", placed.parent.parent / "assistant")
    assert find_model("other-en") == placed


def test_inside_a_wheel_the_package_holds_the_data(model_copy: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    package = model_copy.parent / "site-packages" / "assistant"
    (package / "data" / "models").mkdir(parents=True)
    placed = model_copy.rename(package / "data" / "models" / "site-en")
    monkeypatch.setattr(models, "_PACKAGE", package)
    assert find_model() == placed


def test_a_missing_model_is_named_with_what_to_do() -> None:
    with pytest.raises(ModelError, match=r"no speech model 'nowhere-en': give the folder of a Vosk model"):
        find_model("nowhere-en")


@pytest.mark.parametrize(
    "part",
    ["am/final.mdl", "conf/mfcc.conf", "conf/model.conf", "graph/phones/word_boundary.int"],
)
@pytest.mark.parametrize("emptied", [True, False])
def test_an_incomplete_model_is_refused_and_the_file_named(model_copy: Path, part: str, emptied: bool) -> None:
    (model_copy / part).write_bytes(b"") if emptied else (model_copy / part).unlink()
    with pytest.raises(ModelError, match=f"{part} missing or empty"):
        find_model(str(model_copy))


def test_a_model_with_a_fixed_graph_is_refused(model_copy: Path) -> None:
    (model_copy / "graph/HCLr.fst").rename(model_copy / "graph/HCLG.fst")
    with pytest.raises(ModelError, match="cannot take a grammar at run time"):
        find_model(str(model_copy))


@pytest.mark.parametrize("part", ["am/final.mdl", "graph/HCLr.fst", "graph/Gr.fst", "conf/model.conf"])
@pytest.mark.parametrize("damage", ["cut in half", "rubbish"])
def test_a_damaged_model_is_an_error_and_not_a_crash(model_copy: Path, part: str, damage: str, capfd: pytest.CaptureFixture[str]) -> None:
    """A damaged graph loads without complaint and then ends the process at the first grammar (seen in vosk 0.3.45)."""
    (model_copy / SUMS).unlink()
    content = (model_copy / part).read_bytes()
    (model_copy / part).write_bytes(content[: len(content) // 2] if damage == "cut in half" else b"rubbish" * 100)
    with pytest.raises(ModelError, match="is damaged: install it again or choose another"):
        Recogniser(find_model(str(model_copy)))
    assert capfd.readouterr().err == ""


def test_the_list_of_checksums_names_every_file_of_the_bundled_model() -> None:
    """After a change to the model: python -m models.build.sums models/site-en."""
    folder = data_dir("models", "site-en")
    listed = {line.split("  ")[1] for line in (folder / SUMS).read_text(encoding="utf-8").splitlines()}
    files = {file.relative_to(folder).as_posix() for file in folder.rglob("*") if file.is_file()}
    assert listed == files - {"README.md", SUMS}
    assert find_model("site-en") == folder


def test_one_flipped_bit_in_any_file_of_a_model_is_refused(model_copy: Path) -> None:
    chance = random.Random(5)
    for line in (model_copy / SUMS).read_text(encoding="utf-8").splitlines():
        file = model_copy / line.split("  ")[1]
        sound = file.read_bytes()
        bit = chance.randrange(8 * len(sound))
        flipped = bytearray(sound)
        flipped[bit // 8] ^= 1 << bit % 8
        file.write_bytes(flipped)
        with pytest.raises(ModelError, match=f"is damaged: install it again.*{file.name}"):
            find_model(str(model_copy))
        file.write_bytes(sound)
    assert find_model(str(model_copy)) == model_copy


@pytest.mark.parametrize("content", [b"\xff\xfe\x80", b"only one column\n", b"abc\n", b"0  ../../elsewhere\n"])
def test_a_damaged_list_of_checksums_is_refused_in_words(model_copy: Path, content: bytes) -> None:
    (model_copy / SUMS).write_bytes(content)
    with pytest.raises(ModelError, match="is damaged: install it again"):
        find_model(str(model_copy))


def test_random_bytes_in_the_list_of_ordinary_words_are_refused_in_words(model_copy: Path) -> None:
    (model_copy / "decoys.txt").write_bytes(random.Random(1).randbytes(5000))
    with pytest.raises(ModelError, match=r"decoys\.txt is damaged: install the model again"):
        Recogniser(model_copy)
