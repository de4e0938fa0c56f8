# SPDX-License-Identifier: MIT
"""Chillers with their pumps, and the headers that join them to the risers of a ship's zones."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt
from typing import Any, NamedTuple

from solver.vessel.components import (
    AirSeparator,
    CheckValve,
    Chiller,
    CirculationPump,
    ExpansionVessel,
    IsolatingValve,
    PressureGauge,
    Strainer,
)
from solver.vessel.run import End
from solver.vessel.samples.equipment import FLOW_PER_KW, chiller, pump_curve
from solver.vessel.samples.plan import Pipe, Plan, Stop
from solver.vessel.samples.ship_corridor import FOAM, SCALE
from solver.vessel.samples.sizing import SizeRule, bore_of

HEADERS = SizeRule("stainless_10s", loss_max_Pa_m=80.0, velocity_max_m_s=1.3, smallest_bore_mm=26.0)
_UNIT_RULE = SizeRule("stainless_10s", loss_max_Pa_m=150.0, velocity_max_m_s=1.3, smallest_bore_mm=17.0)
_SMALL = Pipe("stainless_10s", "3/4", "return", "plant room", FOAM)

#: From unit to unit, and from a chiller's centre to its rise to and its drop from the headers.
UNIT_STEP = 540.0
RISE, DROP = 90.0, 460.0
HEADER_STEP = 40.0
_TO_CHILLER = 160.0

#: What chiller, strainer, air separator, check valve and pipes of a unit take at design flow.
CHILLER_DROP_KPA, _PART_DROP_KPA = 30.0, 4.0
UNIT_DROP_KPA = CHILLER_DROP_KPA + 3 * _PART_DROP_KPA + 5.0
#: Chillers cover this share of the air handlers' capacities (common practice).
_DIVERSITY = 0.85
_SMALL_BORE_MM, _SMALL_FLOW_L_S = 50.0, 2.0


class Unit(NamedTuple):
    """A chiller with its pump to come; ``header_y`` is where the supply header runs."""

    number: int
    x: float
    header_y: float
    flow_L_s: float
    head_m: float


class Joint(NamedTuple):
    """Where a pipe meets a header; ``flow_L_s`` is above 0 from a chiller, below 0 to a riser."""

    x: float
    side: str
    flow_L_s: float


def put_header(
    plan: Plan, y: float, service: str, joints: Sequence[Joint], right: End
) -> dict[float, tuple[End, float]]:
    """Put a header down; return the port to join at the place of each joint, and how far off it is [m].

    The joint on the left has no tee: the header ends there in its bend.  ``right`` is the part at
    the other end.
    """
    first, *others = sorted(joints)
    tees = {joint.x: plan.tee(joint.x, y, joint.side) for joint in others}
    found = {joint.x: (plan.facing(tees[joint.x], joint.side), 0.0) for joint in others}
    found[first.x] = plan.facing(tees[others[0].x], "left"), (others[0].x - first.x) * SCALE
    plan.string(_SMALL._replace(service=service), [plan.facing(tees[others[-1].x], "right"), right], 0.6)
    carried = first.flow_L_s
    least = 0.3 * max(abs(joint.flow_L_s) for joint in joints)
    for joint, after in zip(others, others[1:], strict=False):
        carried += joint.flow_L_s
        pipe = Pipe(HEADERS.series, HEADERS.size(max(abs(carried), least)), service, "tank deck", FOAM)
        ends = [plan.facing(tees[joint.x], "right"), plan.facing(tees[after.x], "left")]
        # Supply flows away from where more comes in; return the other way.
        forward = (carried >= 0.0) == (service == "supply")
        plan.string(pipe, ends if forward else ends[::-1], max(0.5, (after.x - joint.x) * SCALE))
    return found


def put_unit(plan: Plan, unit: Unit, supply: End, back: End, expansion: dict[str, Any] | None) -> None:
    """Put a chiller and its pump down below the headers, between its two joints.

    ``expansion`` are the fields of an expansion vessel at the pump's suction, None without one.
    """
    number, x, flow = unit.number, unit.x, unit.flow_L_s
    y = unit.header_y + HEADER_STEP + _TO_CHILLER
    out, line = y - 20.0, y + 20.0
    size = _UNIT_RULE.size(flow)
    pipe = Pipe(_UNIT_RULE.series, size, "supply", "plant room", FOAM)
    style = "ball" if bore_of(_UNIT_RULE.series, size) < _SMALL_BORE_MM else "butterfly"
    kv = round(flow * 3.6 / sqrt(_PART_DROP_KPA / 100.0), 1)
    capacity = round(_DIVERSITY * flow / FLOW_PER_KW, 1)
    fields = chiller(capacity, round(flow, 3), CHILLER_DROP_KPA, round(1.25 * flow, 3), 30.0)
    plan.put(Chiller, f"CH-{number}", x, y, name=f"Chiller {number}", **fields)
    plan.put(IsolatingValve, f"IV-C{number}1", x + RISE, out - 50, "up", style=style)
    plan.put(IsolatingValve, f"IV-C{number}2", x + 110, line, "left", style=style)
    plan.put(CheckValve, f"CK-{number}", x + 160, line, "left", kv_m3_h=kv, cracking_kPa=0.5)
    curve = pump_curve(flow, unit.head_m, 45.0 if flow < _SMALL_FLOW_L_S else 65.0, 2.0)
    name = f"Circulation pump {number}"
    plan.put(CirculationPump, f"P-{number}", x + 230, line, "left", name=name, curve=curve)
    plan.put(PressureGauge, f"PI-{number}", x + 280, line)
    plan.put(Strainer, f"ST-{number}", x + 320, line, "left", kv_m3_h=kv)
    plan.put(AirSeparator, f"AS-{number}", x + 370, line, "left", kv_m3_h=kv)
    plan.put(IsolatingValve, f"IV-C{number}3", x + DROP, line - 80, "down", style=style)
    stops: list[Stop] = [End(f"CH-{number}", "water_out"), f"IV-C{number}1", supply]
    plan.string(pipe, stops, 4.0, elbows=1)
    stops = [back, f"IV-C{number}3"]
    if expansion is not None:
        tee = plan.tee(x + 420, line, "up")
        plan.put(ExpansionVessel, "EV-1", x + 420, line - 50, **expansion)
        plan.string(_SMALL, [plan.facing(tee, "up"), plan.facing("EV-1", "down")], 0.5)
        stops.append(plan.across(tee, "right", "left"))
    stops += [f"AS-{number}", f"ST-{number}", f"PI-{number}", f"P-{number}", f"CK-{number}"]
    stops += [f"IV-C{number}2", End(f"CH-{number}", "water_in")]
    plan.string(pipe._replace(service="return"), stops, 6.0, elbows=1)
