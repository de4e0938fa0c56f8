# SPDX-License-Identifier: MIT
"""The rooms of the sample vessels suit their equipment and the rules of the trade."""

from __future__ import annotations

import pytest

from solver.heat.day import day_loads
from solver.heat.estimate import estimate
from solver.vessel.components import AirHandler, Chiller
from solver.vessel.samples import SAMPLES, ship
from solver.vessel.vessel import Vessel

VESSELS = [make() for make in SAMPLES.values()] + [ship(60)]


@pytest.mark.parametrize("vessel", VESSELS, ids=lambda vessel: vessel.name)
def test_air_handlers_and_chillers_suit_the_loads(vessel: Vessel) -> None:
    day = day_loads(vessel)
    assert not day.estimated.any()
    place = {tag: index for index, tag in enumerate(day.tags)}
    for handler in vessel.components:
        if isinstance(handler, AirHandler):
            (tag,) = handler.cabins
            total, sensible = day.peak_W[place[tag]], day.peak_sensible_W[place[tag]]
            assert 0.65 < total / (1000.0 * handler.capacity_total_kW) < 1.05, handler.tag
            assert 0.5 < sensible / (1000.0 * handler.capacity_sensible_kW) < 1.0, handler.tag
    chillers = sum(part.capacity_kW for part in vessel.components if isinstance(part, Chiller))
    assert 0.8 < day.block_load_W / (1000.0 * chillers) < 1.02
    assert day.block_load_W < day.sum_of_peaks_W


@pytest.mark.parametrize("vessel", VESSELS, ids=lambda vessel: vessel.name)
def test_loads_lie_about_the_rule_of_thumb(vessel: Vessel) -> None:
    day = day_loads(vessel)
    for index, cabin in enumerate(vessel.cabins):
        rule = estimate(vessel, cabin)
        assert rule.area_known == "typed"
        assert 0.4 * rule.low_W < day.peak_W[index] < 1.2 * rule.high_W
