# SPDX-License-Identifier: MIT
"""What a run carries is found out where nobody said so."""

import msgspec
import pytest

from app.canvas.services import services
from app.shipped import shipped
from solver.vessel.file import read_vessel
from solver.vessel.vessel import Vessel
from tests.app.small_loop import small_loop

_SAMPLES = sorted(path.name for path in shipped("sample_vessels").glob("*.farcabin"))


def _untold(vessel: Vessel) -> Vessel:
    runs = tuple(msgspec.structs.replace(run, service="") for run in vessel.runs)
    return msgspec.structs.replace(vessel, runs=runs)


def test_a_runs_own_word_counts() -> None:
    vessel = small_loop()
    told = services(vessel)
    assert all(told[run.tag] == run.service for run in vessel.runs if run.service)


@pytest.mark.parametrize("name", _SAMPLES)
def test_the_sea_side_of_a_sample_is_told_from_its_loop(name: str) -> None:
    vessel = read_vessel(str(shipped("sample_vessels") / name))
    found = services(_untold(vessel))
    assert {tag for tag, service in found.items() if service == "sea"} == {
        run.tag for run in vessel.runs if run.service == "sea"
    }


@pytest.mark.parametrize("name", _SAMPLES)
def test_branches_of_a_sample_are_supply_and_return_as_they_are_told(name: str) -> None:
    vessel = read_vessel(str(shipped("sample_vessels") / name))
    found = services(_untold(vessel))
    at_units = [
        run
        for run in vessel.runs
        if {run.start.port, run.end.port} & {"water_in", "water_out"} and run.service
    ]
    assert at_units
    assert all(found[run.tag] == run.service for run in at_units)


def test_a_run_nothing_gives_away_stays_untold() -> None:
    vessel = small_loop()
    tees = {part.tag: part for part in vessel.components if part.tag in ("T-0", "EX-1")}
    lone = msgspec.structs.replace(vessel, components=tuple(tees.values()), runs=(vessel.run_by_tag["R-10"],))
    assert services(lone) == {"R-10": ""}
