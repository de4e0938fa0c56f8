# SPDX-License-Identifier: MIT
"""A drawing with unfinished circuits: what can be solved is solved, the rest is told."""

from __future__ import annotations

import random

import pytest

from solver.errors import NotSolvableError
from solver.findings import findings
from solver.solve import solve
from solver.vessel.edits import remove
from solver.vessel.vessel import Vessel
from tests.solver.small_vessels import sound_vessel

#: The sea side of the sound vessel.
SEA = ("TH-1", "V-90", "ST-90", "SP-1", "OB-1")


@pytest.fixture(scope="module")
def vessel() -> Vessel:
    return sound_vessel()


def test_a_loop_that_can_be_solved_is_solved_beside_one_that_cannot(vessel: Vessel) -> None:
    whole = solve(vessel)
    # A sea side of a pump and a strainer only: nothing holds its pressure yet.
    begun = remove(vessel, ("TH-1", "OB-1"))
    with pytest.raises(NotSolvableError):
        solve(begun)
    results = solve(begun, partial=True)
    assert results.vessel is begun
    assert [one.rule for one in results.left_out] == ["not_solved"]
    assert "SP-1" in results.left_out[0].problem
    assert "SP-1" in results.left_out[0].tags
    for tag, figures in whole.air_handlers.items():
        assert results.air_handlers[tag].flow_L_s == pytest.approx(figures.flow_L_s, rel=1e-9)
    assert "SP-1" not in results.pumps
    assert "SP-1" not in results.links
    assert results.port_kPa[("SP-1", "outlet")] is None
    assert results.index_circuit is not None


def test_what_is_left_out_is_told_first_and_in_any_units(vessel: Vessel) -> None:
    results = solve(remove(vessel, ("EV-1",)), partial=True)
    assert results.findings[0].rule == "not_solved"
    assert "no expansion vessel" in results.findings[0].problem
    assert results.air_handlers == {}
    assert findings(results.vessel, results) == results.findings


def test_nothing_that_can_be_solved_is_refused_as_before(vessel: Vessel) -> None:
    alone = remove(vessel, SEA)
    broken = remove(alone, ("EV-1",))
    with pytest.raises(NotSolvableError, match="no pressure reference"):
        solve(broken, partial=True)
    with pytest.raises(NotSolvableError, match="no runs"):
        solve(Vessel(name="Empty"), partial=True)


def test_a_whole_vessel_is_solved_as_ever(vessel: Vessel) -> None:
    results = solve(vessel, partial=True)
    assert results.part is None
    assert results.left_out == ()


@pytest.mark.parametrize("seed", range(12))
def test_any_beginning_of_a_drawing_is_solved_or_refused_in_words(vessel: Vessel, seed: int) -> None:
    chance = random.Random(seed)
    tags = [part.tag for part in vessel.components]
    begun = remove(vessel, tuple(chance.sample(tags, chance.randint(1, 8))))
    try:
        results = solve(begun, partial=True)
    except NotSolvableError as refusal:
        assert refusal.reason
        return
    left = {tag for finding in results.left_out for tag in finding.tags}
    assert not left & results.links.keys() - {"CH-1"}
    for finding in results.findings:
        assert set(finding.tags) <= {*begun.component_by_tag, *begun.run_by_tag}
