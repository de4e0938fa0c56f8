# SPDX-License-Identifier: MIT
"""A small vessel on disk, and the command run in this process."""

from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import msgspec
import pytest

from app.command_line.main import run
from solver.vessel.file import read_vessel, write_vessel
from solver.vessel.samples import ship


class Told(NamedTuple):
    """What a command ended with and printed."""

    status: int
    out: str
    err: str


@pytest.fixture(scope="session")
def boat(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the file of a vessel with four air handlers."""
    path = tmp_path_factory.mktemp("vessels") / "boat.farcabin"
    write_vessel(ship(4), path)
    return path


@pytest.fixture(scope="session")
def no_pump(boat: Path) -> Path:
    """Return the file of a vessel whose loop has no pump running and no pressure reference."""
    vessel = read_vessel(boat)
    gone = {component.tag for component in vessel.components if type(component).__name__ == "ExpansionVessel"}
    path = boat.with_name("no_reference.farcabin")
    write_vessel(
        msgspec.structs.replace(
            vessel,
            components=tuple(component for component in vessel.components if component.tag not in gone),
            runs=tuple(run for run in vessel.runs if run.start.tag not in gone and run.end.tag not in gone),
        ),
        path,
    )
    return path


@pytest.fixture
def farcabin(capsys: pytest.CaptureFixture[str]) -> Callable[..., Told]:
    """Return the command as a function of its words."""

    def command(*words: object) -> Told:
        status = run([str(word) for word in words])
        printed = capsys.readouterr()
        return Told(status, printed.out, printed.err)

    return command
