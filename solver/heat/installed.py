# SPDX-License-Identifier: MIT
"""What is installed to meet the block load: ratings of air handlers, chillers at the sea water of the day."""

from __future__ import annotations

from typing import NamedTuple

from solver.heat.machines import chiller_law, rated_total
from solver.vessel.components import AirHandler, Chiller
from solver.vessel.vessel import Vessel

#: Chillers for the air handlers' ratings together, where nothing better is known: cabins do not all peak at
#: once (common practice: 75 to 85 % for a boat of several cabins, all of it for one or two).
DIVERSITY = 0.80
# A machine's capacity by temperatures does not depend on these; they only make its law whole.
_SEA_DENSITY, _SEA_HEAT = 1025.0, 3993.0


class Installed(NamedTuple):
    """What is installed.

    Attributes
    ----------
    air_handlers_W : float
        Rated total cooling, together.
    chillers_W : dict
        Tag -> what each chiller can do [W] at its set point and the sea water of the conditions, clean and at
        full speed; heat for conditions of heating, and 0 for one that cannot.
    beyond : tuple of str
        Tags of chillers whose figures were not given for such temperatures.
    """

    air_handlers_W: float
    chillers_W: dict[str, float]
    beyond: tuple[str, ...] = ()

    @property
    def total_W(self) -> float:
        """All chillers together."""
        return sum(self.chillers_W.values())

    @property
    def largest(self) -> str:
        """Tag of the largest chiller, empty if there is none."""
        return max(self.chillers_W, key=lambda tag: self.chillers_W[tag], default="")

    @property
    def largest_out_W(self) -> float:
        """The chillers without the largest."""
        return self.total_W - self.chillers_W.get(self.largest, 0.0)


def installed(vessel: Vessel) -> Installed:
    """Return what is installed on a vessel, for its current conditions.

    Chillers that are switched off count too: it is what stands on board.

    Raises
    ------
    PartError
        A chiller's figures make no sense.

    Examples
    --------
    >>> cold = Chiller(
    ...     tag="CH-1", capacity_kW=10.0, design_flow_L_s=0.5, rated_flow_L_s=0.5, rated_drop_kPa=20.0
    ... )
    >>> found = installed(Vessel(name="Tern", components=(cold,)))
    >>> round(found.total_W), found.largest_out_W
    (10000, 0.0)
    """
    conditions = vessel.current_conditions
    heating = conditions.mode == "heating"
    able: dict[str, float] = {}
    beyond = []
    for part in vessel.components:
        if not isinstance(part, Chiller):
            continue
        law = chiller_law(part, _SEA_DENSITY, _SEA_HEAT)
        figures = law.heating if heating else law.cooling
        if figures is None:
            able[part.tag] = 0.0
            continue
        leaving = part.heating_set_point_C if heating else part.set_point_C
        able[part.tag] = float(figures.at(leaving, conditions.sea_temp_C).capacity)
        if not figures.covers(leaving, conditions.sea_temp_C):
            beyond.append(part.tag)
    handlers = sum(rated_total(part) for part in vessel.components if isinstance(part, AirHandler))
    return Installed(handlers, able, tuple(beyond))
