# SPDX-License-Identifier: MIT
"""Scenarios and typed changes become changes of the vessel, or are refused with what is known."""

import argparse

import msgspec
import pytest

from app.command_line.console import UsageError
from app.command_line.reading import changes_of
from solver.change import Change
from solver.vessel.components import Chiller, CirculationPump, PumpPoint, Strainer
from solver.vessel.run import End, Run
from solver.vessel.vessel import Scenario, Vessel

_CURVE = tuple(PumpPoint(flow, head) for flow, head in ((0.0, 9.0), (0.5, 8.0), (1.0, 5.0)))
_VESSEL = Vessel(
    name="Tern",
    components=(
        CirculationPump(tag="P-1", curve=_CURVE),
        Strainer(tag="STR 1.a", kv_m3_h=20.0),
    ),
    runs=(
        Run(
            tag="R-31",
            start=End("P-1", "outlet"),
            end=End("STR 1.a", "inlet"),
            series="copper_en1057_thin",
            size="22x0.9",
            length_m=10.0,
        ),
    ),
    scenarios=(Scenario("Pump slow", (Change("P-1", "speed_percent", 70.0),)), Scenario("As it is")),
)


_US_VESSEL = msgspec.structs.replace(_VESSEL, units="us")


def _asked(*changes: str, scenario: str | None = None) -> argparse.Namespace:
    return argparse.Namespace(change=list(changes), scenario=scenario)


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("P-1.speed_percent=80", Change("P-1", "speed_percent", 80.0)),
        ("P-1.speed_percent = 80 %", Change("P-1", "speed_percent", 80.0)),
        ("P-1.running=off", Change("P-1", "running", "false")),
        ("P-1.running=1", Change("P-1", "running", "true")),
        ("R-31.length_m=12", Change("R-31", "length_m", 12.0)),
        ("R-31.length_m=1200 cm", Change("R-31", "length_m", 12.0)),
        ("R-31.length_m*=1.15", Change("R-31", "length_m", 1.15, "scale")),
        ("R-31.length_m+=2", Change("R-31", "length_m", 2.0, "add")),
        ("R-31.size=28x0.9", Change("R-31", "size", "28x0.9")),
        ("R-31.size+=1", Change("R-31", "size", 1.0, "add")),
        ("STR 1.a.clogging_percent=60", Change("STR 1.a", "clogging_percent", 60.0)),
    ],
)
def test_a_typed_change_is_read(typed: str, expected: Change) -> None:
    assert changes_of(_VESSEL, _asked(typed)) == (expected,)


def test_numbers_without_unit_are_in_the_units_shown() -> None:
    (change,) = changes_of(_US_VESSEL, _asked("R-31.length_m=10"))
    assert change.value == pytest.approx(3.048)


def test_degrees_added_are_a_difference() -> None:
    chiller = Chiller(
        tag="CH-1", capacity_kW=14.0, design_flow_L_s=0.6, rated_flow_L_s=0.6, rated_drop_kPa=20.0
    )
    (change,) = changes_of(
        Vessel(name="Tern", units="us", components=(chiller,)), _asked("CH-1.set_point_C+=9")
    )
    assert change == Change("CH-1", "set_point_C", pytest.approx(5.0), "add")


def test_the_scenario_comes_before_what_is_typed() -> None:
    found = changes_of(_VESSEL, _asked("P-1.speed_percent=80", scenario="Pump slow"))
    assert [change.value for change in found] == [70.0, 80.0]


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("P-1", "--change P-1: TAG.QUANTITY=VALUE is expected, such as P-1.speed_percent=80"),
        ("P-1=80", "--change P-1=80: TAG.QUANTITY=VALUE is expected"),
        ("P-2.speed_percent=80", "P-1?"),
        ("P-1.sped_percent=80", "P-1 has no quantity sped_percent; near it: speed_percent"),
        ("P-1.tag=80", "P-1 has no quantity tag"),
        ("P-1.speed_percent=fast", "'fast' is not understood; a share is expected here, such as 25 %"),
        ("R-31.length_m=3 bar", "3 bar is a pressure; a length is expected here"),
        ("R-31.length_m*=1.15 m", "1.15 m is a length; a number is expected here"),
        ("R-31.length_m=", "a length is missing, such as 3.5 m"),
    ],
)
def test_a_change_that_makes_no_sense_is_refused(typed: str, told: str) -> None:
    with pytest.raises(UsageError) as caught:
        changes_of(_VESSEL, _asked(typed))
    assert told in str(caught.value)


def test_an_unknown_scenario_is_refused_with_those_known() -> None:
    with pytest.raises(UsageError, match="Tern has no scenario Pump slwo; near it: Pump slow"):
        changes_of(_VESSEL, _asked(scenario="Pump slwo"))
    with pytest.raises(UsageError, match="there are: Pump slow, As it is"):
        changes_of(_VESSEL, _asked(scenario="?"))
    with pytest.raises(UsageError, match="it has none"):
        changes_of(Vessel(name="Tern"), _asked(scenario="?"))
