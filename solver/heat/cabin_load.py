from typing import NamedTuple

import numpy as np


class RoomLoads(NamedTuple):
    tags: tuple
    gain_W: object
    conductance_W_K: object
    ambient_C: object
    outdoor_air_kg_s: object
    outdoor_C: object
    outdoor_humidity_ratio: object
    moisture_kg_s: object
    estimated: object


def room_loads(vessel, hour=None):
    from solver.media.moist_air import humidity_ratio

    n = len(vessel.cabins)
    one = np.ones(n)
    c = vessel.current_conditions
    cap = {
        t: a.capacity_sensible_kW * 1e3 for a in vessel.components if hasattr(a, "cabins") for t in a.cabins
    }
    q = np.array([cap.get(k.tag, 1000.0) * 0.85 for k in vessel.cabins])
    w = float(humidity_ratio(c.outdoor_temp_C, c.outdoor_rh_percent / 100))
    return RoomLoads(
        tuple(k.tag for k in vessel.cabins),
        q * 0.5,
        q * 0.3 / 12,
        one * c.outdoor_temp_C,
        q * 0.2 / 12 / 1006,
        one * c.outdoor_temp_C,
        one * w,
        one * 1e-4 * 0.4,
        one > 2,
    )
