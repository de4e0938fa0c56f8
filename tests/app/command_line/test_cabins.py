# SPDX-License-Identifier: MIT
"""The verb cabins on a real vessel file."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from solver.heat.cabin_load import loads_at_set_point, room_loads
from solver.heat.day import day_loads
from solver.vessel.file import read_vessel, write_vessel
from solver.vessel.vessel import Cabin, Vessel

Farcabin = Callable[..., Any]


@pytest.fixture
def boat() -> Path:
    return Path(__file__).parents[3] / "sample_vessels" / "motor_yacht_27m.farcabin"


def test_it_prints_the_figures_of_the_library(farcabin: Farcabin, boat: Path) -> None:
    vessel = read_vessel(boat)
    found = loads_at_set_point(vessel, room_loads(vessel, 9.5))
    told = farcabin("cabins", boat, "--hour", "9:30")
    assert (told.status, told.err) == (0, "")
    rows = {line.split()[0]: line for line in told.out.splitlines() if line.startswith(("C-", "all"))}
    assert set(rows) == {*(cabin.tag for cabin in vessel.cabins), "all"}
    for index, cabin in enumerate(vessel.cabins):
        assert f" {found.sensible_W[index]:.0f} " in rows[cabin.tag]
        assert f" {found.total_W[index]:.0f} " in rows[cabin.tag]
    assert f" {found.total_W.sum():.0f} " in rows["all"]
    assert "9:30 solar time" in told.out


def test_a_day_in_json(farcabin: Farcabin, boat: Path) -> None:
    day = day_loads(read_vessel(boat))
    told = json.loads(farcabin("cabins", boat, "--day", "--json").out)
    assert told["block_load_W"] == pytest.approx(day.block_load_W)
    assert told["sum_of_peaks_W"] == pytest.approx(day.sum_of_peaks_W)
    assert [cabin["peak_W"] for cabin in told["cabins"].values()] == pytest.approx(day.peak_W.tolist())
    assert len(told["block_W"]) == len(told["hours"]) == 24


def test_the_rows_of_a_cabin_add_up(farcabin: Farcabin, boat: Path) -> None:
    told = json.loads(farcabin("cabins", boat, "--cabin", "C-9", "--json").out)
    total = sum(row["sensible_W"] + row["latent_W"] for row in told["rows"])
    assert total == pytest.approx(told["cabins"]["C-9"]["total_W"])
    text = farcabin("cabins", boat, "--cabin", "C-9").out
    assert "Guest cabin forward at 23.0 °C, 50 % relative humidity" in text
    assert all(f"\n{row['what']} " in text for row in told["rows"])


def test_changes_and_conditions_count(farcabin: Farcabin, boat: Path) -> None:
    def total(*words: str) -> float:
        return float(json.loads(farcabin("cabins", boat, "--json", *words).out)["total_W"])

    assert total("--change", "C-9.people=4") > total() > total("--conditions", "Temperate summer")
    assert total("--conditions", "ISO 7547 winter") < 0.0
    assert "heat lost is below 0" in farcabin("cabins", boat, "--conditions", "ISO 7547 winter").out


def test_us_units(farcabin: Farcabin, boat: Path) -> None:
    out = farcabin("cabins", boat, "--units", "us").out
    assert "BTU/h" in out and "ft²" in out and " W" not in out.split("CABINS")[1].split("---")[0]


def test_an_estimate_says_so(farcabin: Farcabin, tmp_path: Path) -> None:
    path = tmp_path / "bare.farcabin"
    write_vessel(Vessel(name="Tern", cabins=(Cabin(tag="C-1", floor_area_m2=8.0),)), path)
    out = farcabin("cabins", path).out
    assert "estimate: the cabin has neither surfaces nor a typed load" in out
    assert "estimate by volume" in farcabin("cabins", path, "--cabin", "C-1").out


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--hour", "25"], "--hour 25: an hour from 0 to 24 is expected"),
        (["--hour", "9:75"], "--hour 9:75: an hour"),
        (["--hour", "9", "--day"], "not allowed with"),
        (["--day", "--cabin", "C-1"], "one of them is used at a time"),
        (["--cabin", "C-99"], 'no cabin has the tag "C-99"; C-9?'),
        (["--conditions", "Gulf sumer"], "no conditions have this name; near it: Gulf summer"),
    ],
)
def test_bad_use_in_words(farcabin: Farcabin, boat: Path, words: list[str], told: str) -> None:
    ended = farcabin("cabins", boat, *words)
    assert ended.status == 2
    assert told in ended.err
    assert ended.out == ""


def test_a_vessel_without_cabins(farcabin: Farcabin, tmp_path: Path) -> None:
    path = tmp_path / "empty.farcabin"
    write_vessel(Vessel(name="Tern"), path)
    ended = farcabin("cabins", path)
    assert ended.status == 2
    assert "Tern has no cabins" in ended.err
