# SPDX-License-Identifier: MIT
"""Names on screen for the kinds, fields and choices of the document.

A field without a name here gets one made from its key, so that a new field is never hidden.
"""

from __future__ import annotations

from functools import cache

from PySide6.QtCore import QCoreApplication


def _tr(text: str) -> str:
    return QCoreApplication.translate("Words", text)


@cache
def kind_names() -> dict[str, str]:
    """Return kind -> its name, in the order an outline lists them."""
    return {
        "air_handler": _tr("Air handler"),
        "chiller": _tr("Chiller"),
        "circulation_pump": _tr("Circulation pump"),
        "sea_water_pump": _tr("Sea-water pump"),
        "regulating_valve": _tr("Regulating valve"),
        "two_way_valve": _tr("2-way control valve"),
        "three_way_valve": _tr("3-way control valve"),
        "differential_bypass": _tr("Differential bypass"),
        "constant_flow_valve": _tr("Constant-flow valve"),
        "isolating_valve": _tr("Isolating valve"),
        "check_valve": _tr("Check valve"),
        "strainer": _tr("Strainer"),
        "expansion_vessel": _tr("Expansion vessel"),
        "air_separator": _tr("Air separator"),
        "air_vent": _tr("Air vent"),
        "buffer_tank": _tr("Buffer tank"),
        "fill_point": _tr("Fill point"),
        "drain": _tr("Drain"),
        "flexible_hose": _tr("Flexible hose"),
        "through_hull": _tr("Through-hull"),
        "overboard": _tr("Overboard"),
        "pressure_gauge": _tr("Pressure gauge"),
        "temperature_gauge": _tr("Temperature gauge"),
        "flow_meter": _tr("Flow meter"),
        "manifold": _tr("Manifold"),
        "tee": _tr("Tee"),
        "run": _tr("Run"),
    }


@cache
def plural_names() -> dict[str, str]:
    """Return kind -> its name for several."""
    return {
        "air_handler": _tr("Air handlers"),
        "chiller": _tr("Chillers"),
        "circulation_pump": _tr("Circulation pumps"),
        "sea_water_pump": _tr("Sea-water pumps"),
        "regulating_valve": _tr("Regulating valves"),
        "two_way_valve": _tr("2-way control valves"),
        "three_way_valve": _tr("3-way control valves"),
        "differential_bypass": _tr("Differential bypasses"),
        "constant_flow_valve": _tr("Constant-flow valves"),
        "isolating_valve": _tr("Isolating valves"),
        "check_valve": _tr("Check valves"),
        "strainer": _tr("Strainers"),
        "expansion_vessel": _tr("Expansion vessels"),
        "air_separator": _tr("Air separators"),
        "air_vent": _tr("Air vents"),
        "buffer_tank": _tr("Buffer tanks"),
        "fill_point": _tr("Fill points"),
        "drain": _tr("Drains"),
        "flexible_hose": _tr("Flexible hoses"),
        "through_hull": _tr("Through-hulls"),
        "overboard": _tr("Overboards"),
        "pressure_gauge": _tr("Pressure gauges"),
        "temperature_gauge": _tr("Temperature gauges"),
        "flow_meter": _tr("Flow meters"),
        "manifold": _tr("Manifolds"),
        "tee": _tr("Tees"),
        "run": _tr("Runs"),
    }


@cache
def _field_names() -> dict[str, str]:
    return {
        "tag": _tr("Tag"),
        "name": _tr("Name"),
        "deck": _tr("Deck"),
        "turn": _tr("Quarter turns"),
        "height_m": _tr("Height"),
        "model": _tr("Model"),
        "notes": _tr("Notes"),
        "running": _tr("Running"),
        "speed_percent": _tr("Speed"),
        "opening_percent": _tr("Opening"),
        "position_percent": _tr("Position"),
        "setting": _tr("Handwheel setting"),
        "clogging_percent": _tr("Clogged"),
        "curve": _tr("Pump curve at rated speed"),
        "rated_rpm": _tr("Rated speed"),
        "motor_efficiency_percent": _tr("Motor efficiency"),
        "efficiency_percent": _tr("Efficiency"),
        "power_W": _tr("Shaft power"),
        "head_m": _tr("Head"),
        "npsh_required_m": _tr("NPSH needed"),
        "capacity_kW": _tr("Capacity"),
        "design_flow_L_s": _tr("Design flow"),
        "rated_flow_L_s": _tr("Rated flow"),
        "rated_drop_kPa": _tr("Rated drop"),
        "drop_exponent": _tr("Drop exponent"),
        "drop_points": _tr("Measured drops"),
        "drop_kPa": _tr("Drop"),
        "minimum_flow_L_s": _tr("Least flow"),
        "sea_rated_flow_L_s": _tr("Rated sea-water flow"),
        "sea_rated_drop_kPa": _tr("Rated sea-water drop"),
        "sea_drop_exponent": _tr("Sea-water drop exponent"),
        "set_point_C": _tr("Set point"),
        "capacity_total_kW": _tr("Total capacity"),
        "capacity_sensible_kW": _tr("Sensible capacity"),
        "cabins": _tr("Cabins"),
        "k_run": _tr("K, straight through"),
        "k_branch": _tr("K, into the branch"),
        "port_count": _tr("Ports"),
        "style": _tr("Style"),
        "kv_m3_h": _tr("Kv"),
        "kv_table": _tr("Kv by setting"),
        "kvs_m3_h": _tr("Kvs"),
        "cracking_kPa": _tr("Cracking pressure"),
        "characteristic": _tr("Characteristic"),
        "rangeability": _tr("Rangeability"),
        "set_kPa": _tr("Opens at"),
        "band_kPa": _tr("Fully open above by"),
        "flow_L_s": _tr("Flow"),
        "minimum_drop_kPa": _tr("Works from"),
        "maximum_drop_kPa": _tr("Works up to"),
        "pressure_kPa": _tr("Pressure"),
        "volume_L": _tr("Volume"),
        "precharge_kPa": _tr("Precharge"),
        "nozzle_kv_m3_h": _tr("Kv of a nozzle"),
        "bore_mm": _tr("Bore"),
        "length_m": _tr("Length"),
        "roughness_mm": _tr("Roughness"),
        "k": _tr("K of bends and ends"),
        "series": _tr("Pipe"),
        "size": _tr("Size"),
        "length_known": _tr("Length is"),
        "length_plus_minus_percent": _tr("Give or take"),
        "rise_m": _tr("Rise"),
        "fittings": _tr("Fittings"),
        "kind": _tr("Kind"),
        "count": _tr("Number"),
        "extra_k": _tr("Other losses, K"),
        "insulation": _tr("Insulated"),
        "insulation.material": _tr("Insulation"),
        "insulation.thickness_mm": _tr("Thickness"),
        "insulation.conductivity_W_mK": _tr("Conductivity"),
        "surroundings": _tr("Passes through"),
        "surroundings_temp_C": _tr("Temperature there"),
        "service": _tr("Service"),
        "share_percent": _tr("Share"),
        "share_by": _tr("Share by"),
        "temp_C": _tr("Temperature"),
        "outdoor_temp_C": _tr("Outdoor air"),
        "outdoor_rh_percent": _tr("Outdoor humidity"),
        "sea_temp_C": _tr("Sea water"),
        "sea_salinity_g_kg": _tr("Salinity"),
        "mode": _tr("Mode"),
        "velocity_min_m_s": _tr("Least velocity"),
        "velocity_max_m_s": _tr("Highest velocity"),
        "sea_velocity_max_m_s": _tr("Highest, sea water"),
        "loss_max_Pa_m": _tr("Highest loss"),
        "share_min_percent": _tr("Least share of design"),
        "share_max_percent": _tr("Highest share of design"),
        "static_min_kPa": _tr("Least pressure"),
        "npsh_margin_m": _tr("NPSH margin"),
        "tees": _tr("Tees"),
        "units": _tr("Units"),
        "condition": _tr("Current"),
    }


def field_name(key: str) -> str:
    """Return a field's name on screen."""
    found = _field_names().get(key)
    if found is None:
        found = key.rpartition(".")[2].replace("_", " ")
        found = found[:1].upper() + found[1:]
    return found


@cache
def _choice_names() -> dict[str, str]:
    return {
        "water": _tr("water"),
        "propylene_glycol": _tr("propylene glycol"),
        "ethylene_glycol": _tr("ethylene glycol"),
        "mass": _tr("mass"),
        "volume": _tr("volume"),
        "cooling": _tr("cooling"),
        "heating": _tr("heating"),
        "ball": _tr("ball"),
        "gate": _tr("gate"),
        "butterfly": _tr("butterfly"),
        "globe": _tr("globe"),
        "linear": _tr("linear"),
        "equal_percentage": _tr("equal percentage"),
        "measured": _tr("measured"),
        "drawing": _tr("off the drawing"),
        "guessed": _tr("guessed"),
        "supply": _tr("supply"),
        "return": _tr("return"),
        "sea": _tr("sea water"),
        "": _tr("not said"),
        "crane": _tr("Crane TP-410"),
        "hooper": _tr("Hooper 2-K"),
        "darby": _tr("Darby 3-K"),
        "flow_split": _tr("by flow split"),
        "constant": _tr("constant"),
        "si": _tr("SI"),
        "us": _tr("US customary"),
    }


def choice_name(value: object) -> str:
    """Return a choice's name on screen."""
    text = str(value)
    return _choice_names().get(text, text.replace("_", " "))


def port_name(port: str) -> str:
    """Return a port's name in words."""
    return port.replace("_", " ")


def empty_meaning(key: str) -> str:
    """Return what an empty optional field stands for."""
    return {
        "height_m": _tr("from its neighbours"),
        "rise_m": _tr("from the heights"),
        "kv_m3_h": _tr("from its style"),
        "k_run": _tr("calculated"),
        "k_branch": _tr("calculated"),
    }.get(key, _tr("not known"))
