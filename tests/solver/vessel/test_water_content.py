# SPDX-License-Identifier: MIT
"""Water in the parts of a vessel and in the loops of its chillers."""

import math

import msgspec
import pytest

from solver.vessel.components import BufferTank, Chiller, ExpansionVessel, FlexibleHose
from solver.vessel.samples import SAMPLES
from solver.vessel.vessel import Vessel
from solver.vessel.water_content import (
    least_loop_volume_L,
    loop_volumes_L,
    most_starts_h,
    run_content_L,
    water_content_L,
)
from tests.solver.small_vessels import sound_vessel


@pytest.mark.reference
def test_pipes_hold_their_bore_by_their_length():
    # Source: EN 1057, 22 x 1 copper tube: bore 20 mm, 0.314 L/m.
    run = sound_vessel().run_by_tag["R-19"]
    assert (run.size, run.length_m) == ("22x1.0", 2.0)
    assert run_content_L(run) == pytest.approx(2 * 0.314, rel=1e-3)


@pytest.mark.reference
def test_the_rule_of_the_trade():
    # Common practice for machines that start and stop: 5 min at 2 K, 36 L/kW (33 US gal a ton).
    assert least_loop_volume_L(1.0, 5.0, 2.0) == pytest.approx(36.0, rel=0.01)
    assert least_loop_volume_L(3.517, 5.0, 2.0) / 3.7854 == pytest.approx(33.0, rel=0.02)


def test_starts_and_volume_are_two_sides_of_one_sum():
    # At half load a stage runs as long as it stands: with the least volume for t minutes, twice t.
    volume = least_loop_volume_L(8.0, 5.0, 2.0)
    assert most_starts_h(8.0, volume, 2.0) == pytest.approx(60.0 / (4 * 5.0))


def test_a_hose_a_tank_and_what_is_left_out():
    vessel = Vessel(
        name="Tern",
        components=(
            FlexibleHose(tag="FH-1", bore_mm=25.0, length_m=2.0),
            BufferTank(tag="BT-1", volume_L=80.0),
            ExpansionVessel(tag="EV-1", volume_L=18.0),
        ),
    )
    content = water_content_L(vessel)
    assert content == {"FH-1": pytest.approx(math.pi / 4 * 0.25**2 * 20.0), "BT-1": 80.0}


def test_a_loop_is_all_that_hangs_together():
    vessel = sound_vessel()
    content = water_content_L(vessel)
    sea = sum(
        content.get(tag, 0.0)
        for tag in (*(run.tag for run in vessel.runs if run.service == "sea"), "CH-1:sea", "ST-90")
    )
    assert loop_volumes_L(vessel) == {"CH-1": pytest.approx(sum(content.values()) - sea)}


def test_chillers_of_one_loop_share_it_and_one_without_pipes_has_none():
    vessel = SAMPLES["motor_yacht_27m"]()
    volumes = loop_volumes_L(vessel)
    assert volumes["CH-1"] == volumes["CH-2"] > 100.0
    spare = Chiller(tag="CH-9", capacity_kW=5.0, design_flow_L_s=0.3, rated_flow_L_s=0.3, rated_drop_kPa=20.0)
    more = msgspec.structs.replace(vessel, components=(*vessel.components, spare))
    assert loop_volumes_L(more) == volumes
