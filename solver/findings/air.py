# SPDX-License-Identifier: MIT
"""Rules on air: vents at high points and a separator."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from solver.findings.case import Case, Loop, Verdict, each_of
from solver.findings.wording import counted, listed
from solver.vessel.components import (
    AirHandler,
    AirSeparator,
    AirVent,
    CirculationPump,
    Component,
)
from solver.vessel.joints import connected

#: Parts nearer in height than this are level [m].
_LEVEL = 0.02
#: A hump no higher than this above what is next to it is swept clear by the flow [m].
_HUMP = 0.1


def no_air_separator(case: Case) -> Iterator[Verdict]:
    """A loop without an air separator.  Common practice: it takes out what the vents do not reach."""
    for loop in case.fresh_loops:
        pumps = loop.of(CirculationPump)
        if pumps and not loop.of(AirSeparator):
            yield Verdict(
                "note",
                f"The loop of {listed([pump.tag for pump in pumps])} has no air separator.",
                cause="Air that comes out of the water goes round and gathers in the coils.",
                cure="Fit one where the water is warmest and its pressure lowest: in the return, "
                "ahead of the pump.",
                tags=tuple(pump.tag for pump in pumps),
            )


def no_vent_at_high_point(case: Case) -> Iterator[Verdict]:
    """A local high point without an air vent.

    Common practice: air gathers wherever the pipe goes down on both sides.  A high point is a part,
    or a level stretch of parts, whose every neighbour is at least 0.1 m lower.  Air handlers are
    taken to have the bleed screw of their coil; air separators vent.
    """
    for loop in case.fresh_loops:
        tops = _tops(case, loop)

        def judge(top: list[Component]) -> Verdict:
            tags = [part.tag for part in top]
            height = case.say.length(case.height[tags[0]])
            return Verdict(
                "warn",
                f"No air vent at the high point at {listed(tags)}, {height} above the waterline.",
                cause="Air gathers there and throttles the flow.",
                cure="Fit an air vent at its top.",
                tags=tuple(tags),
            )

        yield from each_of(
            tops,
            judge,
            lambda top: top[0].tag,
            lambda left: f"{counted(left, 'more high point has', 'more high points have')} no air vent.",
        )


def _tops(case: Case, loop: Loop) -> list[list[Component]]:
    """Return the unvented high points of a loop, the highest first."""
    place = {part.tag: number for number, part in enumerate(loop.components)}
    height = np.array([case.height[tag] for tag in place])
    joined = [
        (place[run.start.tag], place[run.end.tag])
        for run in case.vessel.runs
        if run.start.tag in place and run.end.tag in place
    ]
    if not joined or np.ptp(height) < _HUMP:
        return []
    first, second = np.array(joined).T
    level = np.abs(height[first] - height[second]) < _LEVEL
    group = connected(len(height), first[level], second[level])
    count = int(group.max()) + 1
    top = np.full(count, -np.inf)
    np.maximum.at(top, group, height)
    beside = np.full(count, -np.inf)
    for here, there in ((first, second), (second, first)):
        steps = group[here] != group[there]
        np.maximum.at(beside, group[here[steps]], height[there[steps]])
    vented = {int(group[place[part.tag]]) for part in loop.of(AirHandler, AirVent, AirSeparator)}
    known = {int(group[number]) for tag, number in place.items() if tag not in case.assumed_heights}
    # A group without lower neighbours is the whole loop at one height, which has no high point.
    high = (top - beside >= _HUMP) & np.isfinite(beside)
    found: dict[int, list[Component]] = {
        int(number): [] for number in np.flatnonzero(high) if number in known and number not in vented
    }
    if found:
        for part in loop.components:
            members = found.get(int(group[place[part.tag]]))
            if members is not None:
                members.append(part)
    return sorted(found.values(), key=lambda parts: -case.height[parts[0].tag])
