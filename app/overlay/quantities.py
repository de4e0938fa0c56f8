# SPDX-License-Identifier: MIT
"""The quantities an overlay can show: value by tag, range, limits, colours."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from app.overlay.colour_scale import ColourScale, Kind, Limits
from app.overlay.condensation import condensation_words
from app.overlay.series import runs_in_series, shares_along
from app.translation import tr
from app.units import System, number, show, to_document, to_shown, unit
from solver.errors import FarcabinError
from solver.results import Results
from solver.vessel.vessel import Vessel


class Quantity(NamedTuple):
    """One quantity: what it is called, its quantity of ``app.units``, its kind of map, how it is read.

    ``words`` writes a value with what it means; ``needs_heat`` says that it is of the temperatures.
    """

    title: str
    quantity: str
    kind: Kind
    read: Callable[[Results, str], float | None]
    words: Callable[[float, System], str] | None = None
    needs_heat: bool = False


def _mean_pressure(results: Results, tag: str) -> float | None:
    figures = results.links[tag]
    if figures.start_kPa is None or figures.end_kPa is None:
        return None
    return (figures.start_kPa + figures.end_kPa) / 2


def _water_C(results: Results, tag: str) -> float | None:
    """Return the mean temperature of the water in a run."""
    water = None if results.heat is None else results.heat.water.get(tag)
    return None if water is None else (water.in_C + water.out_C) / 2


def _margin_K(results: Results, tag: str) -> float | None:
    """Return how far a run's surface is above the dew point round it, where it is coldest."""
    surface = None if results.heat is None else results.heat.surfaces.get(tag)
    return None if surface is None else surface.margin_K


QUANTITIES: dict[str, Quantity] = {
    "flow": Quantity("Flow", "flow", "one_sided", lambda results, tag: abs(results.links[tag].flow_L_s)),
    "share": Quantity("Share of design flow", "fraction", "deviation", lambda results, tag: None),
    "velocity": Quantity(
        "Velocity", "velocity", "one_sided", lambda results, tag: _size(results.links[tag].velocity_m_s)
    ),
    "loss": Quantity(
        "Loss per metre",
        "loss_per_length",
        "one_sided",
        lambda results, tag: _size(results.links[tag].loss_Pa_m),
    ),
    "pressure": Quantity("Pressure", "pressure", "one_sided", _mean_pressure),
    "temperature": Quantity("Water temperature", "temperature", "cold_to_warm", _water_C, needs_heat=True),
    "condensation": Quantity(
        "Surface above dew point",
        "temperature_difference",
        "wet_to_dry",
        _margin_K,
        condensation_words,
        needs_heat=True,
    ),
}
#: Names that ``overlay_of`` takes; "none" leaves the drawing as it is.
NAMES = ("none", *QUANTITIES)

#: Widths of a run's line by flow, besides the least.
FLOW_STEPS = 7
#: Ends of maps that are always the same, so that pictures can be compared; what lies beyond takes the end's
#: colour.  5 to 15 degC holds usual supply and return in cooling; in heating they lie about 40 and 45 degC
#: (common practice).
_FIXED = {"share": (0.5, 1.5), "temperature": (5.0, 15.0), "condensation": (-5.0, 5.0)}
_HEATING_WATER = (35.0, 50.0)


@dataclass(frozen=True, eq=False)
class Overlay:
    """One quantity over the whole drawing.

    Attributes
    ----------
    name, title : str
        As in ``NAMES``; what the legend calls it.
    quantity : str
        Its quantity of ``app.units``.
    values : mapping
        Tag of a run (and of an air handler, for the share of design flow) -> value in the document's unit.
    scale : ColourScale
    limits, sea_limits : Limits
        For the loop, and for sea-water runs.
    flow_shares : list of float
        Share of the largest flow, 0 to 1, of each part in ``values``.
    beyond : frozenset
        Tags of the parts whose values are outside their limits.
    system : {"si", "us"}
    words : callable or None
        Writes a value with what it means.
    is_open : bool
        Values may lie beyond the ends of the scale.
    of_heat : bool
        The values are temperatures, or follow from them.
    missing : str
        Why no part has a value; empty where some have.
    """

    name: str
    title: str
    quantity: str
    values: Mapping[str, float]
    scale: ColourScale
    limits: Limits
    sea_limits: Limits
    system: System
    flow_shares: Sequence[float]
    beyond: frozenset[str]
    words: Callable[[float, System], str] | None = None
    is_open: bool = False
    of_heat: bool = False
    missing: str = ""

    @cached_property
    def steps(self) -> Mapping[str, int]:
        """Tag -> which of the scale's colours."""
        return dict(zip(self.values, self.scale.steps(self.values.values()), strict=True))

    @cached_property
    def looks(self) -> Mapping[str, tuple[int, int, bool]]:
        """Tag -> which of the scale's colours, which of ``FLOW_STEPS`` + 1 widths, beyond limits.

        The width goes with the square root of the flow, as the bore does at one velocity.
        """
        flow_steps = np.rint(FLOW_STEPS * np.sqrt(self.flow_shares)).astype(int).tolist()
        return {
            tag: (step, flow_step, tag in self.beyond)
            for (tag, step), flow_step in zip(self.steps.items(), flow_steps, strict=True)
        }

    def colour(self, tag: str) -> str | None:
        """Return the colour of a part, None where it has no value."""
        step = self.steps.get(tag)
        return None if step is None else self.scale.colours[step]

    def text(self, tag: str) -> str:
        """Return a part's value with its unit, empty where it has none."""
        value = self.values.get(tag)
        if value is None:
            return ""
        if self.words is not None:
            return self.words(value, self.system)
        return show(value, self.quantity, self.system)

    def figure(self, value: float) -> str:
        """Return a value as the legend writes it, without its unit."""
        return number(value, self.quantity, self.system)

    @property
    def unit(self) -> str:
        """The unit the legend names."""
        return unit(self.quantity, self.system)


def overlay_of(
    name: str,
    vessel: Vessel,
    results: Results | None,
    system: System,
    *,
    dark: bool,
    series: Mapping[str, tuple[str, ...]] | None = None,
    sea: Collection[str] = (),
) -> Overlay | None:
    """Return an overlay over a solved vessel; None for "none" and while there are no results.

    Parameters
    ----------
    name : str
        One of ``NAMES``.
    vessel : Vessel
    results : Results or None
    system : {"si", "us"}
    dark : bool
        For dark paper.
    series : mapping, optional
        What ``runs_in_series`` gives for this vessel, if it is known already.
    sea : collection of str
        Tags of the sea-water runs, which have their own limits.

    Raises
    ------
    FarcabinError
        No overlay has that name.
    """
    if name not in NAMES:
        raise FarcabinError(f"no overlay {name!r}; accepted: {', '.join(NAMES)}")
    if name == "none" or results is None:
        return None
    quantity, links = QUANTITIES[name], results.links
    runs = [run.tag for run in vessel.runs if run.tag in links]
    if name == "share":
        values = shares_along(runs_in_series(vessel) if series is None else series, results)
    else:
        read = ((tag, quantity.read(results, tag)) for tag in runs)
        values = {tag: value for tag, value in read if value is not None and math.isfinite(value)}
    limits, sea_limits = _limits(name, vessel)
    heating = vessel.current_conditions.mode == "heating"
    low, high = _range(name, values, limits, quantity.quantity, system, heating=heating)
    largest = max((abs(links[tag].flow_L_s) for tag in runs), default=0.0) or 1.0
    return Overlay(
        name=name,
        title=quantity.title,
        quantity=quantity.quantity,
        values=values,
        scale=ColourScale(quantity.kind, low, high, dark=dark),
        limits=limits,
        sea_limits=sea_limits,
        system=system,
        flow_shares=[min(abs(links[tag].flow_L_s) / largest, 1.0) if tag in links else 0.0 for tag in values],
        beyond=frozenset(_beyond(values, limits, sea_limits, sea)),
        words=quantity.words,
        is_open=name in _FIXED,
        of_heat=quantity.needs_heat,
        missing=tr("no temperatures were found") if quantity.needs_heat and not values else "",
    )


def _beyond(
    values: Mapping[str, float], limits: Limits, sea_limits: Limits, sea: Collection[str]
) -> Iterator[str]:
    """Return the parts whose values are outside their limits."""
    if limits == sea_limits == Limits():
        return
    for tag, value in values.items():
        low, high = sea_limits if tag in sea else limits
        if (low is not None and value < low) or (high is not None and value > high):
            yield tag


def _size(value: float | None) -> float | None:
    return None if value is None else abs(value)


def _limits(name: str, vessel: Vessel) -> tuple[Limits, Limits]:
    given = vessel.limits
    if name == "velocity":
        return Limits(high=given.velocity_max_m_s), Limits(high=given.sea_velocity_max_m_s)
    if name == "loss":
        return Limits(high=given.loss_max_Pa_m), Limits()
    if name == "pressure":
        return Limits(low=given.static_min_kPa), Limits()
    if name == "share":
        limits = Limits(given.share_min_percent / 100, given.share_max_percent / 100)
        return limits, limits
    if name == "condensation":
        return Limits(low=0.0), Limits(low=0.0)
    return Limits(), Limits()


def _range(
    name: str, values: Mapping[str, float], limits: Limits, quantity: str, system: System, *, heating: bool
) -> tuple[float, float]:
    """Return the ends of the map, at round figures of the unit shown."""
    if name == "temperature" and heating:
        return _HEATING_WATER
    if name in _FIXED:
        return _FIXED[name]
    top = max(values.values(), default=0.0)
    bottom = min(values.values(), default=0.0) if name == "pressure" else 0.0
    if limits.high is not None:
        top = max(top, limits.high)
    shown_top, shown_bottom = to_shown(top, quantity, system), to_shown(bottom, quantity, system)
    step = _round_step((shown_top - shown_bottom) / 4)
    high = math.ceil(shown_top / step - 1e-9) * step
    low = math.floor(shown_bottom / step + 1e-9) * step
    return to_document(low, quantity, system), to_document(high, quantity, system)


def _round_step(wanted: float) -> float:
    """Return the smallest of 1, 2, 2.5, 5 times a power of ten that is not below ``wanted``."""
    if wanted <= 0 or not math.isfinite(wanted):
        return 1.0
    power = 10.0 ** math.floor(math.log10(wanted))
    return next(
        factor * power for factor in (1.0, 2.0, 2.5, 5.0, 10.0) if factor * power >= wanted * (1 - 1e-9)
    )
