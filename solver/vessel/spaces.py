from typing import NamedTuple


class Space(NamedTuple):
    name: str
    temp_C: float
    rh_percent: float
    air_m_s: float = 0.1


def space_of(vessel, name, conditions=None):
    return {"engine room": Space(name, 45.0, 40.0), "ceiling void": Space(name, 29.5, 65.0)}.get(name)
