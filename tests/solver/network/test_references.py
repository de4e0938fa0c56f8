# SPDX-License-Identifier: MIT
"""Networks and friction factors against published answers, each within its source's tolerance.

The data are in ``tests/references/<id>_*.json``; the source of each is named in the test's docstring.
Every network is solved by Newton, passes the check and agrees with Hardy-Cross (``HeadNetwork.solve``).
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from solver.network.network import GRAVITY
from solver.parts.pipe import blend, colebrook, friction_number
from solver.parts.valves import KV_SQUARE
from tests.solver.network.published import (
    FOOT,
    INCH,
    US_GALLON_PER_MINUTE,
    HeadNetwork,
    by_lists,
    load,
)

pytestmark = pytest.mark.reference
approx = pytest.approx
CUBIC_FOOT = FOOT**3


@pytest.mark.parametrize("name", ["net_01", "net_02"])
def test_one_loop_with_demands(name: str) -> None:
    """M. Bakker, Exploratory Computing with Python, Water Management Notebook 3: three pipes (worked
    text before Exercise 3) and four pipes (Exercise 3) in a loop."""
    case = load(name)
    solved = by_lists(case, g=case["g_m_per_s2"]).solve()
    published, tolerance = case["published"], case["tolerance"]
    for tag, flow in published["flow_m3_per_h"].items():
        assert solved.flow(tag) * 3600 == approx(flow, abs=tolerance["flow_m3_per_h"])
    for tag, loss in published["head_loss_m"].items():
        assert solved.loss(tag) == approx(loss, abs=tolerance["head_m"])
    assert solved.head("C") == approx(published["head_m"]["C"], abs=tolerance["head_m"])


def test_three_loops() -> None:
    """E. Maurer, Hydraulics and Water Resources: Examples Using R (2022), Example 3.7.

    The printed table stops after three Hardy-Cross passes and is held to its own tolerance; the
    same network carried to the end by nodal equations (``converged``) is held to 1e-7 m3/s.
    """
    case = load("net_04")
    solved = by_lists(case, g=case["g_m_per_s2"]).solve()
    for tag, flow in case["published"]["flow_m3_per_s"].items():
        assert solved.flow(tag) == approx(flow, abs=case["tolerance"]["flow_m3_per_s"])
    for tag, flow in case["converged"]["flow_m3_per_s"].items():
        assert solved.flow(tag) == approx(flow, abs=1e-7)
    for node, head in case["converged"]["head_m"].items():
        assert solved.head(node) == approx(head, abs=1e-5)


def test_two_parallel_pipes_share_a_given_flow() -> None:
    """E. Maurer (2022), Example 3.6: Colebrook friction, hot water."""
    case = load("net_05")
    given, published, tolerance = case["inputs"], case["published"], case["tolerance"]
    network = HeadNetwork(case["g_m_per_s2"], kinematic_viscosity=given["kinematic_viscosity_m2_per_s"])
    network.fixed(end=0.0)
    network.free(start=-given["total_flow_m3_per_s"])
    for one in given["pipes"]:
        network.pipe(one["id"], "start", "end", one["L"], one["D"], one["eps"])
    solved = network.solve()
    for tag in ("1", "2"):
        assert solved.flow(tag) == approx(published[f"Q{tag}"], abs=tolerance["Q"])
        assert solved.velocity(tag) == approx(published[f"V{tag}"], abs=tolerance["V"])
        assert solved.loss(tag) == approx(published[f"hf{tag}"], abs=tolerance["hf"])
        assert solved.friction_factor(tag) == approx(published[f"f{tag}"], abs=tolerance["f"])


def test_three_reservoirs() -> None:
    """B. R. Munson, D. F. Young, T. H. Okiishi, Fundamentals of Fluid Mechanics (5th ed.), Example 8.14."""
    case = load("net_08")
    network = HeadNetwork(32.2 * FOOT)
    network.fixed(**{tag: level * FOOT for tag, level in case["inputs"]["surface_elevation_ft"].items()})
    network.free("J")
    for one in case["inputs"]["pipes"]:
        start, end = one["joins"].split("-")
        network.pipe(one["id"], start, end, one["L_ft"] * FOOT, one["D_ft"] * FOOT, f=one["f"])
    solved = network.solve()
    for number, name in enumerate(("Q1_out_of_A", "Q2_into_B", "Q3_into_C"), start=1):
        wanted = case["published"][f"{name}_ft3_per_s"]
        found = solved.flow(str(number)) / CUBIC_FOOT
        assert found == approx(wanted, abs=case["tolerance"][f"Q{number}"])


def test_three_parallel_pipes_under_one_head() -> None:
    """F. M. White, Fluid Mechanics (6th ed.), Example 6.18; the source reads f from the chart."""
    case = load("net_09")
    given, published, tolerance = case["inputs"], case["published"], case["tolerance"]
    network = HeadNetwork(
        case["g_m_per_s2"], given["density_kg_per_m3"], given["kinematic_viscosity_m2_per_s"]
    )
    network.fixed(a=given["common_head_loss_m"], b=0.0)
    for one in given["pipes"]:
        network.pipe(one["id"], "a", "b", one["L"], one["D"], one["eps"])
    solved = network.solve()
    flows = {tag: solved.flow(tag) * 3600 for tag in published["Q_m3_per_h"]}
    assert flows == approx(published["Q_m3_per_h"], abs=tolerance["Q_each"])
    assert sum(flows.values()) == approx(published["Q_total_m3_per_h"], abs=tolerance["Q_total"])
    for tag, factor in published["f"].items():
        assert solved.friction_factor(tag) == approx(factor, abs=tolerance["f"])
        assert solved.velocity(tag) == approx(published["V_m_per_s"][tag], abs=0.01)


def test_branching_pipe() -> None:
    """J. F. Douglas, J. M. Gasiorek, J. A. Swaffield, Fluid Mechanics, Example 14.4.

    The source's friction factor is Fanning's; Darcy's is four times as large.
    """
    case = load("net_13")
    given = case["inputs"]
    assert given["f_darcy"] == 4 * given["f_fanning"]
    network = HeadNetwork()
    network.fixed(A=0.0, B=-given["level_A_minus_B_m"], C=-given["level_A_minus_C_m"])
    network.free("J")
    for one, (start, end) in zip(given["pipes"], (("A", "J"), ("J", "B"), ("J", "C")), strict=True):
        network.pipe(one["id"], start, end, one["L"], one["D"], f=given["f_darcy"])
    solved = network.solve()
    for number in ("1", "2", "3"):
        assert solved.flow(number) == approx(case["published"][f"Q{number}"], abs=case["tolerance"]["Q"])


def test_valve_opening_that_shares_a_flow_equally() -> None:
    """J. F. Douglas et al., Fluid Mechanics, Example 14.7: head loss (4000/n)**2 Q**2 in a valve n per
    cent open; the opening is sought at which both outlets carry the same."""
    case = load("net_14")
    published, tolerance = case["published"], case["tolerance"]
    data = dict(zip(case["pipe_data"]["pipe"], case["pipe_data"]["L_m"], strict=True))
    bores = dict(zip(case["pipe_data"]["pipe"], case["pipe_data"]["D_m"], strict=True))
    pipe_alone = case["pipe_data"]["fanning_f"] * data["CD"] / (3 * bores["CD"] ** 5)

    def solved_at(opening: float):
        through_valve = pipe_alone + (4000 / opening) ** 2
        links = [one | {"k": through_valve} if one["id"] == "CDE" else one for one in case["links"]]
        return by_lists(case | {"links": links}, g=case["g_m_per_s2"]).solve()

    def difference(opening: float) -> float:
        solved = solved_at(opening)
        return solved.flow("CF") - solved.flow("CDE")

    opening = brentq(difference, 10, 100, xtol=1e-6)
    solved = solved_at(opening)
    total = solved.flow("A1B") + solved.flow("A2B")
    assert opening == approx(published["valve_opening_percent"], abs=tolerance["opening"])
    assert total == approx(published["total_flow_m3_per_s"], abs=tolerance["flow"])
    assert solved.head("C") == approx(published["head_C_m"], abs=tolerance["head"])


def test_equivalent_pipes() -> None:
    """K. Subramanya, 1000 Solved Problems in Fluid Mechanics (2005), Example 11.4."""
    case = load("net_16")
    lengths, bores = case["inputs"]["L_m"], case["inputs"]["D_m"]
    friction, flow = 0.02, 0.2
    network = HeadNetwork()
    network.fixed(end=0.0, far=0.0)
    network.free("n1", "n2", **{"in": -flow, "branching": -flow})
    chain = ("in", "n1", "n2", "end")
    for number, (length, bore) in enumerate(zip(lengths, bores, strict=True)):
        network.pipe(f"s{number}", chain[number], chain[number + 1], length, bore, f=friction)
        network.pipe(f"p{number}", "branching", "far", length, bore, f=friction)
    solved = network.solve()

    def loss_per_metre(bore: float) -> float:
        velocity = flow / (math.pi / 4 * bore**2)
        return friction / bore * velocity**2 / (2 * network.g)

    series = sum(solved.loss(f"s{number}") for number in range(3))
    published, tolerance = case["published"], case["tolerance"]
    assert series / loss_per_metre(0.40) == approx(published["i_Le_m"], abs=tolerance["i"])
    of_3600_m = brentq(lambda bore: 3600 * loss_per_metre(bore) - series, 0.2, 0.8)
    assert of_3600_m == approx(published["ii_De_m"], abs=tolerance["ii"])
    assert solved.loss("p0") / loss_per_metre(0.50) == approx(published["iii_Le_m"], abs=tolerance["iii"])


def test_reservoir_level_for_a_flow() -> None:
    """Y. A. Cengel, J. M. Cimbala (2006), Example 8-8: entrance, two elbows, gate valve and exit."""
    case = load("net_25")
    given, k = case["inputs"], case["inputs"]["K"]
    network = HeadNetwork(case["g_m_per_s2"], given["density"], given["dynamic_viscosity"] / given["density"])
    network.fixed(outlet=given["z2_m"])
    network.free(reservoir=-given["Q"])
    minor = k["entrance"] + k["elbows"] * k["elbow"] + k["gate_valve"] + k["exit"]
    network.free("inlet")
    network.pipe("friction", "inlet", "outlet", given["L"], given["D"], given["eps"])
    network.pipe("minor", "reservoir", "inlet", 0.0, given["D"], K=minor)
    solved = network.solve()
    assert solved.head("reservoir") == approx(case["published"]["z1_m"], abs=case["tolerance"]["z1"])
    assert solved.friction_factor("friction") == approx(case["published"]["f"], abs=case["tolerance"]["f"])


@pytest.mark.parametrize("name", ["net_30", "net_32"])
def test_closed_loops_of_three_coils(name: str) -> None:
    """Constructed for this project and solved beforehand by two other formulations (nodal and loop
    equations by general root finders), of water and of 30 % propylene glycol with a laminar branch."""
    case = load(name)
    answer, tolerance = case["answer"], case["tolerance"]
    solved = by_lists(
        case, g=9.80665, density=case["density"], kinematic_viscosity=case["kinematic_viscosity"]
    )
    solved = solved.solve()
    for tag, flow in answer["flow_m3_per_s"].items():
        assert solved.flow(tag) == approx(flow, rel=tolerance["flow_relative"])
    for node, head in answer["head_m"].items():
        assert solved.head(node) == approx(head, abs=tolerance["head_m"])
    for tag, reynolds in answer["reynolds"].items():
        bore = next(link["D"] for link in case["links"] if link["id"] == tag)
        found = solved.velocity(tag) * bore / case["kinematic_viscosity"]
        assert found == approx(reynolds, rel=tolerance["flow_relative"])


def _loop_of_bal_01(valve_kvs: list[float | None], pump_head: float):
    """Return the loop of net_30 with a valve in each branch and a pump of given head at design flow."""
    case = load("bal_01")
    density = case["density"]
    network = HeadNetwork(GRAVITY, density, case["kinematic_viscosity"])
    network.fixed(R=2.0)
    network.free("S")
    total = sum(case["design_flow_L_per_s"]) * 1e-3
    fall = 3.2e6
    network.quadratic_pump("pump", "R", "S", pump_head + fall * total**2, fall)
    supply, back = "S", "R"
    for number, (one, other, branch, kv) in enumerate(
        zip(case["supply"], case["returns"], case["branches"], valve_kvs, strict=True), start=1
    ):
        t, u, m, w = (f"{name}{number}" for name in "TUMW")
        network.free(t, u, m, w)
        network.pipe(f"S{number}", supply, t, **one)
        network.pipe(f"R{number}", u, back, **other)
        network.pipe(f"B{number}", t, m, **{key: branch[key] for key in ("L", "D", "eps", "K")})
        network.square(f"C{number}", m, w, branch["k"])
        # Kv as a head loss: KV_SQUARE (rho Q)**2 / (rho Kv**2) over rho g.
        network.square(f"V{number}", w, u, KV_SQUARE / (GRAVITY * kv**2) if kv else 0.0)
        supply, back = t, u
    return network


@pytest.mark.parametrize(
    ("valves", "head"),
    [("valves", "pump_head_needed_m"), ("valves_with_3kPa", "pump_head_needed_with_3kPa_m")],
)
def test_valves_set_as_worked_out_give_the_design_flows(valves: str, head: str) -> None:
    """Constructed: balancing of the loop of net_30, index branch wide open or with 3 kPa left on it;
    worked out beforehand branch by branch, without a network solve."""
    case = load("bal_01")
    kvs = [one["valve_Kv"] for one in case["answer"][valves]]
    solved = _loop_of_bal_01(kvs, case["answer"][head]).solve()
    flows = [solved.flow(f"B{number}") * 1e3 for number in (1, 2, 3)]
    assert flows == approx(case["design_flow_L_per_s"], rel=case["tolerance"]["relative"])
    assert -solved.loss("pump") == approx(case["answer"][head], rel=case["tolerance"]["relative"])


def test_flow_ratios_of_parallel_branches_stay() -> None:
    """CIBSE Journal, CPD Module 183 (August 2021), after CIBSE Code W: R1 Q1**2 = R2 Q2**2."""
    case = load("bal_04")
    given, answer = case["inputs"], case["answer"]
    cases = [
        (given["R"], given["total_a"], answer["flows_a"]),
        (given["R"], given["total_b"], answer["flows_b"]),
        (answer["R_after_balancing"], given["total_a"], answer["flows_after_balancing_total_a"]),
    ]
    for resistances, total, wanted in cases:
        network = HeadNetwork()
        network.fixed(back=0.0)
        network.free(supply=-total)
        for number, resistance in enumerate(resistances):
            network.square(f"B{number}", "supply", "back", resistance)
        solved = network.solve()
        flows = [solved.flow(f"B{number}") for number in range(len(resistances))]
        assert flows == approx(wanted, rel=case["tolerance"]["relative"])


def test_colebrook_against_its_exact_solution() -> None:
    """C. F. Colebrook (1939), the implicit law solved to 25 digits over a grid of Re and roughness."""
    case = load("fric_01")
    reynolds, roughness = (np.array([row[place] for row in case["rows"]], dtype=float) for place in (0, 1))
    exact = np.array([float(row[2]) for row in case["rows"]])
    assert len(exact) > 100
    factor, _ = colebrook(reynolds, roughness)
    np.testing.assert_allclose(factor, exact, rtol=case["tolerance"]["relative"])
    number, _ = friction_number(reynolds, roughness, blend(roughness))
    np.testing.assert_allclose(number / reynolds**2, exact, rtol=case["tolerance"]["relative"])


def test_laminar_friction() -> None:
    """Hagen and Poiseuille: 64/Re, as far as we count flow as laminar (Re 2000); and Y. A. Cengel,
    J. M. Cimbala (2006), Example 8-2, a 3 mm pipe at Re 1777."""
    case = load("fric_02")
    rows = np.array([[re_, float(f)] for re_, f in case["rows"] if re_ <= 2000])
    smooth = np.zeros(len(rows))
    number, _ = friction_number(rows[:, 0], smooth, blend(smooth))
    np.testing.assert_allclose(number / rows[:, 0] ** 2, rows[:, 1], rtol=case["tolerance"]["relative"])

    given = case["example"]
    network = HeadNetwork(9.81, given["density"], given["dynamic_viscosity"] / given["density"])
    flow = given["V"] * math.pi / 4 * given["D"] ** 2
    network.fixed(outlet=0.0)
    network.free(inlet=-flow)
    network.pipe("line", "inlet", "outlet", given["L"], given["D"], 1e-6)
    loss = network.solve().loss("line")
    relative = case["tolerance"]["example_relative"]
    assert loss == approx(given["published"]["head_loss_m"], rel=relative)
    assert loss * 9.81 * given["density"] == approx(given["published"]["pressure_drop_Pa"], rel=relative)


def test_friction_factors_of_textbooks() -> None:
    """Friction factors printed by Crane, Munson, Cengel and White; the rows name example and tolerance."""
    for row in load("fric_03")["rows"]:
        factor, _ = colebrook(np.array(row["Re"]), np.array(row["eD"]))
        assert float(factor) == approx(row["f_published"], abs=row["tolerance"]), row["where"]


def test_handbook_table_of_steel_pipe() -> None:
    """J. B. Rishel, T. H. Durkin, B. L. Kincaid, HVAC Pump Handbook (2nd ed.), Table 3.5: water of 60 F,
    roughness 0.00015 ft, in feet per hundred feet."""
    case = load("fric_04")
    for row in case["rows"]:
        network = HeadNetwork(32.174 * FOOT, density=999.0, kinematic_viscosity=1.217e-5 * FOOT**2)
        network.fixed(outlet=0.0)
        network.free(inlet=-row["Q_US_gpm"] * US_GALLON_PER_MINUTE)
        network.pipe("line", "inlet", "outlet", 100 * FOOT, row["D_in"] * INCH, 0.00015 * FOOT)
        solved = network.solve()
        printed = row["hf_ft_per_100ft"]
        assert solved.loss("line") / FOOT == approx(printed, abs=max(0.01, 0.03 * printed)), row
        assert solved.velocity("line") / FOOT == approx(
            row["V_ft_per_s"], abs=case["tolerance"]["V_ft_per_s"]
        ), row
