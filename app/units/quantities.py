# SPDX-License-Identifier: MIT
"""The quantities of the document: kind, the document's unit, and the unit each system shows."""

from __future__ import annotations

from typing import Literal, NamedTuple

from app.units.tables import OFFSETS, SIZES
from solver.errors import FarcabinError

System = Literal["si", "us"]


class UnitError(FarcabinError, ValueError):
    """What was typed is not a value of the quantity expected there."""


class Shown(NamedTuple):
    """How a quantity is shown in one system: unit, most decimals."""

    unit: str
    decimals: int


class Quantity(NamedTuple):
    """One quantity: its name in messages, kind of unit, the document's unit in the kind's own.

    ``given`` quantities are data that people type: trailing zeros are left out.
    """

    name: str
    kind: str
    document: float
    si: Shown
    us: Shown
    examples: str
    given: bool = False


_PERCENT = Shown("%", 1)
_FIGURE = Shown("", 4)
_WATT, _RPM = Shown("W", 0), Shown("rpm", 0)

QUANTITIES: dict[str, Quantity] = {
    "flow": Quantity("a flow", "flow", 1.0, Shown("L/min", 1), Shown("US gpm", 2), "12 L/min or 3.2 gpm"),
    "pressure": Quantity(
        "a pressure", "pressure", 1.0, Shown("kPa", 1), Shown("psi", 2), "12 kPa, 0.12 bar or 1.7 psi"
    ),
    "head": Quantity("a head", "length", 1.0, Shown("m", 2), Shown("ft", 1), "5 m or 16 ft"),
    "velocity": Quantity(
        "a velocity", "velocity", 1.0, Shown("m/s", 2), Shown("ft/s", 2), "0.8 m/s or 2.6 ft/s"
    ),
    "loss_per_length": Quantity(
        "a loss per length",
        "gradient",
        1.0,
        Shown("Pa/m", 0),
        Shown("ft/100 ft", 2),
        "250 Pa/m or 2.5 ft/100 ft",
    ),
    "length": Quantity("a length", "length", 1.0, Shown("m", 2), Shown("ft", 2), "3.5 m or 11 ft 6 in", True),
    "bore": Quantity("a bore", "length", 0.001, Shown("mm", 2), Shown("in", 3), "20 mm or 3/4 in", True),
    "temperature": Quantity(
        "a temperature", "temperature", 1.0, Shown("°C", 1), Shown("°F", 1), "7 °C or 45 °F"
    ),
    "temperature_difference": Quantity(
        "a temperature difference", "difference", 1.0, Shown("K", 1), Shown("°F", 1), "5 K or 9 °F"
    ),
    "power": Quantity("a power", "power", 1.0, _WATT, _WATT, "750 W, 0.75 kW or 1 hp"),
    "capacity": Quantity(
        "a cooling capacity",
        "power",
        1000.0,
        Shown("kW", 2),
        Shown("tons", 2),
        "14 kW, 4 tons or 48000 BTU/h",
    ),
    "condensate": Quantity(
        "a flow", "flow", 1 / 3600, Shown("L/h", 1), Shown("US gal/h", 2), "1.5 L/h or 0.4 US gal/h"
    ),
    "slope": Quantity(
        "a change per kelvin", "slope", 1.0, Shown("%/K", 2), Shown("%/°F", 2), "3 %/K or 1.7 %/°F", True
    ),
    "conductance": Quantity(
        "a conductance", "conductance", 1.0, Shown("W/K", 1), Shown("BTU/h·°F", 1), "2.5 W/K", True
    ),
    "mass_flow": Quantity(
        "a flow of mass", "mass flow", 1.0, Shown("g/s", 1), Shown("lb/min", 2), "18 g/s or 2.4 lb/min"
    ),
    "heat_flux": Quantity(
        "heat per area", "heat flux", 1.0, Shown("W/m²", 0), Shown("BTU/h ft²", 0), "150 W/m2"
    ),
    "time": Quantity("a time", "time", 1.0, Shown("min", 1), Shown("min", 1), "3 min", True),
    "hours": Quantity("a time", "time", 60.0, Shown("h", 2), Shown("h", 2), "12 h or 90 min"),
    "energy": Quantity("an energy", "energy", 1.0, Shown("kWh", 1), Shown("kWh", 1), "12 kWh or 43 MJ"),
    "electrical_power": Quantity(
        "a power", "power", 1000.0, Shown("kW", 2), Shown("kW", 2), "3.2 kW or 3200 W"
    ),
    "volume": Quantity("a volume", "volume", 1.0, Shown("L", 1), Shown("US gal", 1), "25 L or 6.6 US gal"),
    "area": Quantity("an area", "area", 1.0, Shown("m²", 2), Shown("ft²", 1), "6.5 m2 or 70 ft2", True),
    "transmittance": Quantity(
        "a U-value",
        "transmittance",
        1.0,
        Shown("W/m²K", 2),
        Shown("BTU/h ft² °F", 3),
        "0.9 W/m2K or 0.16 BTU/h ft2 °F",
        True,
    ),
    "air_flow": Quantity(
        "a flow of air", "air flow", 1.0, Shown("L/s", 1), Shown("cfm", 0), "16 L/s or 34 cfm"
    ),
    "heat": Quantity("a heat load", "power", 1.0, Shown("W", 0), Shown("BTU/h", 0), "850 W or 2900 BTU/h"),
    "angle": Quantity("an angle", "angle", 1.0, Shown("°", 1), Shown("°", 1), "45°", True),
    "flow_coefficient": Quantity(
        "a flow coefficient", "flow coefficient", 1.0, Shown("Kv", 2), Shown("Cv", 2), "2.5 Kv or 2.9 Cv"
    ),
    "percent": Quantity("a share", "share", 1.0, _PERCENT, _PERCENT, "25 %", True),
    "fraction": Quantity("a share", "share", 100.0, Shown("%", 0), Shown("%", 0), "25 %"),
    "mass": Quantity("a mass", "mass", 1.0, Shown("kg", 1), Shown("lb", 1), "12 kg or 26 lb"),
    "rotation": Quantity("a speed of rotation", "rotation", 1.0, _RPM, _RPM, "2900 rpm", True),
    "count": Quantity("a whole number", "number", 1.0, _FIGURE, _FIGURE, "4", True),
    "plain": Quantity("a number", "number", 1.0, _FIGURE, _FIGURE, "1.5", True),
}

#: End of a document field's name -> quantity, longest first.
_SUFFIXES = {
    "_percent_K": "slope",
    "_percent": "percent",
    "_Pa_m": "loss_per_length",
    "_m3_h": "flow_coefficient",
    "_W_m2K": "transmittance",
    "_W_mK": "plain",
    "_W_K": "conductance",
    "_g_kg": "plain",
    "_kg_s": "plain",
    "_L_h": "condensate",
    "_kPa": "pressure",
    "_min": "time",
    "_L_s": "flow",
    "_m_s": "velocity",
    "_rpm": "rotation",
    "_deg": "angle",
    "_count": "count",
    "_kW": "capacity",
    "_kg": "mass",
    "_mm": "bore",
    "_m2": "area",
    "_C": "temperature",
    "_K": "temperature_difference",
    "_L": "volume",
    "_W": "power",
    "_m": "length",
}
_NAMED = {
    "air_flow_L_s": "air_flow",
    "count": "count",
    "efficiency": "fraction",
    "iterations": "count",
    "outdoor_air_L_s": "air_flow",
    **dict.fromkeys(
        ("lights_W", "equipment_W", "equipment_latent_W", "load_sensible_W", "load_latent_W"), "heat"
    ),
    "share_of_best_flow": "fraction",
    "share_of_design": "fraction",
}


def find_quantity(name: str) -> Quantity:
    """Return the quantity of that name.

    Raises
    ------
    UnitError
        No quantity has that name.
    """
    try:
        return QUANTITIES[name]
    except KeyError:
        raise UnitError(f"no quantity is called {name}; known: {', '.join(QUANTITIES)}") from None


def shown_as(name: str, system: System) -> Shown:
    """Return how a quantity is shown in a system; raises as ``find_quantity`` does."""
    quantity = find_quantity(name)
    return quantity.us if system == "us" else quantity.si


def quantity_of(field_name: str) -> str:
    """Return the quantity of a document field from its name.

    Parameters
    ----------
    field_name : str
        Such as ``flow_L_s``, ``rise_m``, ``share_percent``.

    Returns
    -------
    str
        Name of the quantity; ``plain`` where the name carries no unit.

    Examples
    --------
    >>> quantity_of("design_flow_L_s"), quantity_of("head_m"), quantity_of("rangeability")
    ('flow', 'head', 'plain')
    """
    if field_name in _NAMED:
        return _NAMED[field_name]
    for suffix, quantity in _SUFFIXES.items():
        if field_name.endswith(suffix):
            if quantity == "length" and field_name.startswith(("head", "npsh")):
                return "head"
            return quantity
    return "plain"


def unit(quantity: str, system: System) -> str:
    """Return the unit a quantity is shown in, empty for plain numbers.

    Raises
    ------
    UnitError
        No quantity has that name.
    """
    return shown_as(quantity, system).unit


def scale_and_offset(quantity: Quantity, unit_name: str) -> tuple[float, float]:
    """Return what turns a value in ``unit_name`` into the document's: ``value * scale + offset``."""
    if quantity.kind == "number":
        return 1.0, 0.0
    offset = OFFSETS[unit_name] if quantity.kind == "temperature" else 0.0
    return SIZES[quantity.kind][unit_name] / quantity.document, offset


def to_shown(value: float, quantity: str, system: System) -> float:
    """Convert a value of the document into the unit shown.

    Raises
    ------
    UnitError
        No quantity has that name.
    """
    scale, offset = scale_and_offset(find_quantity(quantity), unit(quantity, system))
    return (value - offset) / scale


def to_document(value: float, quantity: str, system: System) -> float:
    """Convert a value in the unit shown into the document's.

    Raises
    ------
    UnitError
        No quantity has that name.
    """
    scale, offset = scale_and_offset(find_quantity(quantity), unit(quantity, system))
    return value * scale + offset
