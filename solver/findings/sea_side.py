# SPDX-License-Identifier: MIT
"""Rules on the sea-water side: strainer, seacocks, where the pump stands."""

from __future__ import annotations

from collections.abc import Iterator

from solver.findings.case import Case, Verdict
from solver.findings.wording import listed
from solver.vessel.components import (
    IsolatingValve,
    Overboard,
    SeaWaterPump,
    Strainer,
    ThroughHull,
)

#: Longest pipe between a hull fitting and its seacock [m].
_AT_THE_HULL = 1.0


def no_sea_strainer(case: Case) -> Iterator[Verdict]:
    """Sea water that reaches a pump without passing a strainer.  Common practice: weed stops pumps."""
    pumps = case.of(SeaWaterPump)
    if not pumps:
        return
    labels = case.joints.regions(case.links_of(Strainer, SeaWaterPump))
    hulls = {int(labels[case.point(part.tag, "connection")]) for part in case.of(ThroughHull)}
    bare = [pump.tag for pump in pumps if int(labels[case.point(pump.tag, "inlet")]) in hulls]
    if bare:
        yield Verdict(
            "warn",
            f"No sea strainer ahead of {listed(bare)}.",
            cause="Weed and shell reach the pump and the condensers.",
            cure="Fit a strainer between seacock and pump, where it can be opened and cleaned.",
            tags=tuple(bare),
        )


def no_seacock(case: Case) -> Iterator[Verdict]:
    """A hull fitting without a seacock at the hull.

    ABYC H-27 asks for a seacock at fittings below the waterline (as quoted in boat handbooks; text
    not seen).  Looked at is the first part on the pipe, within 1 m.
    """
    for part in (*case.of(ThroughHull), *case.of(Overboard)):
        is_low = isinstance(part, ThroughHull) or case.height[part.tag] < 0.0
        if is_low and (part.tag, "connection") in case.vessel.runs_at and not _has_seacock(case, part.tag):
            yield Verdict(
                "bad",
                f"{part.tag} has no seacock at the hull.",
                cause="A burst hose behind it floods the boat.",
                cure="Fit a seacock directly at the hull, in reach, before the boat is afloat; class "
                "rules, local rules and a licensed yard decide.",
                tags=(part.tag,),
            )


def _has_seacock(case: Case, tag: str) -> bool:
    joints = case.joints
    point, came, length = case.point(tag, "connection"), -1, 0.0
    while True:
        onward = [link for link in joints.at[point] if link != came]
        if any(isinstance(case.part_of(link), IsolatingValve) for link in onward):
            return True
        if len(onward) != 1 or onward[0] >= joints.run_count:
            return False
        came = onward[0]
        length += case.vessel.runs[came].length_m
        if length > _AT_THE_HULL:
            return False
        point = joints.other_end(came, point)


def sea_pump_above_waterline(case: Case) -> Iterator[Verdict]:
    """A sea-water pump above the waterline.

    Common practice (trade pages on sea-water plumbing): centrifugal pumps do not prime themselves, so
    the pump stands below the waterline and the pipe rises all the way to it.
    """
    for pump in case.of(SeaWaterPump):
        height = case.height[pump.tag]
        if height > 0.0 and pump.tag not in case.assumed_heights:
            yield Verdict(
                "warn",
                f"{pump.tag} stands {case.say.length(height)} above the waterline.",
                cause="A centrifugal pump does not fill itself: after a lift-out or an air leak it runs dry.",
                cure="Move it below the waterline, the pipe rising from through-hull to pump, or take a "
                "self-priming pump.",
                tags=(pump.tag,),
            )
