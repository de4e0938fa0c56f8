# SPDX-License-Identifier: MIT
"""Named sets of weather and sea that every sample vessel carries.

Outdoor air of the first set is that of ISO 7547 (2002, summer); the others are common practice.
"""

from __future__ import annotations

from solver.vessel.vessel import Conditions

CONDITIONS = (
    Conditions(
        name="Mediterranean summer",
        outdoor_temp_C=35.0,
        outdoor_rh_percent=70.0,
        sea_temp_C=28.0,
        sea_salinity_g_kg=38.0,
    ),
    Conditions(
        name="Gulf summer",
        outdoor_temp_C=42.0,
        outdoor_rh_percent=60.0,
        sea_temp_C=34.0,
        sea_salinity_g_kg=40.0,
    ),
    Conditions(
        name="Temperate summer",
        outdoor_temp_C=28.0,
        outdoor_rh_percent=60.0,
        sea_temp_C=18.0,
        sea_salinity_g_kg=34.0,
    ),
)
