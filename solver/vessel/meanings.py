# SPDX-License-Identifier: MIT
"""What each key of the file means, in one line with its unit.

The schema, the documentation and the help texts of the window take their words from here.
"""

from __future__ import annotations

import msgspec

#: Key -> meaning; where one key means two things, ``Struct.key`` comes first.
MEANINGS: dict[str, str] = {
    # The vessel
    "format": "Number of the file format.",
    "Vessel.name": "Name of the vessel.",
    "units": "Units shown to the user, si or us; the file itself is always in the units of its keys.",
    "loop_liquid": "What flows in the fresh-water loop.",
    "conditions": "Named sets of weather and sea; at least one.",
    "condition": 'Name of the conditions worked with; "" takes the first.',
    "decks": "Decks with their heights.",
    "spaces": "Spaces that the loop does not cool, with what is known of their air.",
    "Vessel.cabins": "Cabins.",
    "components": "Everything on the drawing that is not a run.",
    "runs": "Pipe runs, each between two ports.",
    "Vessel.readings": "Measured values, one set a day.",
    "scenarios": "Named lists of changes.",
    "underlays": "Pictures under the drawing.",
    "limits": "What findings judge by.",
    "method": "How losses of fittings and tees are worked out.",
    "parts_list": 'File of the parts list that models are taken from; "" is the one that ships.',
    # Loop liquid
    "LoopLiquid.kind": "Water, or water with propylene or ethylene glycol (ethylene glycol is toxic).",
    "share_percent": "Share of glycol [%].",
    "share_by": "Whether the share is by mass or by volume.",
    "temp_C": "Temperature of the whole loop [degC].",
    # Conditions
    "Conditions.name": "Name of the conditions, unique.",
    "outdoor_temp_C": "Outdoor air [degC].",
    "outdoor_rh_percent": "Relative humidity of outdoor air [%].",
    "sea_temp_C": "Sea water [degC].",
    "sea_salinity_g_kg": "Salt in the sea water [g/kg].",
    "mode": "Cooling or heating.",
    "latitude_deg": "Latitude, south negative [degrees].",
    "month": "Month of the year, 1 to 12.",
    "day": "Day of the month.",
    "hour": "Solar time; the sun is highest at 12 [h].",
    "heading_deg": "Heading of the boat, clockwise from north [degrees]; null: the worst for each cabin.",
    "cloud_percent": "Share of the sky under clouds [%].",
    "daily_range_K": "How much cooler outdoor air is at its coolest than at its warmest of the day [K].",
    # Decks and cabins
    "Deck.name": "Name of the deck, unique.",
    "Deck.height_m": "Height of the deck above the waterline, negative below it [m].",
    "Deck.metres_per_unit": "Scale of the drawing of the deck: metres on board for one drawing unit; null "
    "while it has none.",
    "outline": "The cabin's room on the drawing, a closed polygon [drawing units].",
    "Cabin.set_point_C": "Temperature wanted in the cabin [degC].",
    "Cabin.rh_percent": "Relative humidity wanted in the cabin [%].",
    "floor_area_m2": "Floor area [m2]; null: from the outline by the scale of the deck.",
    "ceiling_m": "Height from the sole to the ceiling [m].",
    "surfaces": "What heat passes into the cabin, surface by surface.",
    "people": "People in the cabin at its busiest.",
    "activity": "What they do.",
    "lights_W": "Lights that burn at the busiest [W].",
    "equipment_W": "Sensible heat of equipment [W].",
    "equipment_latent_W": "Latent heat of equipment: cooking, showers, coffee machines [W].",
    "outdoor_air_L_s": "Outdoor air brought in [L/s]; null: 8 L/s for each of the people.",
    "load_sensible_W": "Sensible load of the room at its set point without outdoor air, known from elsewhere "
    "[W]; it wins. null: worked out.",
    "load_latent_W": "The same for the latent load [W].",
    # Surfaces and spaces
    "Surface.kind": "What it is: hull below the waterline, side above it, deck overhead, bulkhead, sole "
    "underfoot, bulkhead to machinery, window, hatch.",
    "Surface.name": "What people call it.",
    "area_m2": "Area [m2].",
    "construction": 'What it is built of, a name of the constructions table; "" is usual for its kind.',
    "u_W_m2K": "U-value, films included [W/(m2 K)]; null: that of the construction.",
    "other_side": 'What lies beyond: outdoors, sea, or the name of a space; "" is usual for its kind.',
    "facing_deg": "Where it faces, clockwise from the bow: 90 is to starboard [degrees].",
    "tilt_deg": "From level: 0 faces up, 90 is upright, 180 faces down [degrees]; null: usual for its kind.",
    "absorptance": "Share of the sun on it that its outer side takes up; null: that of the construction.",
    "solar_gain": "Solar heat gain coefficient of glass: the share of the sun, square on, that comes in; "
    "null: that of the construction.",
    "shaded_percent": "Share of the sun kept off by awnings, overhangs, blinds or curtains [%].",
    "Space.name": "Name of the space, unique; one of a usual name takes its place.",
    "Space.temp_C": "Temperature of its air [degC]; null: usual for a space of its name, else outdoor air.",
    "Space.rh_percent": "Relative humidity of its air [%]; null: usual for its name, else that of outdoor "
    "air brought to its temperature.",
    "air_m_s": "Speed of its air over runs and surfaces [m/s].",
    # Readings, scenarios, underlays
    "date": "Day of the readings, YYYY-MM-DD.",
    "ReadingSet.readings": "The values read.",
    "Reading.tag": "Component, run or cabin read at.",
    "Reading.quantity": "What was read, the unit in its name, as in pressure_kPa.",
    "Reading.value": "The value read, in the unit of its quantity.",
    "plus_minus": "How far the true value may be from the one read, in the same unit.",
    "Scenario.name": "Name of the scenario, unique.",
    "changes": "The changes made together.",
    "Change.tag": "Component, run or cabin that changes.",
    "Change.quantity": "Key of the part that changes.",
    "Change.value": "New value, factor or difference; text for a choice.",
    "how": "Whether the value is set, scales the old one or is added to it.",
    "file": "Picture, relative to the vessel file.",
    "Underlay.page": "Page of a PDF, from 1.",
    "Underlay.at": "Place of the picture's top left corner [drawing units].",
    "metres_per_unit": "Metres on board for one drawing unit.",
    "units_per_pixel": "Drawing units for one pixel of the picture.",
    "opacity_percent": "How strongly the picture shows [%].",
    # Limits and method
    "velocity_min_m_s": "Velocity below which a run is called slow [m/s].",
    "velocity_max_m_s": "Velocity above which a run is called fast [m/s].",
    "sea_velocity_max_m_s": "The same for sea water [m/s].",
    "loss_max_Pa_m": "Loss per metre above which a run is called tight [Pa/m].",
    "share_min_percent": "Share of design flow below which an air handler is called starved [%].",
    "share_max_percent": "Share of design flow above which it takes too much [%].",
    "static_min_kPa": "Least gauge pressure anywhere in the loop [kPa].",
    "npsh_margin_m": "Least NPSH available above NPSH required [m].",
    "Method.fittings": "Whose coefficients fittings have: Crane's, Hooper's or Darby's.",
    "tees": "Tee coefficients by the split of flow, or constant.",
    # Runs
    "Run.tag": "Name of the run, unique among all parts.",
    "start": "Component and port the run starts at; positive flow leaves here.",
    "end": "Component and port the run ends at.",
    "series": "Series of pipe, a name of the pipe tables.",
    "size": "Size within the series.",
    "Run.length_m": "Length of pipe [m].",
    "length_known": "How the length is known: measured; off the drawing, which it follows by its deck's "
    "scale; guessed; assumed, which is off a drawing whose deck has no scale yet.",
    "length_plus_minus_percent": "How far the true length may be from it [%].",
    "rise_m": "Height gained from start to end [m]; null takes it from the heights of its ends.",
    "Run.fittings": "Fittings on the run.",
    "fittings_known": "Whether the elbows among them are typed or counted from the bends of the drawing.",
    "extra_k": "Loss coefficients not counted among the fittings [-].",
    "insulation": "Insulation; null for none.",
    "surroundings": "What space the run crosses.",
    "surroundings_temp_C": "Air temperature there [degC]; null if not known.",
    "service": "What the run carries; shown, and used where pipe is identified.",
    "bends": "Corners of the run on the drawing, from start to end [drawing units].",
    "routed": "Whether the program found the bends and may find others; false: they are pinned.",
    "Fitting.kind": "Kind of fitting, a name of the fittings table.",
    "count": "How many of them.",
    "material": "Material of the insulation.",
    "thickness_mm": "Thickness of the insulation [mm].",
    "conductivity_W_mK": "Thermal conductivity of the insulation [W/(m K)].",
    # All components
    "tag": "Name of the part, unique among components, runs and cabins.",
    "name": "What people call it.",
    "notes": "Free text.",
    "at": "Place of its centre on the drawing, x to the right and y down [drawing units].",
    "turn": "Rotation, in quarter turns clockwise.",
    "deck": 'Deck it is on; "" for none.',
    "height_m": "Height above its deck, above the waterline without a deck [m]; null: from its neighbours.",
    "locked": "Whether it is kept from being moved, turned, bent or removed.",
    "model": 'Row of the parts list; "" for none.',
    # Pumps
    "curve": "At least three points of the curve at rated speed, in order of flow.",
    "speed_percent": "Speed, of rated speed [%].",
    "running": "Whether it runs.",
    "rated_rpm": "Rated speed [1/min].",
    "motor_efficiency_percent": "Efficiency of the motor [%].",
    "PumpPoint.flow_L_s": "Flow [L/s].",
    "head_m": "Head, of the liquid pumped [m].",
    "efficiency_percent": "Hydraulic efficiency [%]; null if not known.",
    "power_W": "Power at the shaft [W]; null if not known.",
    "npsh_required_m": "NPSH required [m]; null if not known.",
    # Chillers and air handlers
    "capacity_kW": "Cooling capacity [kW].",
    "design_flow_L_s": "Flow it should have [L/s].",
    "rated_flow_L_s": "Flow at which its pressure drop is rated [L/s].",
    "rated_drop_kPa": "Pressure drop at rated flow [kPa].",
    "drop_exponent": "Exponent of the pressure drop on flow [-].",
    "drop_points": "Measured pressure drops; where given they replace the rated one.",
    "DropPoint.flow_L_s": "Flow [L/s].",
    "drop_kPa": "Pressure drop at that flow [kPa].",
    "minimum_flow_L_s": "Least flow the chiller runs at [L/s].",
    "sea_rated_flow_L_s": "Sea-water flow at which the condenser's drop is rated [L/s].",
    "sea_rated_drop_kPa": "Pressure drop of the condenser at that flow [kPa].",
    "sea_drop_exponent": "Exponent of the condenser's drop on flow [-].",
    "Chiller.set_point_C": "Leaving water wanted [degC].",
    "capacity_total_kW": "Total cooling capacity at design [kW]; 0 if not known.",
    "capacity_sensible_kW": "Sensible cooling capacity at design [kW]; 0 if not known.",
    "AirHandler.cabins": "Tags of the cabins it cools.",
    # Joints and valves
    "k_run": "Loss coefficient straight through [-]; null: calculated.",
    "k_branch": "Loss coefficient into the branch [-]; null: calculated.",
    "port_count": "Number of ports.",
    "style": "How it is built.",
    "kv_m3_h": "Flow at a pressure drop of 1 bar [m3/h].",
    "IsolatingValve.kv_m3_h": "Kv wide open [m3/h]; null: that of its style in the size of its runs.",
    "FlowMeter.kv_m3_h": "Kv [m3/h]; null for no loss.",
    "Strainer.kv_m3_h": "Kv when clean [m3/h].",
    "opening_percent": "How far it is open [%].",
    "kv_table": "Handwheel setting and Kv [m3/h], settings rising.",
    "setting": "Handwheel setting, in the unit of its table.",
    "cracking_kPa": "Pressure difference at which it opens [kPa].",
    "kvs_m3_h": "Kv wide open [m3/h].",
    "characteristic": "Inherent characteristic.",
    "rangeability": "Ratio of largest to least controlled flow [-].",
    "position_percent": "Position of its stem [%].",
    "set_kPa": "Pressure difference at which it begins to open [kPa].",
    "band_kPa": "Further difference to fully open [kPa].",
    "ConstantFlowValve.flow_L_s": "Flow it holds [L/s].",
    "minimum_drop_kPa": "Least drop at which it holds its flow [kPa].",
    "maximum_drop_kPa": "Largest drop at which it holds its flow [kPa].",
    # The rest
    "clogging_percent": "Blocked share of its mesh [%].",
    "pressure_kPa": "Gauge pressure at its connection [kPa].",
    "volume_L": "Volume [L].",
    "precharge_kPa": "Gauge pressure of its air side when empty of water [kPa].",
    "nozzle_kv_m3_h": "Kv of each nozzle [m3/h].",
    "bore_mm": "Inside diameter [mm].",
    "length_m": "Length [m].",
    "roughness_mm": "Absolute roughness [mm].",
    "k": "Loss coefficient on the velocity in its bore [-].",
}


def meaning(kind: type[msgspec.Struct], key: str) -> str:
    """Return what a key of a struct means, in one line with its unit.

    Raises
    ------
    KeyError
        Nothing is written about the key.

    Examples
    --------
    >>> from solver.vessel.components import Strainer
    >>> meaning(Strainer, "clogging_percent")
    'Blocked share of its mesh [%].'
    """
    own = MEANINGS.get(f"{kind.__name__}.{key}")
    return own if own is not None else MEANINGS[key]
