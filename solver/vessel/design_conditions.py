# SPDX-License-Identifier: MIT
"""Sets of weather, sea and sun to design by; users add their own.

Outdoor air of the first two is that of ISO 7547 (2002); its sea temperatures and all of the others are common
practice.  Class, flag and owner may ask for others.
"""

from __future__ import annotations

from solver.vessel.vessel import Conditions

DESIGN_CONDITIONS: tuple[Conditions, ...] = (
    Conditions(name="ISO 7547 summer", outdoor_temp_C=35.0, outdoor_rh_percent=70.0, latitude_deg=25.0),
    Conditions(
        name="ISO 7547 winter",
        outdoor_temp_C=-20.0,
        outdoor_rh_percent=80.0,
        sea_temp_C=0.0,
        mode="heating",
        latitude_deg=60.0,
        month=1,
        hour=6.0,
    ),
    Conditions(
        name="Tropical",
        outdoor_temp_C=33.0,
        outdoor_rh_percent=80.0,
        sea_temp_C=31.0,
        latitude_deg=10.0,
        month=4,
        daily_range_K=6.0,
    ),
    Conditions(
        name="Gulf summer",
        outdoor_temp_C=42.0,
        outdoor_rh_percent=60.0,
        sea_temp_C=34.0,
        sea_salinity_g_kg=40.0,
        latitude_deg=26.0,
        daily_range_K=8.0,
    ),
    Conditions(
        name="Mediterranean summer",
        outdoor_temp_C=35.0,
        outdoor_rh_percent=70.0,
        sea_temp_C=28.0,
        sea_salinity_g_kg=38.0,
        latitude_deg=40.0,
        daily_range_K=7.0,
    ),
    Conditions(
        name="Temperate summer",
        outdoor_temp_C=28.0,
        outdoor_rh_percent=60.0,
        sea_temp_C=18.0,
        sea_salinity_g_kg=34.0,
        latitude_deg=52.0,
        daily_range_K=8.0,
    ),
    Conditions(
        name="Temperate winter",
        outdoor_temp_C=-2.0,
        outdoor_rh_percent=90.0,
        sea_temp_C=6.0,
        sea_salinity_g_kg=34.0,
        mode="heating",
        latitude_deg=52.0,
        month=1,
        hour=6.0,
    ),
)
