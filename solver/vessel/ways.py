# SPDX-License-Identifier: MIT
"""Which ports of a component water passes between, and which of them are one point.

A way is a link of the network: it has a loss (or a pump's rise) and carries a flow.  Ports without
a loss between them are one point and share one pressure; the nozzles of a manifold or buffer tank
count with the runs at them.
"""

from __future__ import annotations

from typing import NamedTuple

from solver.vessel.components import (
    AirHandler,
    AirSeparator,
    AirVent,
    BufferTank,
    CheckValve,
    Chiller,
    CirculationPump,
    Component,
    ConstantFlowValve,
    DifferentialBypass,
    Drain,
    FlexibleHose,
    FlowMeter,
    IsolatingValve,
    Manifold,
    PressureGauge,
    RegulatingValve,
    SeaWaterPump,
    Strainer,
    Tee,
    TemperatureGauge,
    ThreeWayValve,
    TwoWayValve,
)


class Way(NamedTuple):
    """A way through a component; positive flow goes from ``start`` to ``end``.

    The component's tag with ``suffix`` behind it is the tag of the link: ``CH-1``, ``CH-1:sea``.
    """

    suffix: str
    start: str
    end: str


_IN_LINE = (Way("", "inlet", "outlet"),)

_WAYS: dict[type[Component], tuple[Way, ...]] = {
    **dict.fromkeys(
        (
            CirculationPump,
            SeaWaterPump,
            IsolatingValve,
            RegulatingValve,
            CheckValve,
            TwoWayValve,
            DifferentialBypass,
            ConstantFlowValve,
            Strainer,
            AirSeparator,
            FlexibleHose,
        ),
        _IN_LINE,
    ),
    AirHandler: (Way("", "water_in", "water_out"),),
    Chiller: (Way("", "water_in", "water_out"), Way(":sea", "sea_in", "sea_out")),
    ThreeWayValve: (Way(":through", "common", "through"), Way(":bypass", "common", "bypass")),
}

#: Kinds whose ports are all one point.
_ONE_POINT = frozenset((Tee, Manifold, AirVent, BufferTank, Drain, PressureGauge, TemperatureGauge))


def ways(component: Component) -> tuple[Way, ...]:
    """Return the ways through a component; empty if it has none."""
    if type(component) is FlowMeter:
        return () if component.kv_m3_h is None else _IN_LINE
    return _WAYS.get(type(component), ())


def one_point(component: Component) -> tuple[str, ...]:
    """Return the ports that are one point, empty if no two of them are."""
    if type(component) in _ONE_POINT or (type(component) is FlowMeter and component.kv_m3_h is None):
        return component.ports
    return ()
