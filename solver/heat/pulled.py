# SPDX-License-Identifier: MIT
"""What a pull-down found, by time and by tag.

Arrays have one row a time; temperatures are those at it, duties and powers means of the step that ends there.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from solver.parts.roots import Array
from solver.results import Trip

if TYPE_CHECKING:
    from solver.vessel.vessel import Vessel


class CabinPulled(Struct, frozen=True):
    """A cabin: ``reached_h`` is when it first came within ``REACHED_K`` of its set point, None if never."""

    tag: str
    set_point_C: float
    start_C: float
    end_C: float
    end_rh: float
    reached_h: float | None


class ChillerPulled(Struct, frozen=True):
    """A chiller.

    ``most_starts_h`` are the starts in its busiest hour, ``starts_h`` the mean over the last hours that a
    run has (at most six; its first start is not counted).  ``shortest_run_min`` is None where it never
    ended a run.  ``still`` is why it never ran or stayed off; ``trips`` are all it had.
    """

    tag: str
    loop_L: float
    starts: int
    starts_h: float
    most_starts_h: int
    shortest_run_min: float | None
    run_share: float
    trips: tuple[tuple[float, Trip], ...]
    still: Trip


class LoopPulled(Struct, frozen=True):
    """The loop of some chillers: common supply and return water at every time [degC]."""

    chillers: tuple[str, ...]
    supply_C: Array
    return_C: Array


class EnergyPulled(Struct, frozen=True):
    """Energy of the whole run [kWh], and how far the balance is apart.

    ``cooling`` is what the chillers took out of the loop, negative in heating.  ``error_share`` is heat that
    moved less heat held, over what moved, on the side of the water or of the cabins, the larger.
    """

    compressors: float
    pumps: float
    fans: float
    cooling: float
    error_share: float

    @property
    def electrical(self) -> float:
        """All that the electrical system gave [kWh]."""
        return self.compressors + self.pumps + self.fans


class PullDown(Struct, frozen=True, kw_only=True, dict=True):
    """A run through time.  ``starts_at_hour`` is the solar time of its start, None where loads stood still.

    Shapes: ``time_h`` (T,); ``cabin_C`` and ``cabin_rh`` (T, C) in the order of ``cabins``;
    ``chiller_kW``, ``chiller_runs`` (share of the step) and ``compressor_kW`` (T, K) in the order of
    ``chillers``; ``pump_kW``, ``fan_kW`` (T,).
    """

    vessel: Vessel
    starts_at_hour: float | None
    heating: bool
    time_h: Array
    cabin_C: Array
    cabin_rh: Array
    loops: tuple[LoopPulled, ...]
    chiller_kW: Array
    chiller_runs: Array
    compressor_kW: Array
    pump_kW: Array
    fan_kW: Array
    cabins: tuple[CabinPulled, ...]
    chillers: tuple[ChillerPulled, ...]
    energy: EnergyPulled

    @property
    def power_kW(self) -> NDArray[np.float64]:
        """Electrical power of compressors, pumps and fans."""
        return np.asarray(self.compressor_kW.sum(axis=1) + self.pump_kW + self.fan_kW)
