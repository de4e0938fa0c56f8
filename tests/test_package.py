# SPDX-License-Identifier: MIT
"""An installed copy is whole: the wheel holds both packages, their data, the samples and the docs."""

import tomllib
import zipfile
from importlib.metadata import EntryPoint
from pathlib import Path

import pytest
from hatchling.builders.wheel import WheelBuilder

from app import __version__
from app.shipped import shipped

_ROOT = Path(__file__).resolve().parents[1]


@pytest.fixture(scope="module")
def names(tmp_path_factory: pytest.TempPathFactory) -> set[str]:
    """Build the wheel and return the names of its files."""
    folder = tmp_path_factory.mktemp("wheel")
    (wheel,) = WheelBuilder(str(_ROOT)).build(directory=str(folder), versions=["standard"])
    assert __version__ in Path(wheel).name
    with zipfile.ZipFile(wheel) as content:
        return set(content.namelist())


def test_every_file_of_both_packages_is_in_the_wheel(names: set[str]) -> None:
    for package in ("app", "solver"):
        for path in (_ROOT / package).rglob("*"):
            if path.is_file() and "__pycache__" not in path.parts:
                assert path.relative_to(_ROOT).as_posix() in names


@pytest.mark.parametrize("folder", ["sample_vessels", "docs"])
def test_samples_and_docs_are_where_an_installed_copy_looks(folder: str, names: set[str]) -> None:
    for path in (_ROOT / folder).rglob("*"):
        if path.is_file():
            assert f"app/{path.relative_to(_ROOT).as_posix()}" in names


def test_the_source_tree_finds_its_own_samples_and_docs() -> None:
    assert shipped("sample_vessels") == _ROOT / "sample_vessels"
    assert shipped("docs") == _ROOT / "docs"


def test_the_command_starts_the_program() -> None:
    project = tomllib.loads((_ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    main = EntryPoint("farcabin", project["scripts"]["farcabin"], "console_scripts").load()
    assert callable(main)


def test_every_package_asked_for_is_pinned() -> None:
    project = tomllib.loads((_ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    lock = (_ROOT / "requirements.lock").read_text(encoding="utf-8")
    pinned = {line.split("==")[0].lower() for line in lock.splitlines() if "==" in line and line[0] != "#"}
    for wanted in [*project["dependencies"], *project["optional-dependencies"]["test"]]:
        assert wanted.split(">=")[0].lower() in pinned
    assert "://" not in lock
