# SPDX-License-Identifier: MIT
"""Tags for new parts, with the prefixes of the trade."""

from __future__ import annotations

from collections.abc import Iterable

from solver.errors import EditError
from solver.vessel.accepted import one_of, shown
from solver.vessel.parts import Part
from solver.vessel.vessel import Vessel

#: Kind -> what its tags begin with.  Common practice; PI, TI and FI as instruments are lettered.
PREFIXES: dict[str, str] = {
    "circulation_pump": "P-",
    "sea_water_pump": "SP-",
    "chiller": "CH-",
    "air_handler": "AH-",
    "tee": "T-",
    "manifold": "M-",
    "isolating_valve": "IV-",
    "regulating_valve": "RV-",
    "check_valve": "CV-",
    "two_way_valve": "V2-",
    "three_way_valve": "V3-",
    "differential_bypass": "DB-",
    "constant_flow_valve": "CF-",
    "strainer": "STR-",
    "expansion_vessel": "EV-",
    "air_separator": "AS-",
    "air_vent": "AV-",
    "buffer_tank": "BT-",
    "fill_point": "FP-",
    "drain": "D-",
    "flexible_hose": "FH-",
    "through_hull": "TH-",
    "overboard": "OB-",
    "pressure_gauge": "PI-",
    "temperature_gauge": "TI-",
    "flow_meter": "FI-",
    "run": "R-",
    "cabin": "C-",
}

#: Longer numbers are no counts.
_MOST_DIGITS = 9


def free_tag(vessel: Vessel, kind: str) -> str:
    """Return the tag for a new part: one above the highest of its kind's prefix.

    Numbers of removed parts between are not used again, since papers may still name them.

    Parameters
    ----------
    vessel : Vessel
        The part is for this one.
    kind : str
        A component's kind as the file writes it, ``"run"`` or ``"cabin"``.

    Raises
    ------
    EditError
        There is no such kind.

    Examples
    --------
    >>> from solver.vessel.components import Tee
    >>> free_tag(Vessel(name="Tern", components=(Tee(tag="T-7"),)), "tee")
    'T-8'
    """
    if kind not in PREFIXES:
        raise EditError(f"no kind of part is called {shown(kind)}; accepted: {one_of(list(PREFIXES), kind)}")
    prefix = PREFIXES[kind]
    start = len(prefix)
    highest = "0"
    lists: tuple[tuple[Part, ...], ...] = (vessel.components, vessel.runs, vessel.cabins)
    for parts in lists:
        numbers = [tag[start:] for part in reversed(parts) if (tag := part.tag).startswith(prefix)]
        for number in numbers:
            # Of as many digits the higher text is the higher number.
            if len(number) == len(highest):
                if number <= highest:
                    continue
            elif len(number) < len(highest) or len(number) > _MOST_DIGITS:
                continue
            if number.isascii() and number.isdecimal():
                highest = number
    return f"{prefix}{int(highest) + 1:0{len(highest)}d}"


def free_tags(vessel: Vessel, kinds: Iterable[str]) -> list[str]:
    """Return tags for several new parts, one for each kind given, in order; kinds may come again.

    Raises
    ------
    EditError
        There is no such kind.
    """
    last: dict[str, str] = {}
    tags = []
    for kind in kinds:
        if kind in last:
            number = last[kind][len(PREFIXES[kind]) :]
            last[kind] = f"{PREFIXES[kind]}{int(number) + 1:0{len(number)}d}"
        else:
            last[kind] = free_tag(vessel, kind)
        tags.append(last[kind])
    return tags
