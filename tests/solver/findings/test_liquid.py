# SPDX-License-Identifier: MIT
"""Glycol shares, poison and frost."""

from __future__ import annotations

import pytest

from solver.vessel.vessel import LoopLiquid
from tests.solver.findings.judged import only, told
from tests.solver.small_vessels import changed, sound_vessel


def glycol(share: float, kind: str = "propylene_glycol", set_point_C: float = 7.0):
    """Return the sound vessel with glycol and a chiller's set point."""
    vessel = changed(sound_vessel(), "CH-1", set_point_C=set_point_C)
    return type(vessel)(
        **{name: getattr(vessel, name) for name in vessel.__struct_fields__}
        | {"loop_liquid": LoopLiquid(kind=kind, share_percent=share)}  # type: ignore[arg-type]
    )


@pytest.mark.parametrize(
    ("share", "weak", "strong"), [(0, 0, 0), (1, 1, 0), (24, 1, 0), (25, 0, 0), (40, 0, 0), (41, 0, 1)]
)
def test_shares_from_25_to_40_percent_pass(share: float, weak: int, strong: int) -> None:
    assert len(told("glycol_too_weak", glycol(share))) == weak
    assert len(told("glycol_too_strong", glycol(share))) == strong


def test_only_ethylene_glycol_is_called_poisonous() -> None:
    assert told("ethylene_glycol", glycol(30, "ethylene_glycol"))
    assert not told("ethylene_glycol", glycol(30))
    assert not told("ethylene_glycol", glycol(0, "ethylene_glycol"))


@pytest.mark.parametrize(("set_point_C", "severity"), [(7.0, None), (5.0, None), (4.0, "warn"), (0.5, "bad")])
def test_frost_in_water(set_point_C: float, severity: str | None) -> None:
    found = told("frost_in_evaporator", glycol(0, set_point_C=set_point_C))
    assert [one.severity for one in found] == ([severity] if severity else [])


def test_glycol_moves_the_frost_limit() -> None:
    # 25 % by volume is 25.7 % by mass and freezes at about -10.5 degC (Melinder 2010).
    assert not told("frost_in_evaporator", glycol(25, set_point_C=-3.0))
    finding = only("frost_in_evaporator", glycol(25, set_point_C=-7.0))
    assert finding.tags == ("CH-1",)
    freezing = float(finding.problem.split("freezes at ")[1].split()[0])
    assert freezing == pytest.approx(-10.5, abs=1.0)
