# SPDX-License-Identifier: MIT
"""The difference of two solved states in temperature: water after against water before, in kelvin."""

from __future__ import annotations

import math

from app.overlay.colour_scale import ColourScale, Limits
from app.overlay.difference import NAME, Comparison, difference_overlay
from app.overlay.quantities import QUANTITIES, Overlay
from app.translation import tr
from app.units import System, show
from solver.vessel.vessel import Vessel

HEAT_DIFFERENCE = "heat_difference"
#: Least half range of the map, its most, and the steps its ends are rounded to [K].
_LEAST, _MOST, _STEP = 1.0, 10.0, 1.0


def signed_kelvin(value_K: float, system: System) -> str:
    """Return a change of temperature with its sign.

    Examples
    --------
    >>> signed_kelvin(0.44, "si"), signed_kelvin(-1.0, "us"), signed_kelvin(0.0, "si")
    ('+0.44 K', '-1.8 °F', '0 K')
    """
    text = show(value_K, "temperature_difference", system)
    return f"+{text}" if value_K > 0 and not text.startswith("0 ") else text


def heat_difference_overlay(comparison: Comparison, vessel: Vessel, system: System, *, dark: bool) -> Overlay:
    """Return the overlay of a comparison's temperatures on a drawing; no values where a state has none.

    Parameters
    ----------
    comparison : Comparison
    vessel : Vessel
        What is drawn.
    system : {"si", "us"}
    dark : bool
        For dark paper.
    """
    read = QUANTITIES["temperature"].read
    values: dict[str, float] = {}
    for run in vessel.runs:
        if run.tag in comparison.before.links and run.tag in comparison.after.links:
            was, now = read(comparison.before, run.tag), read(comparison.after, run.tag)
            if was is not None and now is not None:
                values[run.tag] = now - was
    largest = max((abs(value) for value in values.values()), default=0.0)
    end = min(max(_LEAST, math.ceil(largest / _STEP - 1e-9) * _STEP), _MOST)
    flows = [abs(comparison.after.links[tag].flow_L_s) for tag in values]
    most = max(flows, default=0.0) or 1.0
    return Overlay(
        name=HEAT_DIFFERENCE,
        title="Change of water temperature",
        quantity="temperature_difference",
        values=values,
        # Colder is blue, as wet is.
        scale=ColourScale("wet_to_dry", -end, end, dark=dark),
        limits=Limits(),
        sea_limits=Limits(),
        system=system,
        flow_shares=[flow / most for flow in flows],
        beyond=frozenset(),
        words=signed_kelvin,
        is_open=True,
        of_heat=True,
        missing="" if values else tr("one of the two has no temperatures"),
    )


#: Overlays of two states compared, by name.
DIFFERENCES = {NAME: difference_overlay, HEAT_DIFFERENCE: heat_difference_overlay}
