# SPDX-License-Identifier: MIT
"""Rules on coils and on the surfaces of runs: water that is too slow, too much of it, and condensation."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from solver.findings.case import MOST_OF_A_KIND, Case, Verdict
from solver.findings.wording import counted, listed
from solver.parts.insulation import least_thickness
from solver.parts.pipe_sizes import pipe_size
from solver.results import SurfaceFigures
from solver.vessel.run import Insulation

#: Flow in tubes is laminar below (O. Reynolds 1883; Incropera 2007, chapter 8).
_LAMINAR = 2300.0
#: Share of design flow below which a coil is told of as starved, not as laminar.
_STARVED = 0.5
#: Rise of the water over a coil below which it is over-pumped, and the least load that tells so.
_LOW_RISE, _LOADED = 3.0, 0.5
_LEAST_FLOW = 1e-3
#: Surfaces this much above the dew point count as dry [K].
_DRY = 0.05


def condensation(case: Case) -> Iterator[Verdict]:
    """Runs or hoses whose surface is below the dew point of the air round them.

    ISO 12241 for the surface; the dew point by ASHRAE Handbook Fundamentals.
    """
    sea = case.sea_regions
    wet = [
        one
        for one in case.heat.surfaces.values()
        if one.margin_K < -_DRY and case.loop_of_link(one.tag) not in sea
    ]
    if not wet:
        return
    wet.sort(key=lambda one: one.margin_K)
    names = listed(
        wet,
        lambda one: (
            f"{one.tag} {case.say.temperature(one.surface_C)} in air of "
            f"{case.say.temperature(one.dew_point_C)} dew point"
        ),
        most=3,
    )
    runs = case.vessel.run_by_tag
    bare = any(one.tag in runs and not runs[one.tag].insulation for one in wet)
    yield Verdict(
        "warn",
        f"{counted(len(wet), 'run sweats', 'runs sweat')}: {names}.",
        cause="Bare pipe in damp air: what drips from it rots joinery."
        if bare
        else "Their insulation is too thin for the air they cross.",
        cure=_thickness(case, wet[0]),
        tags=tuple(one.tag for one in wet[:MOST_OF_A_KIND]),
    )


def _thickness(case: Case, surface: SurfaceFigures) -> str:
    run = case.vessel.run_by_tag.get(surface.tag)
    if run is None:
        return "Insulate the hose, its vapour seal without a gap."
    lagging = run.insulation or Insulation()
    coldest = min(case.heat.water[run.tag].in_C, case.heat.water[run.tag].out_C)
    outside = pipe_size(run.series, run.size).outside_mm * 1e-3
    needed = float(
        least_thickness(coldest, surface.air_C, surface.dew_point_C, outside, lagging.conductivity_W_mK)
    )
    if not np.isfinite(needed):
        return "No thickness helps in air that damp: dry or ventilate the space."
    return (
        f"{case.say.thickness(needed)} of {lagging.material} keep {run.tag} dry; take the next size up, its "
        "vapour seal without a gap."
    )


def coil_laminar(case: Case) -> Iterator[Verdict]:
    """Coils with half their flow or more in whose tubes it is laminar all the same.

    Textbook (Incropera, DeWitt, Bergman, Lavine 2007, chapter 8): below Re 2300 the film inside is a fraction
    of that of turbulent flow.  Cold glycol is the usual cause.
    """
    slow = [
        coil
        for coil in case.heat.coils.values()
        if coil.reynolds < _LAMINAR and abs(case.results.air_handlers[coil.tag].share_of_design) >= _STARVED
    ]
    if slow:
        slow.sort(key=lambda coil: coil.reynolds)
        liquid = case.vessel.loop_liquid
        glycol = liquid.kind != "water" and liquid.share_percent > 0.0
        yield Verdict(
            "note",
            f"Flow is laminar in the tubes of {listed(slow, lambda coil: coil.tag)}, "
            f"Re {slow[0].reynolds:.0f} at the least.",
            cause="Heat passes a laminar film slowly"
            + (f"; {liquid.share_percent:g} % glycol makes it so at these flows." if glycol else "."),
            cure="More flow, or less glycol if no frost is to be expected: by its maker's table.",
            tags=tuple(coil.tag for coil in slow[:MOST_OF_A_KIND]),
        )


def over_pumped(case: Case) -> Iterator[Verdict]:
    """Chillers at half load or more whose water changes by less than 3 K.

    Common practice: 5 to 6 K at design; at less the pump works for nothing and return water mixes cold.
    """
    for one in case.heat.chillers.values():
        change = abs(one.entering_C - one.leaving_C)
        loaded = not one.tripped and abs(one.duty_kW) >= _LOADED * one.capacity_kW
        if loaded and change < _LOW_RISE and abs(case.flow.get(one.tag, 0.0)) > _LEAST_FLOW:
            yield Verdict(
                "note",
                f"Water through {one.tag} changes by {case.say.difference(change)} only.",
                cause=f"{case.say.flow(abs(case.flow[one.tag]))} carry "
                f"{case.say.heat(1e3 * abs(one.duty_kW))}: more water than the heat needs, or a bypass that "
                "lets it round.",
                cure="Trim the pump's speed or throttle bypasses, no chiller below its least flow.",
                tags=(one.tag,),
            )
