# SPDX-License-Identifier: MIT
"""Newton's recorded steps: they lead to the answer, and recording them changes nothing."""

from __future__ import annotations

import numpy as np
import pytest

from solver.network.compiled import CompiledNetwork
from solver.network.newton import NewtonStep, newton
from solver.solve import compiled_vessel, newton_table, solve
from tests.app.small_loop import small_loop
from tests.solver.small_vessels import sound_vessel


@pytest.fixture
def compiled() -> CompiledNetwork:
    return compiled_vessel(small_loop())


def test_recording_changes_nothing(compiled: CompiledNetwork) -> None:
    steps: list[NewtonStep] = []
    plain, recorded = newton(compiled), newton(compiled, record=steps)
    assert np.array_equal(plain.flow, recorded.flow)
    assert np.array_equal(plain.total, recorded.total)
    assert [step.iteration for step in steps] == list(range(1, plain.iterations + 1))


def test_each_step_goes_on_where_the_one_before_ended(compiled: CompiledNetwork) -> None:
    steps: list[NewtonStep] = []
    solution = newton(compiled, record=steps)
    for before, after in zip(steps, steps[1:], strict=False):
        assert after.flow == pytest.approx(before.flow + before.change, abs=1e-12)
    assert solution.flow == pytest.approx(steps[-1].flow + steps[-1].change, abs=1e-12)
    for step in steps:
        assert step.largest_change == np.abs(step.change).max()
        assert step.largest_error == np.abs(step.error).max()


def test_the_errors_shrink_to_nothing(compiled: CompiledNetwork) -> None:
    steps: list[NewtonStep] = []
    newton(compiled, record=steps)
    assert steps[0].largest_error > 1.0
    assert steps[-1].largest_error < 1e-3
    assert steps[-1].largest_change < 1e-6 * np.abs(steps[-1].flow).max()


def test_the_table_of_a_vessel_ends_at_its_results() -> None:
    vessel = sound_vessel()
    table, results = newton_table(vessel), solve(vessel)
    last = table.steps[-1]
    for tag, flow, density in zip(table.tags, (last.flow + last.change).tolist(), table.density, strict=True):
        assert flow / density * 1e3 == pytest.approx(results.links[tag].flow_L_s, abs=1e-6)
