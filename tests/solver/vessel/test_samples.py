# SPDX-License-Identifier: MIT
"""The sample vessels: what they hold, that they solve as told, that they are drawn tidily."""

from itertools import combinations, pairwise
from pathlib import Path

import pytest

from solver.errors import PartError
from solver.solve import solve
from solver.vessel.changes import apply
from solver.vessel.checks import problems
from solver.vessel.components import (
    AirHandler,
    BufferTank,
    Chiller,
    CirculationPump,
    ConstantFlowValve,
    DifferentialBypass,
    Manifold,
    SeaWaterPump,
    Tee,
    TwoWayValve,
)
from solver.vessel.file import read_vessel
from solver.vessel.footprint import body, port_direction, port_place
from solver.vessel.joints import Joints
from solver.vessel.samples import SAMPLES, motor_yacht_18m, motor_yacht_27m, motor_yacht_45m, ship
from solver.vessel.samples.__main__ import write_samples
from solver.vessel.vessel import Vessel

FOLDER = Path(__file__).resolve().parents[3] / "sample_vessels"
SHIPS = (1, 2, 7, 30, 100, 333)


def of(vessel: Vessel, kind: type) -> list:
    return [component for component in vessel.components if isinstance(component, kind)]


def points_of(vessel: Vessel, run) -> list[tuple[float, float]]:
    ends = [port_place(vessel.component_by_tag[end.tag], end.port) for end in (run.start, run.end)]
    return [ends[0], *run.bends, ends[1]]


def pieces(vessel: Vessel) -> list:
    """Straight pieces of all runs as (run, left, top, right, bottom)."""
    found = []
    for run in vessel.runs:
        for (x1, y1), (x2, y2) in pairwise(points_of(vessel, run)):
            found.append((run, min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2)))
    return found


def drawn_size(vessel: Vessel) -> tuple[float, float]:
    corners = [point for cabin in vessel.cabins for point in cabin.outline]
    for component in vessel.components:
        box = body(component)
        corners += [(box.left, box.top), (box.right, box.bottom)]
    across, down = zip(*corners, strict=True)
    return max(across) - min(across), max(down) - min(down)


@pytest.fixture(params=[*SAMPLES, *SHIPS], ids=str, scope="module")
def vessel(request) -> Vessel:
    return SAMPLES[request.param]() if request.param in SAMPLES else ship(request.param)


@pytest.fixture(params=SAMPLES, scope="module")
def yacht(request) -> Vessel:
    return SAMPLES[request.param]()


# The files


@pytest.mark.parametrize("name", SAMPLES)
def test_file_on_disk_is_what_its_function_makes(name):
    assert read_vessel(FOLDER / f"{name}.farcabin") == SAMPLES[name]()


def test_module_entry_writes_the_files_on_disk(tmp_path):
    for path in write_samples(tmp_path):
        assert path.read_bytes() == (FOLDER / path.name).read_bytes()


def test_nothing_contradicts_itself(vessel):
    assert problems(vessel) == []


# What they hold


def test_18m_has_one_chiller_and_four_air_handlers():
    vessel = motor_yacht_18m()
    counts = [len(of(vessel, kind)) for kind in (Chiller, AirHandler, CirculationPump, SeaWaterPump)]
    assert counts == [1, 4, 1, 1]


def test_27m_has_two_chillers_and_nine_air_handlers_on_three_decks():
    vessel = motor_yacht_27m()
    counts = [len(of(vessel, kind)) for kind in (Chiller, AirHandler, CirculationPump, SeaWaterPump)]
    assert counts == [2, 9, 2, 1]
    assert len({handler.deck for handler in of(vessel, AirHandler)}) == 3


def test_45m_has_what_its_notes_say():
    vessel = motor_yacht_45m()
    counts = [len(of(vessel, kind)) for kind in (Chiller, AirHandler, SeaWaterPump, Manifold, BufferTank)]
    assert counts == [3, 22, 2, 2, 1]
    assert [pump.running for pump in of(vessel, CirculationPump)] == [True, True, False]
    valves = [len(of(vessel, kind)) for kind in (TwoWayValve, DifferentialBypass, ConstantFlowValve)]
    assert valves == [4, 1, 2]
    assert len({handler.deck for handler in of(vessel, AirHandler)}) == 4


def test_45m_ring_feeds_every_cabin_from_both_sides():
    vessel = motor_yacht_45m()
    joints = Joints(vessel)
    # What joins supply to return is cut, so that only the mains hold the tees together.
    between = of(vessel, AirHandler) + of(vessel, Chiller) + of(vessel, DifferentialBypass)
    cut = [joints.index_of[component.tag] for component in between]
    regions = joints.regions(cut).max()
    tees = {tee.tag for tee in of(vessel, Tee) if tee.deck == "Main deck"}
    mains = [run.tag for run in vessel.runs if run.start.tag in tees and run.end.tag in tees]
    ring = [tag for tag in mains if joints.regions([*cut, joints.index_of[tag]]).max() == regions]
    # Two rings of eight cabins and a feed each; the feeds themselves are no part of a ring.
    assert len(ring) == 2 * (8 + 1)
    assert len(mains) - len(ring) == 2


def test_air_handlers_together_are_designed_for_the_flow_of_the_plant(vessel):
    handlers = sum(handler.design_flow_L_s for handler in of(vessel, AirHandler))
    chillers = sum(chiller.design_flow_L_s for chiller in of(vessel, Chiller))
    assert chillers == pytest.approx(handlers, rel=0.01)


def test_every_cabin_has_its_air_handler(vessel):
    served = [tag for handler in of(vessel, AirHandler) for tag in handler.cabins]
    assert sorted(served) == sorted(cabin.tag for cabin in vessel.cabins)


def test_only_ports_that_may_be_open_are(vessel):
    for component in vessel.components:
        for port in set(component.ports) - set(component.MAY_BE_OPEN):
            assert len(vessel.runs_at.get((component.tag, port), ())) == 1, (component.tag, port)


# What a solve finds


@pytest.mark.parametrize("make", [motor_yacht_18m, motor_yacht_45m])
def test_balanced_yachts_give_every_air_handler_its_flow(make):
    results = solve(make())
    assert [finding for finding in results.findings if finding.severity != "note"] == []
    for handler in results.air_handlers.values():
        assert 0.95 < handler.share_of_design < 1.05


def test_nothing_is_to_be_said_about_18m():
    assert solve(motor_yacht_18m()).findings == ()


def test_27m_starves_its_far_guest_cabin():
    results = solve(motor_yacht_27m())
    shares = {tag: handler.share_of_design for tag, handler in results.air_handlers.items()}
    assert 0.50 < shares.pop("AH-9") < 0.65
    assert all(0.95 < share < 1.25 for share in shares.values())
    assert results.index_circuit.air_handler == "AH-9"
    assert not any(finding.severity == "bad" for finding in results.findings)
    assert any("AH-9" in finding.tags and "RV-9" in finding.tags for finding in results.findings)


def test_27m_set_right_feeds_every_cabin():
    vessel = motor_yacht_27m()
    scenario = next(each for each in vessel.scenarios if each.name == "Lower deck set right")
    shares = solve(apply(vessel, scenario.changes)).air_handlers.values()
    assert all(0.95 < handler.share_of_design < 1.15 for handler in shares)


def test_every_scenario_can_be_solved(yacht):
    assert len({scenario.name for scenario in yacht.scenarios}) == len(yacht.scenarios) > 2
    as_drawn = solve(yacht)
    for scenario in yacht.scenarios:
        results = solve(apply(yacht, scenario.changes))
        assert results.converged
        assert any(
            abs(figures.flow_L_s - as_drawn.links[tag].flow_L_s) > 1e-3
            for tag, figures in results.links.items()
        ), scenario.name


def test_pumps_run_near_their_best_flow(yacht):
    for pump in solve(yacht).pumps.values():
        if yacht.component_by_tag[pump.tag].running:
            assert 0.9 < pump.share_of_best_flow < 1.1


def test_runs_keep_within_velocity_and_friction(yacht):
    links = solve(yacht).links
    flowing = [links[run.tag] for run in yacht.runs if abs(links[run.tag].flow_L_s) > 1e-6]
    assert max(each.velocity_m_s for each in flowing) < 1.5
    at_rate = [each for each in flowing if each.velocity_m_s >= 0.3 and each.loss_Pa_m < 400.0]
    assert len(at_rate) > 0.9 * len(flowing)


# How they are drawn


def test_ports_lie_on_the_grid(vessel):
    for component in vessel.components:
        for port in component.ports:
            assert all(place % 10 == 0 for place in port_place(component, port)), component.tag


def test_runs_go_at_right_angles_out_of_their_ports(vessel):
    for run in vessel.runs:
        points = points_of(vessel, run)
        for (x1, y1), (x2, y2) in pairwise(points):
            assert (x1 == x2) != (y1 == y2), run.tag
        for end, here, there in ((run.start, points[0], points[1]), (run.end, points[-1], points[-2])):
            dx, dy = port_direction(vessel.component_by_tag[end.tag], end.port)
            assert (there[0] - here[0]) * dx + (there[1] - here[1]) * dy > 0, run.tag


def test_no_run_goes_through_a_symbol(yacht):
    for run, left, top, right, bottom in pieces(yacht):
        for component in yacht.components:
            box = body(component)
            apart = left >= box.right or right <= box.left or top >= box.bottom or bottom <= box.top
            assert apart or component.tag in (run.start.tag, run.end.tag), (run.tag, component.tag)


def test_no_run_lies_along_another(yacht):
    for one, other in combinations(pieces(yacht), 2):
        flat = one[2] == one[4] == other[2] == other[4]
        upright = one[1] == one[3] == other[1] == other[3]
        beside = max(one[1], other[1]) < min(one[3], other[3])
        above = max(one[2], other[2]) < min(one[4], other[4])
        assert not (flat and beside), (one[0].tag, other[0].tag)
        assert not (upright and above), (one[0].tag, other[0].tag)


@pytest.mark.parametrize("number", SHIPS)
def test_ship_symbols_keep_apart(number):
    symbols_keep_apart(ship(number))


def test_yacht_symbols_keep_apart(yacht):
    symbols_keep_apart(yacht)


def symbols_keep_apart(vessel: Vessel) -> None:
    boxes = [(component, body(component)) for component in vessel.components]
    for (one, a), (other, b) in combinations(boxes, 2):
        across = max(a.left, b.left) - min(a.right, b.right)
        down = max(a.top, b.top) - min(a.bottom, b.bottom)
        assert max(across, down) >= 0, (one.tag, other.tag)
        if isinstance(one, AirHandler) and isinstance(other, AirHandler):
            assert max(across, down) >= 80, (one.tag, other.tag)


def test_sheet_is_near_16_to_10(yacht):
    width, height = drawn_size(yacht)
    assert 1.4 < width / height < 1.8


# The generator of ships


@pytest.mark.parametrize("number", [30, 100, 333, 1500])
def test_ship_is_near_16_to_10(number):
    width, height = drawn_size(ship(number))
    assert 1.3 < width / height < 2.0


@pytest.mark.parametrize("number", SHIPS)
@pytest.mark.parametrize("seed", [0, 1])
def test_ship_is_roughly_balanced(number, seed):
    results = solve(ship(number, seed))
    assert len(results.air_handlers) == number
    assert not any(finding.severity == "bad" for finding in results.findings)
    for handler in results.air_handlers.values():
        assert 0.6 < handler.share_of_design < 1.5


def test_ship_of_4000_has_five_links_for_each_air_handler():
    vessel = ship(4000)
    links = len(Joints(vessel).tags)
    assert len(of(vessel, AirHandler)) == 4000
    assert 20_000 < links < 24_000


def test_ship_depends_on_its_seed_alone():
    assert ship(40, seed=3) == ship(40, seed=3)
    assert ship(40, seed=3) != ship(40, seed=4)


@pytest.mark.parametrize("number", [0, -5])
def test_ship_without_air_handlers_is_refused(number):
    with pytest.raises(PartError, match=f"{number} air handlers; accepted: 1 or more"):
        ship(number)
