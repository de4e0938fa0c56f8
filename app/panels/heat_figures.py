# SPDX-License-Identifier: MIT
"""What the temperatures say of a part, in lines for its sheet."""

from __future__ import annotations

from typing import NamedTuple

from app.overlay.cabin_words import is_at_set_point, off_in_words
from app.overlay.condensation import condensation_words
from app.panels.trip_words import trip_check, trip_words
from app.translation import tr
from app.units import System, number, show
from solver.results import CabinFigures, ChillerFigures, CoilFigures, HeatResults, Results
from solver.vessel.vessel import Vessel

_DELTA = "temperature_difference"


class Line(NamedTuple):
    """One figure with its name; ``of_heat`` where it is dimmed with the temperatures."""

    label: str
    text: str
    of_heat: bool = False


class Figures(NamedTuple):
    """A part's headline, a judgement in words, and the lines under it.

    ``state`` is "good", "warn", "bad" or empty for no judgement; ``caution`` says who does what and why where
    someone can be hurt; ``of_heat`` says that headline and judgement are of the temperatures.
    """

    headline: str
    state: str = ""
    judgement: str = ""
    lines: tuple[Line, ...] = ()
    caution: str = ""
    of_heat: bool = False


def from_to(first_C: float, second_C: float, units: System) -> str:
    """Return two temperatures as a change, such as ``9.6 → 14.0 °C``."""
    return f"{number(first_C, 'temperature', units)} → {show(second_C, 'temperature', units)}"


def kilowatts(heat_W: float, units: System) -> str:
    """Return heat as cooling capacities are written."""
    return show(heat_W / 1000, "capacity", units)


def coil_lines(coil: CoilFigures, units: System, *, heating: bool) -> list[Line]:
    """Return what an air handler's coil does, most wanted first."""
    total = abs(coil.total_W)
    of_rated = tr("{0} of {1} rated").format(
        kilowatts(total, units), kilowatts(abs(coil.rated_total_W), units)
    )
    found = [(tr("Heating") if heating else tr("Cooling"), of_rated)]
    if not heating:
        found.append((tr("  sensible"), kilowatts(coil.sensible_W, units)))
        found.append((tr("  latent"), kilowatts(coil.latent_W, units)))
    found.append((tr("Water in and out"), from_to(coil.water_in_C, coil.water_out_C, units)))
    found.append((tr("ΔT of the water"), show(abs(coil.water_out_C - coil.water_in_C), _DELTA, units)))
    found.append((tr("Air in and out"), from_to(coil.air_in_C, coil.air_out_C, units)))
    found.append((tr("Humidity of the air in"), show(coil.air_in_rh, "fraction", units)))
    run = tr("{0} of the time").format(show(coil.run_share, "fraction", units))
    found.append((tr("Runs"), run))
    found.append((tr("Fan speed"), show(coil.fan_percent, "percent", units)))
    if coil.fan_heat_W > 0:
        found.append((tr("Heat of the fan"), show(coil.fan_heat_W, "power", units)))
    if not heating:
        found.append((tr("Condensate"), show(coil.condensate_L_h, "condensate", units)))
    return [Line(label, text, of_heat=True) for label, text in found]


def chiller_figures(chiller: ChillerFigures, units: System, *, heating: bool) -> Figures:
    """Return a chiller's figures; its flows and pressures follow them."""
    state, judgement, caution = _judged(chiller, units, heating=heating)
    if chiller.tripped:
        return _stopped(chiller, units, Figures(tr("Stopped"), state, judgement, (), caution, of_heat=True))
    duty = tr("{0} of {1}").format(
        show(abs(chiller.duty_kW), "capacity", units), show(abs(chiller.capacity_kW), "capacity", units)
    )
    sea = from_to(chiller.sea_in_C, chiller.sea_out_C, units)
    found = [
        (tr("Entering water"), show(chiller.entering_C, "temperature", units)),
        (tr("Set point"), show(chiller.set_point_C, "temperature", units)),
        (tr("Duty, of its capacity now"), duty),
        (tr("Load"), show(chiller.load_share, "fraction", units)),
        (tr("Compressor power"), show(1000 * chiller.power_kW, "power", units)),
        (tr("Sea water in and out"), sea),
        (tr("ΔT of the sea water"), show(abs(chiller.sea_out_C - chiller.sea_in_C), _DELTA, units)),
        (tr("Sea-water flow"), show(chiller.sea_flow_L_s, "flow", units)),
        (
            tr("Heat out of the sea") if heating else tr("Heat into the sea"),
            show(abs(chiller.into_sea_kW), "capacity", units),
        ),
        (
            tr("Refrigerant evaporates at") if heating else tr("Refrigerant condenses at"),
            show(chiller.refrigerant_C, "temperature", units),
        ),
    ]
    if chiller.cycles:
        found.append((tr("Compressor"), tr("starts and stops")))
    if not chiller.sea_drawn:
        found.append((tr("Sea-water side"), tr("not drawn: rated flow taken")))
    if not chiller.covered:
        found.append((tr("Its rated figures"), tr("do not reach this far")))
    headline = tr("{0} leaving").format(show(chiller.leaving_C, "temperature", units))
    lines = tuple(Line(label, text, of_heat=True) for label, text in found)
    return Figures(headline, state, judgement, lines, caution, of_heat=True)


def _stopped(chiller: ChillerFigures, units: System, figures: Figures) -> Figures:
    """Return the figures of a chiller that stands still: what its switches looked at."""
    found = [
        (tr("Entering water"), show(chiller.entering_C, "temperature", units)),
        (tr("Set point"), show(chiller.set_point_C, "temperature", units)),
        (tr("Sea water in"), show(chiller.sea_in_C, "temperature", units)),
        (tr("Sea-water flow"), show(chiller.sea_flow_L_s, "flow", units)),
    ]
    return figures._replace(lines=tuple(Line(label, text, of_heat=True) for label, text in found))


def _judged(chiller: ChillerFigures, units: System, *, heating: bool) -> tuple[str, str, str]:
    """Return state, judgement and caution."""
    if chiller.tripped:
        words = f"{trip_words(chiller.tripped)}. {trip_check(chiller.tripped)}".strip()
        return ("warn" if chiller.tripped == "off" else "bad"), words, plant_caution()
    set_point = show(chiller.set_point_C, "temperature", units)
    if chiller.at_set_point:
        return "good", tr("Holds its set point of {0}").format(set_point), ""
    short = show(abs(chiller.leaving_C - chiller.set_point_C), _DELTA, units)
    words = (
        tr("{0} short of its set point: it gives all it can")
        if heating
        else tr("{0} above its set point: it gives all it can")
    )
    return "warn", words.format(short), ""


def plant_caution() -> str:
    """Return who may open a chiller."""
    return tr(
        "Leave refrigerant, pressure switches and electrical parts to people licensed for them. Shut and "
        "isolate before you open anything; find the cause before you reset a switch."
    )


def cabin_figures(cabin: CabinFigures, results: Results, units: System, *, heating: bool) -> Figures:
    """Return a cabin's temperature against its set point, its air and its load."""
    off = off_in_words(cabin, units, heating=heating)
    at = is_at_set_point(cabin)
    set_point = show(cabin.set_point_C, "temperature", units)
    state = "good" if at or cabin.above_K < 0 else "warn"
    words = off[:1].upper() + off[1:] if at else tr("{0} for its set point of {1}").format(off, set_point)
    found = [
        (tr("Set point"), set_point),
        (tr("Humidity"), show(cabin.rh, "fraction", units)),
        (
            tr("Loses") if heating else tr("Load"),
            kilowatts(abs(cabin.load_sensible_W + cabin.load_latent_W), units),
        ),
        (tr("  sensible"), kilowatts(abs(cabin.load_sensible_W), units)),
    ]
    if not heating:
        found.append((tr("  latent"), kilowatts(cabin.load_latent_W, units)))
    if cabin.estimated:
        found.append((tr("Load is"), tr("an estimate by size")))
    for tag in cabin.air_handlers:
        handler = results.air_handlers.get(tag)
        share = "" if handler is None else show(handler.share_of_design, "fraction", units)
        found.append((tag, tr("{0} of design flow").format(share) if share else ""))
    if not cabin.air_handlers:
        found.append((tr("Air handler"), tr("none serves it")))
    headline = show(cabin.temp_C, "temperature", units)
    lines = tuple(Line(label, text, of_heat=True) for label, text in found)
    return Figures(headline, state, words, lines, of_heat=True)


def run_lines(heat: HeatResults, tag: str, units: System) -> list[Line]:
    """Return what the water of a run takes up and whether its surface drips."""
    found = []
    water = heat.water.get(tag)
    if water is not None:
        found.append((tr("Water in and out"), from_to(water.in_C, water.out_C, units)))
        gained = tr("Heat it takes up") if water.heat_W >= 0 else tr("Heat it gives off")
        found.append((gained, show(abs(water.heat_W), "power", units)))
    surface = heat.surfaces.get(tag)
    if surface is not None:
        found.append((tr("Air round it"), show(surface.air_C, "temperature", units)))
        found.append((tr("Coldest surface"), show(surface.surface_C, "temperature", units)))
        found.append((tr("Dew point there"), show(surface.dew_point_C, "temperature", units)))
        found.append((tr("Surface over dew point"), condensation_words(surface.margin_K, units)))
    return [Line(label, text, of_heat=True) for label, text in found]


def water_lines(heat: HeatResults, tag: str, units: System) -> list[Line]:
    """Return how warm the water through a part is, and what it takes up there."""
    water = heat.water.get(tag)
    if water is None:
        return []
    found = [Line(tr("Water in and out"), from_to(water.in_C, water.out_C, units), of_heat=True)]
    if abs(water.heat_W) >= 1.0:
        found.append(Line(tr("Heat into the water"), show(water.heat_W, "power", units), of_heat=True))
    return found


def is_heating(vessel: Vessel) -> bool:
    """Return whether the vessel's current conditions are for heating."""
    return vessel.current_conditions.mode == "heating"
