# SPDX-License-Identifier: MIT
"""What a run carries where nobody said so: supply, return or sea water.  Pure, no Qt."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator

from solver.vessel.components import AirHandler, Chiller, Overboard, SeaWaterPump, ThroughHull
from solver.vessel.run import End
from solver.vessel.vessel import Vessel


def services(vessel: Vessel) -> dict[str, str]:
    """Return tag of a run -> ``supply``, ``return``, ``sea`` or ``""``.

    A run's own word counts.  Others take the service of the nearest port that gives one away (an air
    handler's, a chiller's, a part of the sea-water side), found by walking through what joins them.
    """
    found = {run.tag: str(run.service) for run in vessel.runs}
    if all(found.values()):
        return found
    reached: set[tuple[str, str]] = set()
    waiting: deque[tuple[End, str]] = deque()
    for start in _sources(vessel):
        waiting.append(start)
        reached.add(start[0])
    while waiting:
        at, service = waiting.popleft()
        for run in vessel.runs_at.get(at, ()):
            found[run.tag] = found[run.tag] or service
            other = run.end if run.start == at else run.start
            if other in reached:
                continue
            reached.add(other)
            component = vessel.component_by_tag[other.tag]
            if isinstance(component, (AirHandler, Chiller)):
                continue
            for port in component.ports:
                place = End(other.tag, port)
                if place not in reached:
                    reached.add(place)
                    waiting.append((place, service))
    return found


def _sources(vessel: Vessel) -> Iterator[tuple[End, str]]:
    for component in vessel.components:
        if isinstance(component, (SeaWaterPump, ThroughHull, Overboard)):
            for port in component.ports:
                yield End(component.tag, port), "sea"
        elif isinstance(component, Chiller):
            yield End(component.tag, "water_out"), "supply"
            yield End(component.tag, "water_in"), "return"
            yield End(component.tag, "sea_in"), "sea"
            yield End(component.tag, "sea_out"), "sea"
        elif isinstance(component, AirHandler):
            yield End(component.tag, "water_in"), "supply"
            yield End(component.tag, "water_out"), "return"
