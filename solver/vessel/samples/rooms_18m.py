# SPDX-License-Identifier: MIT
"""Rooms of the 18 m motor yacht by the tag of their cabin."""

from __future__ import annotations

from solver.vessel.samples.rooms import AFT, AHEAD, PORT, STARBOARD, Built, Room, Wall

BUILT = Built(side="grp_cored", deck="deck_teak_cored", glass="glass_single_tinted")

ROOMS: dict[str, Room] = {
    # Saloon
    "C-1": Room(
        floor_m2=13.0,
        walls=(Wall(PORT, 7.0, 2.2), Wall(STARBOARD, 7.0, 2.2), Wall(AFT, 6.0, 2.5)),
        deck_m2=4.0,
        bulkhead_m2=4.0,
        shaded_percent=50.0,
        people=3.0,
        equipment_W=150.0,
    ),
    # Wheelhouse
    "C-2": Room(
        floor_m2=7.0,
        walls=(Wall(AHEAD, 5.0, 2.4), Wall(PORT, 3.0, 1.0), Wall(STARBOARD, 3.0, 1.0)),
        deck_m2=7.0,
        shaded_percent=40.0,
        people=2.0,
        equipment_W=250.0,
    ),
    # Owner's cabin
    "C-3": Room(
        floor_m2=12.0,
        walls=(Wall(PORT, 4.0, 0.6), Wall(STARBOARD, 4.0, 0.6)),
        hull_m2=5.0,
        bilge=True,
        machinery_m2=8.0,
        bulkhead_m2=6.0,
        people=2.0,
    ),
    # Guest cabin
    "C-4": Room(
        floor_m2=6.0,
        walls=(Wall(PORT, 3.5, 0.3),),
        hull_m2=2.0,
        deck_m2=2.0,
        bilge=True,
        bulkhead_m2=5.0,
        people=1.5,
        equipment_W=50.0,
    ),
}
