# SPDX-License-Identifier: MIT
"""Which parts belong with some parts: of the same kind, in the same branch, in the same circuit."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable

from solver.vessel.components import Component, kind_name
from solver.vessel.parts import Part, find
from solver.vessel.run import End, Run
from solver.vessel.vessel import Cabin, Vessel


def components_of(vessel: Vessel, tags: Iterable[str]) -> list[Component]:
    """Return the components among the parts with these tags."""
    by_tag = vessel.component_by_tag
    return [by_tag[tag] for tag in tags if tag in by_tag]


def of_same_kind(vessel: Vessel, tags: Iterable[str]) -> tuple[str, ...]:
    """Return the tags of all parts of the kinds of some parts, in file order."""
    kinds = {_kind(where.part) for where in find(vessel, tags).values()}
    parts: tuple[Part, ...] = (*vessel.components, *vessel.runs, *vessel.cabins)
    return tuple(part.tag for part in parts if _kind(part) in kinds)


def of_branch(vessel: Vessel, tags: Iterable[str]) -> tuple[str, ...]:
    """Return the tags of all parts in line with some parts, up to where the pipe branches."""
    return _reached(vessel, tags, past_branches=False)


def of_circuit(vessel: Vessel, tags: Iterable[str]) -> tuple[str, ...]:
    """Return the tags of all parts joined with some parts, sea water and loop apart."""
    return _reached(vessel, tags, past_branches=True)


def _kind(part: Part) -> str:
    if isinstance(part, Run):
        return "run"
    return "cabin" if isinstance(part, Cabin) else kind_name(part)


def _reached(vessel: Vessel, tags: Iterable[str], *, past_branches: bool) -> tuple[str, ...]:
    """Walk from parts along runs; a component with two sides is passed on the side it is met."""
    found: dict[str, None] = {}
    waiting: deque[tuple[str, str]] = deque()
    for tag, where in find(vessel, tags).items():
        found[tag] = None
        if isinstance(where.part, Run):
            waiting.extend((where.part.start, where.part.end))
        elif isinstance(where.part, Component):
            waiting.extend((tag, port) for port in where.part.ports)
    seen: set[tuple[str, str]] = set()
    while waiting:
        tag, port = waiting.popleft()
        if (tag, port) in seen:
            continue
        seen.add((tag, port))
        for run in vessel.runs_at.get((tag, port), ()):
            found[run.tag] = None
            for end in (run.start, run.end):
                if (end.tag, end.port) != (tag, port):
                    waiting.extend(_through(vessel, end, found, past_branches=past_branches))
    return tuple(found)


def _through(
    vessel: Vessel, end: End, found: dict[str, None], *, past_branches: bool
) -> list[tuple[str, str]]:
    """Note the component at the end of a run and return the ports the walk goes on from."""
    component = vessel.component_by_tag[end.tag]
    used = [port for port in component.ports if (component.tag, port) in vessel.runs_at]
    branches = len(used) > 2 or kind_name(component) in ("tee", "manifold", "chiller")
    if branches and not past_branches:
        return []
    found[end.tag] = None
    sea = end.port.startswith("sea_")
    return [(end.tag, port) for port in component.ports if port.startswith("sea_") == sea]
