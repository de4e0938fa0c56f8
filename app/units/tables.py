# SPDX-License-Identifier: MIT
"""Table of units: what kind each is of, how it is spelled, how large it is.

Sources of the factors: BIPM, The International System of Units, 9th edition, and NIST SP 811, Guide for
the Use of the SI, appendix B (both from memory; every factor is checked against ``pint`` in the tests).
"""

from __future__ import annotations

import math
import re

# Exact by definition: inch, pound, standard gravity, US gallon (231 in3), imperial gallon.
_INCH = 0.0254  # m
_FOOT = 12 * _INCH
_POUND = 0.45359237  # kg
_GRAVITY = 9.80665  # m/s2
_US_GALLON = 231 * _INCH**3 * 1000  # L
_IMPERIAL_GALLON = 4.54609  # L
_PSI = _POUND * _GRAVITY / _INCH**2 / 1000  # kPa
# Conventional water: 1000 kg/m3 under standard gravity (NIST SP 811, "meter of water, conventional").
_METRE_OF_WATER = _GRAVITY  # kPa
_INCH_OF_MERCURY = 3.386389  # kPa, conventional
_BTU = 1055.05585262  # J, International Table
_TON = 12000 * _BTU / 3600  # W, ton of refrigeration
_HORSEPOWER = 550 * _FOOT * _POUND * _GRAVITY  # W, mechanical
# Cv passes 1 US gal/min at 1 psi, Kv 1 m3/h at 1 bar (IEC 60534-2-1), both of the same water.
_CV = _US_GALLON * 0.06 * math.sqrt(100 / _PSI)  # Kv

#: Kind of unit -> how it is called, and its units: name and other spellings -> size in the kind's own unit.
KINDS: dict[str, tuple[str, dict[str, float]]] = {
    "flow": (
        "a flow",
        {
            "L/s|litre/s|l/sec": 1.0,
            "L/min|lpm": 1 / 60,
            "L/h": 1 / 3600,
            "m3/h": 1 / 3.6,
            "m3/s": 1000.0,
            "US gpm|gpm|US gal/min|usgpm": _US_GALLON / 60,
            "US gal/h|gph|US gph": _US_GALLON / 3600,
            "imp gpm|imp gal/min|UK gpm|UK gal/min": _IMPERIAL_GALLON / 60,
        },
    ),
    "pressure": (
        "a pressure",
        {
            "Pa": 0.001,
            "kPa": 1.0,
            "MPa": 1000.0,
            "mbar": 0.1,
            "bar": 100.0,
            "psi": _PSI,
            "mH2O|m of water|m water|mwc": _METRE_OF_WATER,
            "ftH2O|ft of water|ft water": _METRE_OF_WATER * _FOOT,
            "inH2O|in of water|in water": _METRE_OF_WATER * _INCH,
            "inHg|in of mercury": _INCH_OF_MERCURY,
        },
    ),
    "length": (
        "a length",
        {
            "m|metre|metres|meter|meters": 1.0,
            "cm": 0.01,
            "mm": 0.001,
            "ft|foot|feet|'|′": _FOOT,
            "in|inch|inches|\"|″|''|′′": _INCH,
        },
    ),
    "velocity": ("a velocity", {"m/s|m/sec": 1.0, "ft/s|ft/sec|fps": _FOOT, "ft/min|fpm": _FOOT / 60}),
    "gradient": (
        "a loss per length",
        {
            "Pa/m": 1.0,
            "kPa/m": 1000.0,
            "mbar/m": 100.0,
            "mm/m": _METRE_OF_WATER,
            "ft/100 ft|ft of water/100 ft": 10 * _METRE_OF_WATER,
            "psi/100 ft": 10 * _PSI / _FOOT,
        },
    ),
    # Temperatures have an offset besides, in OFFSETS.
    "temperature": (
        "a temperature",
        {"°C|C|degC|deg C|Celsius": 1.0, "°F|F|degF|deg F|Fahrenheit": 5 / 9, "K|kelvin": 1.0},
    ),
    "difference": (
        "a temperature difference",
        {"K|kelvin|°C|C|degC|deg C": 1.0, "°F|F|degF|deg F": 5 / 9},
    ),
    "power": (
        "a power",
        {
            "W|watt|watts": 1.0,
            "kW": 1000.0,
            "hp": _HORSEPOWER,
            "BTU/h|BTU/hr|BTUH": _BTU / 3600,
            "tons|ton|tons of refrigeration|ton of refrigeration": _TON,
        },
    ),
    "volume": (
        "a volume",
        {
            "L|litre|litres|liter|liters": 1.0,
            "mL": 0.001,
            "m3": 1000.0,
            "US gal|US gallon|US gallons": _US_GALLON,
            "imp gal|imperial gal|imperial gallon|imperial gallons|UK gal|UK gallons": _IMPERIAL_GALLON,
        },
    ),
    "slope": ("a change per kelvin", {"%/K|%/°C|%/C": 1.0, "%/°F|%/F": 9 / 5}),
    "conductance": ("a conductance", {"W/K|W/°C": 1.0, "BTU/h·°F|BTU/h°F|BTU/(h °F)": _BTU / 3600 * 9 / 5}),
    "mass flow": (
        "a flow of mass",
        {"kg/s": 1.0, "g/s": 0.001, "kg/h": 1 / 3600, "lb/min": _POUND / 60, "lb/h": _POUND / 3600},
    ),
    "heat flux": (
        "heat per area",
        {"W/m²|W/m2": 1.0, "BTU/h ft²|BTU/h ft2|BTU/(h ft2)": _BTU / 3600 / _FOOT**2},
    ),
    "time": ("a time", {"min|minutes|minute": 1.0, "s|sec|seconds": 1 / 60, "h|hours|hour": 60.0}),
    "flow coefficient": ("a flow coefficient", {"Kv|m3/h|m3/h Kv": 1.0, "Cv": _CV}),
    "area": ("an area", {"m²|m2|sq m": 1.0, "ft²|ft2|sq ft|sqft": _FOOT**2}),
    "transmittance": (
        "a U-value",
        {
            "W/m²K|W/m2K|W/(m2 K)": 1.0,
            "BTU/h ft² °F|BTU/h ft2 °F|BTU/(h ft2 °F)": _BTU / 3600 / _FOOT**2 * 1.8,
        },
    ),
    "air flow": (
        "a flow of air",
        {
            "L/s|litre/s": 1.0,
            "L/min": 1 / 60,
            "m3/h": 1 / 3.6,
            "m3/s": 1000.0,
            "cfm|ft3/min": _FOOT**3 * 1000 / 60,
        },
    ),
    "angle": ("an angle", {"°|deg|degrees": 1.0}),
    "energy": (
        "an energy",
        {"kWh": 1.0, "Wh": 0.001, "MJ": 1 / 3.6, "kJ": 1 / 3600, "BTU": _BTU / 3.6e6},
    ),
    "share": ("a share", {"%|percent|per cent": 1.0}),
    "mass": ("a mass", {"kg": 1.0, "g": 0.001, "lb|lbs|pound|pounds": _POUND}),
    "rotation": ("a speed of rotation", {"rpm|r/min": 1.0}),
    "number": ("a number without unit", {}),
}

#: Added after scaling, to reach degC.
OFFSETS = {"°C": 0.0, "°F": -160 / 9, "K": -273.15}

#: Volumes that say too little: a gallon is 3.785 L in the United States and 4.546 L elsewhere.
TWO_GALLONS = {"gal", "gals", "gallon", "gallons", "gal/min", "gallons/min"}


def plain_spelling(text: str) -> str:
    """Return a unit's text without case and spaces, and with a stroke for ``per``."""
    return re.sub(r"\s+", "", re.sub(r"\s+per\s+", "/", text.casefold()))


#: Kind -> unit's name -> size in the kind's own unit.
SIZES: dict[str, dict[str, float]] = {
    kind: {spellings.split("|")[0]: size for spellings, size in units.items()}
    for kind, (_, units) in KINDS.items()
}

#: Spelling -> kind -> unit's name.
SPELLINGS: dict[str, dict[str, str]] = {}
for _kind, (_, _units) in KINDS.items():
    for _names in _units:
        for _name in _names.split("|"):
            SPELLINGS.setdefault(plain_spelling(_name), {})[_kind] = _names.split("|")[0]
