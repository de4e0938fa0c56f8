# SPDX-License-Identifier: MIT
"""Fittings against TP-410, Hooper and Darby as published, and against the fluids library."""

import json
import math
from pathlib import Path

import numpy as np
import pytest
from fluids import fittings as library
from hypothesis import given
from hypothesis import strategies as st

from solver.errors import PartError
from solver.parts.fittings import (
    EXIT_K,
    FITTING_KINDS,
    METHODS,
    NOZZLE_ENTRANCE_K,
    fitting_loss,
    friction_factor_turbulent,
    method_used,
    nominal_inches,
    reducer,
)
from solver.parts.pipe_sizes import pipe_size
from solver.parts.valves import kv_to_k

REFERENCES = Path(__file__).parents[2] / "references"
BORES = st.floats(0.006, 0.45)

#: Our kind -> the name in TP-410's list of K factors (fit_02).
CRANE = {
    "elbow_90": "elbow_90_standard",
    "elbow_45": "elbow_45_standard",
    "return_bend": "close_return_bend",
    "tee_run": "tee_run",
    "tee_branch": "tee_branch",
    "gate_valve": "gate_valve",
    "ball_valve": "ball_valve_full_bore",
    "globe_valve": "globe_valve_full",
    "angle_valve": "angle_valve",
    "plug_valve": "plug_straightway",
    "swing_check": "swing_check_style1",
    "lift_check": "lift_check_globe",
    "foot_valve_poppet": "foot_valve_poppet",
    "foot_valve_hinged": "foot_valve_hinged",
}
#: Our kind -> r/d in TP-410's list of bends (fit_02).
CRANE_BENDS = {
    "elbow_90_flanged": 1.0,
    "elbow_90_long": 1.5,
    "bend_90_r2": 2.0,
    "bend_90_r3": 3.0,
    "bend_90_r4": 4.0,
    "bend_90_r6": 6.0,
    "bend_90_r8": 8.0,
    "bend_90_r10": 10.0,
}
#: Our kind -> Hooper's name (fit_04).
HOOPER = {
    "elbow_90": "elbow 90 standard R/D 1 screwed",
    "elbow_90_long": "elbow 90 long radius R/D 1.5 all",
    "elbow_90_flanged": "elbow 90 standard R/D 1 flanged or welded",
    "elbow_45": "elbow 45 standard all",
    "elbow_45_long": "elbow 45 long radius all",
    "mitre_90": "elbow 90 mitre 1 weld",
    "tee_run": "tee run through, screwed",
    "tee_branch": "tee used as elbow, standard screwed",
    "gate_valve": "gate, ball or plug valve full line size",
    "ball_valve": "gate, ball or plug valve full line size",
    "plug_valve": "gate, ball or plug valve full line size",
    "butterfly_valve": "butterfly valve",
    "globe_valve": "globe valve standard",
    "angle_valve": "angle or Y globe valve",
    "diaphragm_valve": "diaphragm valve dam type",
    "swing_check": "swing check",
    "lift_check": "lift check",
}
#: Our kind -> the library's name where fit_04 leaves Hooper's row out.
HOOPER_OF_LIBRARY = {
    "mitre_90_two": "Elbow, 90°, Mitered (R/D = 1.5), 2 weld (45° angle)",
    "mitre_45": "Elbow, 45°, Mitered (R/D=1.5), 1 weld (45° angle)",
}
#: Our kind -> Darby's name (fit_04, the library).
DARBY = {
    "elbow_90": "Elbow, 90°, threaded, standard, (r/D = 1)",
    "elbow_90_long": "Elbow, 90°, threaded, long radius, (r/D = 1.5)",
    "elbow_90_flanged": "Elbow, 90°, flanged, welded, bends, (r/D = 1)",
    "elbow_45": "Elbow, 45°, threaded standard, (r/D = 1)",
    "elbow_45_long": "Elbow, 45°, long radius, (r/D = 1.5)",
    "bend_90_r2": "Elbow, 90°, (r/D = 2)",
    "bend_90_r4": "Elbow, 90°, (r/D = 4)",
    "bend_90_r6": "Elbow, 90°, (r/D = 6)",
    "return_bend": "Elbow, 180°, threaded, close-return bend, (r/D = 1)",
    "mitre_90": "Elbow, 90°, mitered, 1 weld, (90°)",
    "mitre_90_two": "Elbow, 90°, 2 welds, (45°)",
    "mitre_45": "Elbow, 45°, mitered, 1 weld, (45°)",
    "tee_run": "Tee, Run-through, threaded, (r/D = 1)",
    "tee_branch": "Tee, Through-branch, (as elbow), threaded, (r/D = 1)",
    "gate_valve": "Valve, Gate valve, standard, β = 1",
    "ball_valve": "Valve, Ball valve, standard, β = 1",
    "globe_valve": "Valve, Globe valve, standard, β = 1",
    "angle_valve": "Valve, Angle valve, 90°, full line size, β = 1",
    "plug_valve": "Valve, Plug valve, straight through",
    "diaphragm_valve": "Valve, Diaphragm, dam type",
    "swing_check": "Valve, Swing check",
    "lift_check": "Valve, Lift check",
}


def reference(name: str) -> dict:
    return json.loads((REFERENCES / f"{name}.json").read_text(encoding="utf-8"))


def crane_n(kind: str) -> float:
    constant, by_reynolds = fitting_loss(kind, "crane", 0.02)
    assert by_reynolds == 0.0
    return constant / library.ft_Crane(0.02)


@pytest.mark.reference
@pytest.mark.parametrize("kind", CRANE)
def test_crane_factors_are_those_of_tp_410(kind):
    # Source: fit_02, TP-410 appendix A; some of its values are recalled, as the table's notes say.
    assert crane_n(kind) == pytest.approx(reference("fit_02_crane")["n_times_fT"][CRANE[kind]], rel=1e-12)


@pytest.mark.reference
@pytest.mark.parametrize("kind", CRANE_BENDS)
def test_bends_are_those_of_tp_410(kind):
    # Source: fit_02, TP-410 A-30, 90 degree pipe bends.
    bends = reference("fit_02_crane")["bend_r_over_d"]
    wanted = bends["n"][bends["r_over_d"].index(CRANE_BENDS[kind])]
    assert crane_n(kind) == pytest.approx(wanted, rel=1e-12)


@pytest.mark.reference
def test_bends_of_45_degrees_follow_the_rule_for_other_angles():
    # Source: TP-410 A-30: K_B = (n - 1)(0.25 pi fT r/d + 0.5 K) + K, here half of a 90 degree bend.
    for kind, ratio, n_90 in (("elbow_45_long", 1.5, 14.0), ("bend_45_r4", 4.0, 14.0)):
        wanted = (0.5 - 1.0) * (0.25 * math.pi * ratio + 0.5 * n_90) + n_90
        assert crane_n(kind) == pytest.approx(wanted, abs=0.005)


@pytest.mark.reference
def test_butterfly_valves_by_size():
    # Source: fit_02, TP-410 A-28; the library for what it leaves out.
    factors = reference("fit_02_crane")["n_times_fT"]
    for bore, n in (
        (0.1, factors["butterfly_2_to_8_in"]),
        (0.3, factors["butterfly_10_to_14_in"]),
        (0.4, 25),
    ):
        found, _ = fitting_loss("butterfly_valve", "crane", bore)
        assert found == pytest.approx(n * library.ft_Crane(bore), rel=1e-12)
        assert found == pytest.approx(library.K_butterfly_valve_Crane(bore), rel=1e-12)


@pytest.mark.reference
@given(bore=BORES)
def test_valves_and_mitres_are_the_librarys(bore):
    wanted = {
        "gate_valve": library.K_gate_valve_Crane(bore, bore, 0.0),
        "ball_valve": library.K_ball_valve_Crane(bore, bore, 0.0),
        "globe_valve": library.K_globe_valve_Crane(bore, bore),
        "angle_valve": library.K_angle_valve_Crane(bore, bore, style=1),
        "plug_valve": library.K_plug_valve_Crane(bore, bore, 0.0),
        "diaphragm_valve": library.K_diaphragm_valve_Crane(bore, style=0),
        "swing_check": library.K_swing_check_valve_Crane(bore, angled=True),
        "lift_check": library.K_lift_check_valve_Crane(bore, bore, angled=False),
        "foot_valve_poppet": library.K_foot_valve_Crane(bore, style=0),
        "foot_valve_hinged": library.K_foot_valve_Crane(bore, style=1),
        "mitre_90": library.bend_miter(90.0, Di=bore, method="Crane"),
        "mitre_45": library.bend_miter(45.0, Di=bore, method="Crane"),
        "mitre_90_two": 2 * library.bend_miter(45.0, Di=bore, method="Crane"),
    }
    for kind, k in wanted.items():
        assert fitting_loss(kind, "crane", bore)[0] == pytest.approx(k, rel=1e-12), kind


@pytest.mark.reference
def test_entrances_and_exits():
    # Source: fit_02, TP-410 A-29.
    data = reference("fit_02_crane")
    assert NOZZLE_ENTRANCE_K == data["entrance"]["flush_sharp"] == library.entrance_sharp(method="Crane")
    assert EXIT_K == data["exit"] == library.exit_normal()
    for method in METHODS:
        assert fitting_loss("entrance_sharp", method, 0.02) == (NOZZLE_ENTRANCE_K, 0.0)
        assert fitting_loss("exit", method, 0.02) == (EXIT_K, 0.0)
        assert fitting_loss("entrance_inward", method, 0.02)[0] == data["entrance"]["inward_projecting"]
        assert fitting_loss("entrance_rounded", method, 0.02)[0] == data["entrance"]["r_over_d"]["0.1"]


@pytest.mark.reference
def test_turbulent_friction_factor_is_the_printed_one():
    # Source: fit_02, TP-410 A-26: fT by nominal size, rounded to 0.001.
    data = reference("fit_02_crane")
    for size, wanted in data["fT_table_clean_steel_by_nps"].items():
        bore = pipe_size("steel_40", size).bore_mm * 1e-3
        assert friction_factor_turbulent(bore) == pytest.approx(wanted, abs=data["tolerance"]["fT"])
        assert friction_factor_turbulent(bore) == pytest.approx(data["fT_rule_values"][size], abs=0.0006)


@pytest.mark.reference
@given(bore=st.floats(0.004, 0.6))
def test_turbulent_friction_factor_is_the_librarys(bore):
    found = friction_factor_turbulent(bore)
    assert found == pytest.approx(library.ft_Crane(bore), rel=1e-13)
    assert friction_factor_turbulent(np.array([[bore, 0.05]]))[0, 0] == pytest.approx(found, rel=1e-15)


@pytest.mark.reference
@pytest.mark.parametrize("kind", HOOPER)
def test_hoopers_constants(kind):
    # Source: fit_04, Hooper 1981 table 1.
    row = reference("fit_04_hooper_darby")["hooper"][HOOPER[kind]]
    assert FITTING_KINDS[kind].hooper == (row["K1"], row["Kinf"])


@pytest.mark.reference
@pytest.mark.parametrize("kind", HOOPER_OF_LIBRARY)
def test_hoopers_constants_of_mitres(kind):
    assert FITTING_KINDS[kind].hooper == library.Hooper[HOOPER_OF_LIBRARY[kind]]


@pytest.mark.reference
@pytest.mark.parametrize("kind", DARBY)
def test_darbys_constants(kind):
    # Source: fit_04, Darby 2001 table 7-3.
    row = reference("fit_04_hooper_darby")["darby"][DARBY[kind]]
    assert FITTING_KINDS[kind].darby == (row["K1"], row["Ki"], row["Kd_inch_0p3"])


def test_no_constant_stands_unchecked():
    for kind, fitting in FITTING_KINDS.items():
        assert (fitting.hooper is None) == (kind not in HOOPER and kind not in HOOPER_OF_LIBRARY)
        assert (fitting.darby is None) == (kind not in DARBY)


@pytest.mark.reference
@pytest.mark.parametrize("row", reference("fit_04_hooper_darby")["check_values"], ids=str)
def test_hoopers_and_darbys_check_values(row):
    # Source: fit_04, K worked out from the constants at given sizes and Reynolds numbers.
    if row["method"] == "Hooper 2-K":
        kind = next(kind for kind, name in HOOPER.items() if name == row["fitting"])
        method, bore = "hooper", row["ID_mm"] * 1e-3
    else:
        kind = next(kind for kind, name in DARBY.items() if name == row["fitting"])
        method, bore = "darby", pipe_size("steel_40", f"{row['NPS_in']:g}").bore_mm * 1e-3
    constant, by_reynolds = fitting_loss(kind, method, bore)
    assert constant + by_reynolds / row["Re"] == pytest.approx(row["K"], rel=1e-9)


@pytest.mark.reference
@pytest.mark.parametrize("kind", ["elbow_90", "elbow_45_long", "gate_valve", "tee_branch"])
@given(bore=BORES, reynolds=st.floats(10, 1e6))
def test_hooper_and_darby_are_the_librarys(kind, bore, reynolds):
    constant, by_reynolds = fitting_loss(kind, "darby", bore)
    wanted = library.Darby3K(Di=bore, Re=reynolds, name=DARBY[kind])
    assert constant + by_reynolds / reynolds == pytest.approx(wanted, rel=1e-12)
    constant, by_reynolds = fitting_loss(kind, "hooper", bore)
    wanted = library.Hooper2K(
        bore / 0.0254, reynolds, K1=FITTING_KINDS[kind].hooper[0], Kinfty=FITTING_KINDS[kind].hooper[1]
    )
    assert constant + by_reynolds / reynolds == pytest.approx(wanted, rel=1e-12)


def test_a_method_without_constants_takes_cranes():
    crane = fitting_loss("bend_90_r8", "crane", 0.02)
    assert fitting_loss("bend_90_r8", "hooper", 0.02) == crane
    assert fitting_loss("bend_90_r8", "darby", 0.02) == crane
    assert [method_used("bend_90_r8", method) for method in METHODS] == ["crane"] * 3
    assert [method_used("elbow_90", method) for method in METHODS] == list(METHODS)
    assert [method_used("exit", method) for method in METHODS] == ["fixed"] * 3
    assert [method_used("bend_90_r4", method) for method in METHODS] == ["crane", "crane", "darby"]


@pytest.mark.parametrize("kind", FITTING_KINDS)
@pytest.mark.parametrize("method", METHODS)
def test_every_fitting_has_a_loss_at_every_bore(kind, method):
    for bore in (0.006, 0.02, 0.41):
        constant, by_reynolds = fitting_loss(kind, method, bore)
        assert 0.0 < constant < 60.0
        assert 0.0 <= by_reynolds <= 2000.0
    assert FITTING_KINDS[kind].kind == kind
    assert FITTING_KINDS[kind].name
    assert FITTING_KINDS[kind].group in ("bend", "joint", "tee", "valve", "end")


def test_nominal_size_of_a_bore():
    assert nominal_inches(0.02664) == pytest.approx(1.0)
    assert nominal_inches((0.02664 + 0.03508) / 2) == pytest.approx(1.125)
    assert 0.05 < nominal_inches(0.006) < 0.125
    assert nominal_inches(0.5) > 20.0


@pytest.mark.reference
@given(bore_1=BORES, bore_2=BORES, angle=st.floats(5, 180))
def test_changes_of_size_are_the_librarys(bore_1, bore_2, angle):
    forward, reverse = reducer(bore_1, bore_2, angle)
    small, large = sorted((bore_1, bore_2))
    narrowing = library.contraction_conical_Crane(large, small, angle=angle)
    widening = library.diffuser_conical_Crane(small, large, angle=angle)
    wanted = (narrowing, widening) if bore_1 > bore_2 else (widening, narrowing)
    assert (forward, reverse) == pytest.approx(wanted, rel=1e-9, abs=1e-15)


@pytest.mark.reference
def test_sudden_changes_of_size():
    # Source: fit_02, TP-410 chapter 2: on the small pipe, (1 - b**2)**2 and 0.5 (1 - b**2).
    b = 0.6
    assert reducer(0.03, 0.05) == pytest.approx(((1 - b**2) ** 2, 0.5 * (1 - b**2)), rel=1e-12)
    assert reducer(0.05, 0.03) == pytest.approx((0.5 * (1 - b**2), (1 - b**2) ** 2), rel=1e-12)
    assert reducer(0.05, 0.05) == (0.0, 0.0)
    assert reducer(0.03, 0.05)[0] == pytest.approx(library.diffuser_sharp(0.03, 0.05), rel=1e-12)


@pytest.mark.reference
def test_k_of_a_kv():
    # Source: fit_01, from the definitions of Kv and K; the last row TP-410M example 7-2.
    data = reference("fit_01_kv_cv_k")
    for row in data["examples"]:
        assert kv_to_k(row["Kv"], row["D_m"]) == pytest.approx(row["K"], rel=1e-6)
    crane = data["published"]["crane_7_2"]
    assert kv_to_k(crane["Kv"], crane["D_m"]) == pytest.approx(crane["K"], rel=2e-3)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("elbow90", "crane", 0.02), ['"elbow90"', "elbow_90?", "exit"]),
        (("elbow_90", "cranes", 0.02), ['"cranes"', "one of crane, hooper, darby"]),
        (("elbow_90", "crane", 0.0), ["elbow_90", "0 m", "above 0"]),
        (("elbow_90", "crane", math.nan), ["elbow_90", "nan m", "above 0"]),
    ],
)
def test_bad_fittings_are_refused(arguments, words):
    with pytest.raises(PartError) as refused:
        fitting_loss(*arguments)
    for word in words:
        assert word in str(refused.value)


def test_a_method_of_an_unknown_fitting_is_refused():
    with pytest.raises(PartError, match="elbow_90"):
        method_used("elbow90", "crane")
