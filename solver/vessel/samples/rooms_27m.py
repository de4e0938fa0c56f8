# SPDX-License-Identifier: MIT
"""Rooms of the 27 m motor yacht by the tag of their cabin."""

from __future__ import annotations

from solver.vessel.samples.rooms import AFT, AHEAD, PORT, STARBOARD, Built, Room, Wall

BUILT = Built(side="grp_cored", deck="deck_teak_cored", glass="glass_double_tinted")


def _lower(
    side: float, floor_m2: float, machinery_m2: float = 0.0, deck_m2: float = 0.0, equipment_W: float = 100.0
) -> Room:
    """Return a cabin of the lower deck, on one side of the boat."""
    return Room(
        floor_m2=floor_m2,
        walls=(Wall(side, 0.55 * floor_m2, 0.7),),
        hull_m2=0.4 * floor_m2,
        bilge=True,
        bulkhead_m2=8.0,
        machinery_m2=machinery_m2,
        deck_m2=deck_m2,
        equipment_W=equipment_W,
    )


ROOMS: dict[str, Room] = {
    # Sky lounge
    "C-1": Room(
        floor_m2=18.0,
        walls=(Wall(PORT, 8.0, 3.0), Wall(STARBOARD, 8.0, 3.0), Wall(AFT, 8.0, 4.0)),
        deck_m2=18.0,
        shaded_percent=50.0,
        people=3.0,
        equipment_W=250.0,
    ),
    # Wheelhouse
    "C-2": Room(
        floor_m2=11.0,
        walls=(Wall(AHEAD, 8.0, 4.5), Wall(PORT, 4.5, 2.0), Wall(STARBOARD, 4.5, 2.0)),
        deck_m2=11.0,
        shaded_percent=45.0,
        people=2.0,
        equipment_W=450.0,
    ),
    # Saloon
    "C-3": Room(
        floor_m2=32.0,
        walls=(Wall(PORT, 15.0, 6.0), Wall(STARBOARD, 15.0, 6.0), Wall(AFT, 10.0, 5.0)),
        bulkhead_m2=10.0,
        shaded_percent=50.0,
        people=6.0,
        equipment_W=300.0,
    ),
    # Galley and dining
    "C-4": Room(
        floor_m2=18.0,
        walls=(Wall(PORT, 8.0, 2.0), Wall(STARBOARD, 8.0, 2.0)),
        bulkhead_m2=12.0,
        shaded_percent=40.0,
        people=3.0,
        activity="light_work",
        equipment_W=900.0,
        equipment_latent_W=300.0,
    ),
    # Owner's cabin
    "C-5": Room(
        floor_m2=24.0,
        walls=(Wall(PORT, 12.0, 3.0), Wall(STARBOARD, 12.0, 3.0), Wall(AHEAD, 9.0, 1.5)),
        deck_m2=22.0,
        bulkhead_m2=12.0,
        shaded_percent=40.0,
        people=2.0,
        equipment_W=250.0,
        set_point_C=22.0,
    ),
    # Guest cabin aft: beside the engine room
    "C-6": _lower(PORT, 11.0, machinery_m2=8.0),
    # Guest cabin midships
    "C-7": _lower(STARBOARD, 12.5),
    # Crew cabin
    "C-8": _lower(PORT, 8.0, equipment_W=50.0),
    # Guest cabin forward: under the foredeck
    "C-9": _lower(STARBOARD, 11.5, deck_m2=9.0),
}
