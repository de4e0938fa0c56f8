# SPDX-License-Identifier: MIT
"""Whatever is taken out of a vessel, turned off or shut, the rules answer and name parts that exist."""

from __future__ import annotations

from contextlib import suppress

import msgspec
from hypothesis import given
from hypothesis import strategies as st

from solver.errors import NotSolvableError
from solver.findings import findings
from solver.solve import solve
from solver.vessel.components import IsolatingValve, Pump, RegulatingValve
from solver.vessel.vessel import Vessel
from tests.solver.findings.broken import parallel_pumps, removed, with_bypass
from tests.solver.small_vessels import changed, sound_vessel

_VESSELS = (sound_vessel(), parallel_pumps(), with_bypass(30.0))


@st.composite
def vessels(draw: st.DrawFn) -> Vessel:
    """Draw a vessel with a few parts taken out, stopped or shut."""
    vessel = draw(st.sampled_from(_VESSELS))
    tags = [part.tag for part in vessel.components] + [run.tag for run in vessel.runs]
    for tag in draw(st.lists(st.sampled_from(tags), max_size=5, unique=True)):
        part = vessel.component_by_tag.get(tag)
        if isinstance(part, Pump):
            vessel = changed(vessel, tag, running=False)
        elif isinstance(part, IsolatingValve):
            vessel = changed(vessel, tag, opening_percent=draw(st.sampled_from([0.0, 1.0, 50.0])))
        elif isinstance(part, RegulatingValve):
            vessel = changed(vessel, tag, setting=draw(st.floats(0.0, 4.0)))
        else:
            vessel = removed(vessel, tag)
    return vessel


@given(vessels())
def test_the_rules_answer_for_any_vessel(vessel: Vessel) -> None:
    known = {*vessel.component_by_tag, *vessel.run_by_tag}
    found = [findings(vessel, None)]
    with suppress(NotSolvableError):
        found.append(solve(vessel).findings)
    for one in (each for group in found for each in group):
        assert set(one.tags) <= known
        assert "nan" not in f"{one.problem}{one.cause}{one.cure}"
        assert one.problem.endswith(".")


@given(vessels())
def test_the_order_in_the_file_changes_no_judgement(vessel: Vessel) -> None:
    turned = msgspec.structs.replace(vessel, components=vessel.components[::-1], runs=vessel.runs[::-1])
    first = sorted((one.rule, tuple(sorted(one.tags))) for one in findings(vessel, None))
    second = sorted((one.rule, tuple(sorted(one.tags))) for one in findings(turned, None))
    assert first == second


def test_an_empty_vessel_has_no_findings() -> None:
    assert findings(Vessel(name="New boat"), None) == ()
