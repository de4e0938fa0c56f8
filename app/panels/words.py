# SPDX-License-Identifier: MIT
"""Names on screen for the kinds, fields and choices of the document.

A field without a name here gets one made from its key, so that a new field is never hidden.
"""

from __future__ import annotations

from functools import cache

from app.translation import tr


@cache
def kind_names() -> dict[str, str]:
    """Return kind -> its name, in the order an outline lists them."""
    return {
        "air_handler": tr("Air handler"),
        "chiller": tr("Chiller"),
        "circulation_pump": tr("Circulation pump"),
        "sea_water_pump": tr("Sea-water pump"),
        "regulating_valve": tr("Regulating valve"),
        "two_way_valve": tr("2-way control valve"),
        "three_way_valve": tr("3-way control valve"),
        "differential_bypass": tr("Differential bypass"),
        "constant_flow_valve": tr("Constant-flow valve"),
        "isolating_valve": tr("Isolating valve"),
        "check_valve": tr("Check valve"),
        "strainer": tr("Strainer"),
        "expansion_vessel": tr("Expansion vessel"),
        "air_separator": tr("Air separator"),
        "air_vent": tr("Air vent"),
        "buffer_tank": tr("Buffer tank"),
        "fill_point": tr("Fill point"),
        "drain": tr("Drain"),
        "flexible_hose": tr("Flexible hose"),
        "through_hull": tr("Through-hull"),
        "overboard": tr("Overboard"),
        "pressure_gauge": tr("Pressure gauge"),
        "temperature_gauge": tr("Temperature gauge"),
        "flow_meter": tr("Flow meter"),
        "manifold": tr("Manifold"),
        "tee": tr("Tee"),
        "run": tr("Run"),
    }


@cache
def plural_names() -> dict[str, str]:
    """Return kind -> its name for several."""
    return {
        "air_handler": tr("Air handlers"),
        "chiller": tr("Chillers"),
        "circulation_pump": tr("Circulation pumps"),
        "sea_water_pump": tr("Sea-water pumps"),
        "regulating_valve": tr("Regulating valves"),
        "two_way_valve": tr("2-way control valves"),
        "three_way_valve": tr("3-way control valves"),
        "differential_bypass": tr("Differential bypasses"),
        "constant_flow_valve": tr("Constant-flow valves"),
        "isolating_valve": tr("Isolating valves"),
        "check_valve": tr("Check valves"),
        "strainer": tr("Strainers"),
        "expansion_vessel": tr("Expansion vessels"),
        "air_separator": tr("Air separators"),
        "air_vent": tr("Air vents"),
        "buffer_tank": tr("Buffer tanks"),
        "fill_point": tr("Fill points"),
        "drain": tr("Drains"),
        "flexible_hose": tr("Flexible hoses"),
        "through_hull": tr("Through-hulls"),
        "overboard": tr("Overboards"),
        "pressure_gauge": tr("Pressure gauges"),
        "temperature_gauge": tr("Temperature gauges"),
        "flow_meter": tr("Flow meters"),
        "manifold": tr("Manifolds"),
        "tee": tr("Tees"),
        "run": tr("Runs"),
    }


@cache
def _field_names() -> dict[str, str]:
    return {
        "tag": tr("Tag"),
        "name": tr("Name"),
        "deck": tr("Deck"),
        "turn": tr("Quarter turns"),
        "height_m": tr("Height"),
        "model": tr("Model"),
        "notes": tr("Notes"),
        "page": tr("Page"),
        "opacity_percent": tr("Strength"),
        "units_per_pixel": tr("Size, units a pixel"),
        "metres_per_unit": tr("Scale, metres a unit"),
        "running": tr("Running"),
        "speed_percent": tr("Speed"),
        "opening_percent": tr("Opening"),
        "position_percent": tr("Position"),
        "setting": tr("Handwheel setting"),
        "clogging_percent": tr("Clogged"),
        "curve": tr("Pump curve at rated speed"),
        "rated_rpm": tr("Rated speed"),
        "motor_efficiency_percent": tr("Motor efficiency"),
        "efficiency_percent": tr("Efficiency"),
        "power_W": tr("Shaft power"),
        "head_m": tr("Head"),
        "npsh_required_m": tr("NPSH needed"),
        "capacity_kW": tr("Capacity"),
        "design_flow_L_s": tr("Design flow"),
        "rated_flow_L_s": tr("Rated flow"),
        "rated_drop_kPa": tr("Rated drop"),
        "drop_exponent": tr("Drop exponent"),
        "drop_points": tr("Measured drops"),
        "drop_kPa": tr("Drop"),
        "minimum_flow_L_s": tr("Least flow"),
        "sea_rated_flow_L_s": tr("Rated sea-water flow"),
        "sea_rated_drop_kPa": tr("Rated sea-water drop"),
        "sea_drop_exponent": tr("Sea-water drop exponent"),
        "set_point_C": tr("Set point"),
        "rh_percent": tr("Relative humidity"),
        "floor_area_m2": tr("Floor area"),
        "ceiling_m": tr("Ceiling"),
        "surfaces": tr("Surfaces"),
        "people": tr("People"),
        "activity": tr("What they do"),
        "lights_W": tr("Lights"),
        "equipment_W": tr("Equipment, sensible"),
        "equipment_latent_W": tr("Equipment, latent"),
        "outdoor_air_L_s": tr("Outdoor air"),
        "load_sensible_W": tr("Sensible load, typed"),
        "load_latent_W": tr("Latent load, typed"),
        "area_m2": tr("Area"),
        "construction": tr("Built of"),
        "u_W_m2K": tr("U-value"),
        "other_side": tr("Beyond it"),
        "facing_deg": tr("Faces, from the bow"),
        "tilt_deg": tr("Tilt from level"),
        "absorptance": tr("Absorptance"),
        "solar_gain": tr("Solar heat gain"),
        "shaded_percent": tr("Shaded"),
        "latitude_deg": tr("Latitude, north"),
        "month": tr("Month"),
        "day": tr("Day of the month"),
        "hour": tr("Solar time, hours"),
        "heading_deg": tr("Heading, from north"),
        "cloud_percent": tr("Clouds"),
        "daily_range_K": tr("Daily range"),
        "air_m_s": tr("Air speed"),
        "capacity_total_kW": tr("Total capacity"),
        "capacity_sensible_kW": tr("Sensible capacity"),
        "cabins": tr("Cabins"),
        "k_run": tr("K, straight through"),
        "k_branch": tr("K, into the branch"),
        "port_count": tr("Ports"),
        "style": tr("Style"),
        "kv_m3_h": tr("Kv"),
        "kv_table": tr("Kv by setting"),
        "kvs_m3_h": tr("Kvs"),
        "cracking_kPa": tr("Cracking pressure"),
        "characteristic": tr("Characteristic"),
        "rangeability": tr("Rangeability"),
        "set_kPa": tr("Opens at"),
        "band_kPa": tr("Fully open above by"),
        "flow_L_s": tr("Flow"),
        "minimum_drop_kPa": tr("Works from"),
        "maximum_drop_kPa": tr("Works up to"),
        "pressure_kPa": tr("Pressure"),
        "volume_L": tr("Volume"),
        "precharge_kPa": tr("Precharge"),
        "nozzle_kv_m3_h": tr("Kv of a nozzle"),
        "bore_mm": tr("Bore"),
        "length_m": tr("Length"),
        "roughness_mm": tr("Roughness"),
        "k": tr("K of bends and ends"),
        "series": tr("Pipe"),
        "size": tr("Size"),
        "length_known": tr("Length is"),
        "length_plus_minus_percent": tr("Give or take"),
        "rise_m": tr("Rise"),
        "fittings": tr("Fittings"),
        "fittings_known": tr("Elbows are"),
        "locked": tr("Locked"),
        "kind": tr("Kind"),
        "count": tr("Number"),
        "extra_k": tr("Other losses, K"),
        "insulation": tr("Insulated"),
        "insulation.material": tr("Insulation"),
        "insulation.thickness_mm": tr("Thickness"),
        "insulation.conductivity_W_mK": tr("Conductivity"),
        "surroundings": tr("Passes through"),
        "surroundings_temp_C": tr("Temperature there"),
        "service": tr("Service"),
        "share_percent": tr("Share"),
        "share_by": tr("Share by"),
        "temp_C": tr("Temperature"),
        "outdoor_temp_C": tr("Outdoor air"),
        "outdoor_rh_percent": tr("Outdoor humidity"),
        "sea_temp_C": tr("Sea water"),
        "sea_salinity_g_kg": tr("Salinity, g/kg"),
        "mode": tr("Mode"),
        "velocity_min_m_s": tr("Least velocity"),
        "velocity_max_m_s": tr("Highest velocity"),
        "sea_velocity_max_m_s": tr("Highest, sea water"),
        "loss_max_Pa_m": tr("Highest loss"),
        "share_min_percent": tr("Least share of design"),
        "share_max_percent": tr("Highest share of design"),
        "static_min_kPa": tr("Least pressure"),
        "npsh_margin_m": tr("NPSH margin"),
        "starts_max_h": tr("Most starts an hour"),
        "tees": tr("Tees"),
        "units": tr("Units"),
        "condition": tr("Current"),
        **_heat_field_names(),
    }


def _heat_field_names() -> dict[str, str]:
    return {
        "heating_set_point_C": tr("Set point in heating"),
        "power_kW": tr("Compressor power"),
        "rated_leaving_C": tr("Rated at leaving water"),
        "rated_sea_C": tr("Rated at sea water"),
        "capacity_per_leaving_percent_K": tr("Capacity by leaving water"),
        "capacity_per_sea_percent_K": tr("Capacity by sea water"),
        "power_per_leaving_percent_K": tr("Power by leaving water"),
        "power_per_sea_percent_K": tr("Power by sea water"),
        "capacity_points": tr("Capacity by water and sea"),
        "leaving_C": tr("Leaving"),
        "sea_C": tr("Sea"),
        "heating_capacity_kW": tr("Heating capacity"),
        "heating_power_kW": tr("Power in heating"),
        "compressor_speed_percent": tr("Compressor speed"),
        "turn_down_percent": tr("Turns down to"),
        "minimum_run_min": tr("Runs at least"),
        "minimum_stop_min": tr("Stands at least"),
        "dead_band_K": tr("Dead band"),
        "freezing_trip_C": tr("Trips on water below"),
        "condensing_trip_C": tr("Trips on refrigerant above"),
        "condenser_fouling_percent": tr("Condenser fouled"),
        "air_flow_L_s": tr("Air at full speed"),
        "rated_air_temp_C": tr("Rated at entering air"),
        "rated_air_rh_percent": tr("Humidity of that air"),
        "rated_water_temp_C": tr("Rated at entering water"),
        "thermostat": tr("Thermostat moves"),
        "fan_running": tr("Fan on"),
        "fan_speeds_percent": tr("Fan speeds"),
        "fan_power_W": tr("Fan power at full speed"),
        "filter_clogging_percent": tr("Filter clogged"),
        "coil_fouling_percent": tr("Coil fouled"),
        "heat_gain_W_K": tr("Heat through its walls"),
        "motor_in_water": tr("Motor cooled by the water"),
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
        "water": tr("water"),
        "propylene_glycol": tr("propylene glycol"),
        "ethylene_glycol": tr("ethylene glycol"),
        "mass": tr("mass"),
        "volume": tr("volume"),
        "cooling": tr("cooling"),
        "heating": tr("heating"),
        "ball": tr("ball"),
        "gate": tr("gate"),
        "butterfly": tr("butterfly"),
        "globe": tr("globe"),
        "linear": tr("linear"),
        "equal_percentage": tr("equal percentage"),
        "measured": tr("measured"),
        "drawing": tr("off the drawing"),
        "guessed": tr("guessed"),
        "assumed": tr("off the drawing, scale assumed"),
        "typed": tr("typed"),
        "supply": tr("supply"),
        "return": tr("return"),
        "sea": tr("sea water"),
        "": tr("not said"),
        "crane": tr("Crane TP-410"),
        "hooper": tr("Hooper 2-K"),
        "darby": tr("Darby 3-K"),
        "flow_split": tr("by flow split"),
        "constant": tr("constant"),
        "hull": tr("hull under water"),
        "side": tr("side above water"),
        "deck": tr("deck overhead"),
        "sole": tr("sole underfoot"),
        "machinery": tr("machinery bulkhead"),
        "none": tr("nothing"),
        "fan": tr("the fan"),
        "two_way_valve": tr("a 2-way valve"),
        "three_way_valve": tr("a 3-way valve"),
        "si": tr("SI"),
        "us": tr("US customary"),
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
        "height_m": tr("by neighbours"),
        "rise_m": tr("from heights"),
        "length_m": tr("as drawn"),
        "floor_area_m2": tr("by the drawing"),
        "outdoor_air_L_s": tr("by people"),
        "load_sensible_W": tr("worked out"),
        "load_latent_W": tr("worked out"),
        "heading_deg": tr("the worst"),
        "kv_m3_h": tr("by style"),
        "k_run": tr("worked out"),
        "k_branch": tr("worked out"),
        "air_flow_L_s": tr("by capacity"),
        "power_kW": tr("¼ of capacity"),
        "heating_capacity_kW": tr("by cooling"),
        "heating_power_kW": tr("worked out"),
        "surroundings_temp_C": tr("by the space"),
        "u_W_m2K": tr("by its build"),
        "absorptance": tr("by its build"),
        "solar_gain": tr("by its build"),
        "tilt_deg": tr("usual"),
    }.get(key, tr("not known"))
