# SPDX-License-Identifier: MIT
"""The verb pulldown on a real vessel file."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from solver.heat.pull_down import Span, Start, pull_down
from solver.solve import solve
from solver.vessel.file import read_vessel

Farcabin = Callable[..., Any]


@pytest.fixture
def boat() -> Path:
    return Path(__file__).parents[3] / "sample_vessels" / "motor_yacht_18m.farcabin"


def test_it_prints_the_figures_of_the_library(farcabin: Farcabin, boat: Path) -> None:
    vessel = read_vessel(boat)
    found = pull_down(solve(vessel, heat=True), Span(2.0), Start(40.0, 20.0))
    told = farcabin("pulldown", boat, "--hours", "2", "--start-temp", "40C", "--start-water", "20 °C")
    assert (told.status, told.err) == (0, "")
    for head in ("CABINS", "CHILLERS", "ENERGY", "FINDINGS", "TEMPERATURES AND POWER"):
        assert f"\n{head}\n" in told.out
    cabins = told.out.partition("CABINS")[2].partition("CHILLERS")[0]
    rows = {line.split()[0]: line.split() for line in cabins.splitlines() if line.startswith("C-")}
    for cabin in found.cabins:
        assert rows[cabin.tag][2:4] == ["40.0", f"{cabin.end_C:.1f}"]
    assert f"{found.energy.compressors:.1f} kWh" in told.out
    assert "did not reach set point in 2 h" in told.out


def test_the_same_in_json_and_csv(farcabin: Farcabin, boat: Path) -> None:
    words = ("--hours", "1", "--step", "5 min", "--start-humidity", "50")
    told = json.loads(farcabin("pulldown", boat, *words, "--json").out)
    rows = list(csv.DictReader(io.StringIO(farcabin("pulldown", boat, *words, "--csv").out)))
    assert len(rows) == len(told["steps"]["time_h"]) == 13
    assert set(rows[0]) == set(told["steps"])
    for name, values in told["steps"].items():
        assert [float(row[name]) for row in rows] == pytest.approx(values, rel=1e-5, abs=1e-9)
    assert told["steps"]["C-1_rh"][0] == pytest.approx(0.5)
    assert told["energy_kWh"]["error_share"] < 1e-3
    assert told["cabins"]["C-1"]["end_C"] == pytest.approx(told["steps"]["C-1_temp_C"][-1])
    assert [finding["rule"] for finding in told["findings"]]


def test_the_day_conditions_and_changes_count(farcabin: Farcabin, boat: Path) -> None:
    words = ("--hours", "1", "--step", "10min")
    told = farcabin("pulldown", boat, *words, "--from", "9:30", "--change", "CH-1.running=off")
    assert "weather of the day from 9.5 h solar time" in told.out
    assert "switched off" in told.out and "CH-1 never ran." in told.out
    winter = json.loads(farcabin("pulldown", boat, *words, "--conditions", "ISO 7547 winter", "--json").out)
    assert winter["conditions"] == "ISO 7547 winter"
    assert winter["energy_kWh"]["cooling"] <= 0.0


@pytest.mark.parametrize(
    ("words", "status", "problem"),
    [
        (("--hours", "soon"), 2, "--hours soon: "),
        (("--start-temp", "5 kPa"), 2, "--start-temp 5 kPa: "),
        (("--from", "25"), 2, "--from 25: an hour from 0 to 24 is expected"),
        (("--conditions", "Mars"), 2, "--conditions Mars: no conditions have this name"),
        (("--hours", "2000"), 1, "hours 2000 h; accepted: 0.05 to 720 h"),
        (("--start-humidity", "150"), 1, "start humidity 150 %; accepted: 0 to 100 %"),
        (("--json", "--csv"), 2, "not allowed with"),
    ],
)
def test_bad_use_in_words(
    farcabin: Farcabin, boat: Path, words: tuple[str, ...], status: int, problem: str
) -> None:
    told = farcabin("pulldown", boat, *words)
    assert told.status == status
    assert problem in told.err
    assert "Traceback" not in told.err
