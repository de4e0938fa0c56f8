# SPDX-License-Identifier: MIT
"""Each verb on a real vessel file: what it prints, what it writes, how it ends."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from solver.solve import solve
from solver.vessel.components import RegulatingValve
from solver.vessel.file import read_vessel

Farcabin = Callable[..., Any]


def test_solve_prints_tables_that_name_their_units(farcabin: Farcabin, boat: Path) -> None:
    told = farcabin("solve", boat)
    assert told.status == 0
    assert told.err == ""
    for title in ("AIR HANDLERS", "PUMPS", "FINDINGS", "INDEX CIRCUIT", "RUNS", "OTHER PARTS"):
        assert f"\n{title}" in told.out
    assert "L/min" in told.out
    assert "US gpm" not in told.out


def test_solve_prints_the_figures_of_the_library(farcabin: Farcabin, boat: Path) -> None:
    results = solve(read_vessel(boat), heat=True)
    lines = farcabin("solve", boat).out.splitlines()
    start = lines.index("AIR HANDLERS")
    rows = {line.split()[0]: line for line in lines[start + 4 : start + 4 + len(results.air_handlers)]}
    for tag, figures in results.air_handlers.items():
        assert f"{60 * figures.flow_L_s:.1f}" in rows[tag]
        assert f" {100 * figures.share_of_design:.0f} " in rows[tag]


def test_solve_shows_us_units_when_asked(farcabin: Farcabin, boat: Path) -> None:
    told = farcabin("solve", boat, "--units", "us")
    assert told.status == 0
    assert "US gpm" in told.out
    assert "kPa" not in told.out.replace("kPa)", "")


def test_solve_as_json_has_what_programs_need(farcabin: Farcabin, boat: Path) -> None:
    told = farcabin("solve", boat, "--json")
    assert told.status == 0
    found = json.loads(told.out)
    results = solve(read_vessel(boat), heat=True)
    assert found["converged"] is True
    assert found["iterations"] == results.iterations
    assert found["mass_residual_kg_s"] < 1e-9
    assert found["pressure_residual_Pa"] < 1.0
    assert {"flow_L_s", "velocity_m_s", "loss_kPa"} <= set(next(iter(found["links"].values())))
    assert set(found["links"]) == set(results.links)
    for tag, figures in results.links.items():
        assert found["links"][tag]["flow_L_s"] == figures.flow_L_s
    pump = next(iter(found["pumps"].values()))
    assert {"flow_L_s", "head_m", "rise_kPa", "power_W", "efficiency"} <= set(pump)
    unit = next(iter(found["air_handlers"].values()))
    assert {"flow_L_s", "design_flow_L_s", "share_of_design"} <= set(unit)
    assert found["index_circuit"]["air_handler"] in found["air_handlers"]
    assert isinstance(found["findings"], list)


def test_solve_as_json_has_temperatures(farcabin: Farcabin, boat: Path) -> None:
    found = json.loads(farcabin("solve", boat, "--json").out)
    heat = solve(read_vessel(boat), heat=True).heat
    assert heat is not None
    assert set(found["water"]) == set(found["links"])
    for tag, figures in heat.water.items():
        assert found["water"][tag] == {
            "in_C": figures.in_C,
            "out_C": figures.out_C,
            "heat_W": figures.heat_W,
        }
    assert set(found["chillers"]) == set(heat.chillers)
    for one in found["chillers"].values():
        assert {"capacity_kW", "duty_kW", "power_kW", "leaving_C", "tripped"} <= set(one)
    for tag, cabin in found["cabins"].items():
        assert cabin["temp_C"] == heat.cabins[tag].temp_C
        assert {"rh", "set_point_C", "load_sensible_W", "load_latent_W"} <= set(cabin)
    balance = found["energy_balance"]
    assert balance["error_share"] < 1e-3
    assert sum(max(value, 0.0) for value in balance["flows_W"].values()) == pytest.approx(
        balance["into_water_W"]
    )


def test_solve_prints_cabins_and_chillers(farcabin: Farcabin, boat: Path) -> None:
    vessel = read_vessel(boat)
    told = farcabin("solve", boat).out
    for title in ("CABINS", "CHILLERS", "COILS", "HEAT INTO THE WATER"):
        assert f"\n{title}" in told
    rows = told.split("\nCABINS\n")[1].split("\n\n")[0].splitlines()
    assert [row.split()[0] for row in rows[3:] if row.startswith("C-")] == [one.tag for one in vessel.cabins]
    assert "°C" in rows[1]
    american = farcabin("solve", boat, "--units", "us").out
    assert "°C" not in american
    assert "°F" in american


def test_hydraulics_alone_leaves_temperatures_out(farcabin: Farcabin, boat: Path) -> None:
    told = farcabin("solve", boat, "--hydraulics")
    assert told.status == 0
    assert "CABINS" not in told.out
    assert "water, 9.5 °C" in told.out
    found = json.loads(farcabin("solve", boat, "--hydraulics", "--json").out)
    assert not {"water", "chillers", "coils", "cabins", "surfaces", "energy_balance"} & set(found)
    flows = solve(read_vessel(boat)).links
    for tag, link in found["links"].items():
        assert link["flow_L_s"] == flows[tag].flow_L_s


def test_conditions_are_taken_by_name(farcabin: Farcabin, boat: Path) -> None:
    vessel = read_vessel(boat)
    names = [one.name for one in vessel.conditions]
    assert len(names) > 1
    other = next(name for name in names if name != vessel.current_conditions.name)
    told = farcabin("solve", boat, "--conditions", other)
    assert told.status == 0
    assert f"\n{other}: outdoors " in told.out
    assert json.loads(farcabin("solve", boat, "--conditions", other, "--json").out)["condition"] == other
    assert f"{other}" in farcabin("solve", boat, "--conditions", other, "--hydraulics").out
    refused = farcabin("solve", boat, "--conditions", "Nowhere")
    assert refused.status == 2
    assert "--conditions Nowhere: no conditions have this name" in refused.err
    assert names[0] in refused.err


def test_both_methods_give_the_same_flows(farcabin: Farcabin, boat: Path) -> None:
    newton = json.loads(farcabin("solve", boat, "--json").out)["links"]
    hand = json.loads(farcabin("solve", boat, "--json", "--method", "hardy-cross").out)["links"]
    largest = max(abs(link["flow_L_s"]) for link in newton.values())
    for tag, link in newton.items():
        assert hand[tag]["flow_L_s"] == pytest.approx(link["flow_L_s"], abs=1e-6 * largest)


def test_the_hardy_cross_table_is_printed_step_by_step(farcabin: Farcabin, boat: Path) -> None:
    told = farcabin("solve", boat, "--method", "hardy-cross", "--steps", "2")
    assert told.status == 0
    assert "Sweep 1, loop " in told.out
    assert "Sweep 2, loop " in told.out
    assert "Sweep 3, loop " not in told.out
    assert "sum of losses" in told.out
    head = told.out.index("Sweep 1, loop 1,")
    rows = [line.split() for line in told.out[head:].split("\nsum of losses")[0].splitlines()[4:]]
    assert len(rows) > 3
    for _, _, q, k, n, loss, _ in rows:
        flow = float(q)
        by_hand = float(k) * abs(flow) ** float(n) * (1 if flow >= 0 else -1)
        assert abs(float(loss)) == pytest.approx(abs(by_hand), rel=5e-3, abs=0.5)
    assert "AIR HANDLERS" in told.out


def test_a_change_acts_on_the_result_and_is_told(farcabin: Farcabin, boat: Path) -> None:
    vessel = read_vessel(boat)
    valve = next(component for component in vessel.components if isinstance(component, RegulatingValve))
    told = farcabin("solve", boat, "--change", f"{valve.tag}.setting*=0.5")
    assert told.status == 0
    assert f"changed: {valve.tag} setting times 0.5" in told.out
    before = json.loads(farcabin("solve", boat, "--json").out)
    after = json.loads(farcabin("solve", boat, "--json", "--change", f"{valve.tag}.setting*=0.5").out)
    assert abs(after["links"][valve.tag]["flow_L_s"]) < abs(before["links"][valve.tag]["flow_L_s"])


def test_a_loop_that_cannot_be_solved_is_status_1_with_the_reason(farcabin: Farcabin, no_pump: Path) -> None:
    told = farcabin("solve", no_pump)
    assert told.status == 1
    assert told.out == ""
    assert told.err.startswith("farcabin: ")
    assert "Traceback" not in told.err
    told = farcabin("solve", no_pump, "--json")
    assert told.status == 1
    found = json.loads(told.out)
    assert found["converged"] is False
    assert found["reason"]
    assert found["tags"]


def test_check_tells_what_is_in_the_file_and_what_to_look_at(farcabin: Farcabin, boat: Path) -> None:
    told = farcabin("check", boat)
    assert told.status == 0
    assert "the file is good" in told.out
    assert "4 air handlers" in told.out
    assert "The loop can be solved." in told.out
    assert "FINDINGS" in told.out
    found = json.loads(farcabin("check", boat, "--json").out)
    assert found["converged"] is True
    assert isinstance(found["findings"], list)


def test_check_judges_a_loop_that_cannot_be_solved(farcabin: Farcabin, no_pump: Path) -> None:
    told = farcabin("check", no_pump)
    assert told.status == 1
    assert "The loop cannot be solved." in told.out
    assert told.err.startswith("farcabin: ")
    found = json.loads(farcabin("check", no_pump, "--json").out)
    assert found["converged"] is False


def test_the_schema_accepts_the_sample_and_refuses_a_slip(
    farcabin: Farcabin, boat: Path, tmp_path: Path
) -> None:
    schema = json.loads(farcabin("schema").out)
    document = json.loads(boat.read_text(encoding="utf-8"))
    jsonschema.validate(document, schema)
    document["runs"][0]["length_m"] = -1.0
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(document, schema)
    told = farcabin("schema", "-o", tmp_path / "schema.json")
    assert told.status == 0
    assert json.loads((tmp_path / "schema.json").read_text(encoding="utf-8")) == schema


@pytest.mark.parametrize("count", [1, 7, 60])
def test_a_sample_of_any_size_is_written_and_solved(farcabin: Farcabin, tmp_path: Path, count: int) -> None:
    path = tmp_path / "sample.farcabin"
    assert farcabin("sample", "--air-handlers", count, "-o", path).status == 0
    found = json.loads(farcabin("solve", path, "--json").out)
    assert len(found["air_handlers"]) == count
    assert found["converged"] is True
