# SPDX-License-Identifier: MIT
"""What must hold before a vessel can be solved, found by looking at its circuits as a graph."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

import msgspec

from solver.errors import NotSolvableError
from solver.network.network import Network, Passive
from solver.vessel.components import AirHandler, Chiller, ExpansionVessel, Overboard, Pump, ThroughHull
from solver.vessel.vessel import Vessel

#: Kinds that make a circuit solvable, or name it.
_TOLD = (AirHandler, Chiller, ExpansionVessel, Overboard, Pump, ThroughHull)


class Problem(NamedTuple):
    """Why a circuit cannot be solved, and the parts to mark."""

    reason: str
    tags: tuple[str, ...]


def problems(vessel: Vessel, network: Network) -> tuple[Problem, ...]:
    """Return why a vessel cannot be solved; empty if it can.

    Each circuit with runs needs a pressure reference (an expansion vessel, or the sea) and only one
    expansion vessel in reach; a closed circuit needs a pump.
    """
    if not vessel.runs:
        return (Problem("nothing to solve: no runs are drawn", ()),)
    return tuple(problem for _, problem in _problems_by_circuit(vessel, network))


class SolvablePart(NamedTuple):
    """A vessel without the circuits that cannot be solved, and why they cannot."""

    vessel: Vessel
    problems: tuple[Problem, ...]


def solvable_part(vessel: Vessel, network: Network) -> SolvablePart | None:
    """Return what of a vessel can be solved; None if nothing can.

    Runs of circuits with problems are left out, and with them the components that no other circuit
    reaches.  Parts that no run reaches stay.
    """
    found = _problems_by_circuit(vessel, network)
    bad = {number for number, _ in found}
    joints = vessel.joints
    circuit = joints.circuits.tolist()
    kept = tuple(
        run for run, start in zip(vessel.runs, joints.start, strict=False) if circuit[start] not in bad
    )
    if not kept:
        return None
    reached = {end.tag for run in kept for end in (run.start, run.end)}
    lost = {end.tag for run in vessel.runs for end in (run.start, run.end)} - reached
    part = msgspec.structs.replace(
        vessel,
        runs=kept,
        components=tuple(component for component in vessel.components if component.tag not in lost),
    )
    return SolvablePart(part, tuple(problem for _, problem in found))


def _problems_by_circuit(vessel: Vessel, network: Network) -> list[tuple[int, Problem]]:
    joints = vessel.joints
    circuit = joints.circuits.tolist()
    runs: dict[int, list[str]] = {}
    for number in range(joints.run_count):
        runs.setdefault(circuit[joints.start[number]], []).append(joints.tags[number])
    parts: dict[int, list[object]] = {number: [] for number in runs}
    for component in vessel.components:
        if not isinstance(component, _TOLD):
            continue
        for number in {circuit[joints.point_of[component.tag, port]] for port in component.ports}:
            if number in parts:
                parts[number].append(component)
    found: list[tuple[int, Problem]] = []
    for number, members in parts.items():
        found += ((number, problem) for problem in _circuit_problems(members, runs[number]))
    for problem in _fighting(vessel, network):
        found.append((circuit[joints.point_of[problem.tags[0], "connection"]], problem))
    return found


def require_solvable(vessel: Vessel, network: Network) -> None:
    """Check a vessel before the solve.

    Raises
    ------
    NotSolvableError
        With every problem's reason and tags.
    """
    found = problems(vessel, network)
    if found:
        raise NotSolvableError(
            "; ".join(problem.reason for problem in found),
            tuple(dict.fromkeys(tag for problem in found for tag in problem.tags)),
        )


def _circuit_problems(members: list[object], runs: list[str]) -> Iterable[Problem]:
    vessels = [part.tag for part in members if isinstance(part, ExpansionVessel)]
    sea = [part.tag for part in members if isinstance(part, ThroughHull | Overboard)]
    name = _named(members, runs)
    tags = tuple(part.tag for part in members if isinstance(part, Pump | Chiller | AirHandler)) or tuple(runs)
    if not vessels and not sea:
        yield Problem(f"no pressure reference: {name} has no expansion vessel", tags)
    if vessels and sea:
        both = ", ".join((*vessels, *sea))
        yield Problem(f"two pressure references fight: {both} are in one circuit", (*vessels, *sea))
    if not sea and not any(isinstance(part, Pump) for part in members):
        yield Problem(f"no pump: {name} has none", tags)


def _named(members: list[object], runs: list[str]) -> str:
    """Return words for a circuit: its plant, or its first run."""
    plant = [part.tag for part in members if isinstance(part, Pump | Chiller)]
    units = [part.tag for part in members if isinstance(part, AirHandler)]
    tags = plant or units
    if not tags:
        return f"the circuit of {runs[0]}"
    shown = ", ".join(tags[:3]) + (" and others" if len(tags) > 3 else "")
    return f"the circuit of {shown}"


def _fighting(vessel: Vessel, network: Network) -> Iterable[Problem]:
    """Two expansion vessels that shut valves do not part hold two pressures at once."""
    holders = [part for part in vessel.components if isinstance(part, ExpansionVessel)]
    if len(holders) < 2:
        return
    joints = vessel.joints
    shut = [
        joints.index_of[link.tag]
        for link in network.links
        if isinstance(link, Passive) and not link.is_open and link.tag in joints.index_of
    ]
    region = joints.regions(shut)
    together: dict[int, list[str]] = {}
    for part in holders:
        if (part.tag, "connection") in vessel.runs_at:
            together.setdefault(int(region[joints.point_of[part.tag, "connection"]]), []).append(part.tag)
    for tags in together.values():
        if len(tags) > 1:
            yield Problem(
                f"two pressure references fight: {' and '.join(tags)} both hold the pressure of one circuit",
                tuple(tags),
            )
