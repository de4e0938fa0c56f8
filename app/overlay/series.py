# SPDX-License-Identifier: MIT
"""Runs in series with an air handler: they carry its flow and no other, so its share is theirs."""

from __future__ import annotations

from collections.abc import Mapping

from solver.results import Results
from solver.vessel.components import AirHandler, kind_name
from solver.vessel.vessel import Vessel

#: Kinds that let all water through with two ports in use; the others split it or change its sort.
_SPLITTING = frozenset(("three_way_valve", "chiller"))


def runs_in_series(vessel: Vessel) -> dict[str, tuple[str, ...]]:
    """Return tag of an air handler -> the runs that carry its flow alone, sorted by tag."""
    return {
        component.tag: _from(vessel, component)
        for component in vessel.components
        if isinstance(component, AirHandler)
    }


def shares_along(series: Mapping[str, tuple[str, ...]], results: Results) -> dict[str, float]:
    """Return tag -> share of design flow, of each air handler and of the runs in series with it.

    Where air handlers stand in series, a run shows the smallest share of them.
    """
    found: dict[str, float] = {}
    for tag, runs in series.items():
        figures = results.air_handlers.get(tag)
        if figures is None:
            continue
        found[tag] = figures.share_of_design
        for run in runs:
            found[run] = min(found.get(run, figures.share_of_design), figures.share_of_design)
    return found


def _from(vessel: Vessel, air_handler: AirHandler) -> tuple[str, ...]:
    """Walk from both ports of an air handler until the water splits."""
    found: set[str] = set()
    for port in air_handler.ports:
        place = (air_handler.tag, port)
        while True:
            runs = [run for run in vessel.runs_at.get(place, ()) if run.tag not in found]
            if len(vessel.runs_at.get(place, ())) != 1 or not runs:
                break
            run = runs[0]
            found.add(run.tag)
            other = run.end if run.start == place else run.start
            through = _other_port(vessel, other)
            if through is None:
                break
            place = through
    return tuple(sorted(found))


def _other_port(vessel: Vessel, at: tuple[str, str]) -> tuple[str, str] | None:
    """Return the one other connected port of a component, None if there is no such or several."""
    component = vessel.component_by_tag[at[0]]
    if kind_name(component) in _SPLITTING:
        return None
    joined = [port for port in component.ports if (component.tag, port) in vessel.runs_at]
    if len(joined) != 2:
        return None
    return (component.tag, joined[0] if joined[1] == at[1] else joined[1])
