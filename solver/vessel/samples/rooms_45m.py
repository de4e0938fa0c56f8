# SPDX-License-Identifier: MIT
"""Rooms of the 45 m motor yacht by the tag of their cabin."""

from __future__ import annotations

from solver.vessel.samples.rooms import AFT, AHEAD, PORT, STARBOARD, Built, Room, Wall

BUILT = Built(side="aluminium_insulated", deck="deck_teak_aluminium", glass="glass_double_tinted")


def _guest(side: float) -> Room:
    return Room(
        floor_m2=18.0,
        walls=(Wall(side, 11.0, 1.6),),
        hull_m2=9.0,
        bilge=True,
        bulkhead_m2=12.0,
        equipment_W=200.0,
    )


def _crew(side: float) -> Room:
    return Room(
        floor_m2=8.0,
        walls=(Wall(side, 5.0, 0.3),),
        hull_m2=4.0,
        bilge=True,
        bulkhead_m2=8.0,
        equipment_W=60.0,
    )


ROOMS: dict[str, Room] = {
    # Sun deck: sky bar and gym
    "C-1": Room(
        floor_m2=22.0,
        walls=(Wall(PORT, 9.0, 5.0), Wall(STARBOARD, 9.0, 5.0), Wall(AFT, 9.0, 5.0)),
        deck_m2=22.0,
        shaded_percent=55.0,
        people=4.0,
        equipment_W=500.0,
        equipment_latent_W=100.0,
    ),
    "C-2": Room(
        floor_m2=16.0,
        walls=(Wall(PORT, 8.0, 3.0), Wall(STARBOARD, 8.0, 3.0)),
        deck_m2=16.0,
        shaded_percent=55.0,
        people=1.5,
        activity="exercise",
        equipment_W=300.0,
    ),
    # Bridge deck: sky lounge, captain's cabin, wheelhouse
    "C-3": Room(
        floor_m2=32.0,
        walls=(Wall(PORT, 12.0, 5.0), Wall(STARBOARD, 12.0, 5.0), Wall(AFT, 12.0, 6.0)),
        deck_m2=18.0,
        shaded_percent=50.0,
        people=5.0,
        equipment_W=400.0,
    ),
    "C-4": Room(
        floor_m2=34.0,
        walls=(Wall(PORT, 14.0, 7.0), Wall(STARBOARD, 14.0, 7.0)),
        deck_m2=30.0,
        shaded_percent=50.0,
        people=5.0,
        equipment_W=400.0,
    ),
    "C-5": Room(
        floor_m2=14.0,
        walls=(Wall(STARBOARD, 9.0, 2.0),),
        deck_m2=14.0,
        bulkhead_m2=10.0,
        people=2.0,
        equipment_W=150.0,
    ),
    "C-6": Room(
        floor_m2=26.0,
        walls=(Wall(AHEAD, 14.0, 7.0), Wall(PORT, 6.0, 2.5), Wall(STARBOARD, 6.0, 2.5)),
        deck_m2=26.0,
        shaded_percent=45.0,
        people=3.0,
        equipment_W=1000.0,
    ),
    # Main deck, port: saloon, dining room, study, owner's cabin
    "C-7": Room(
        floor_m2=36.0,
        walls=(Wall(PORT, 18.0, 8.0), Wall(AFT, 9.0, 5.0)),
        shaded_percent=45.0,
        people=5.0,
        equipment_W=400.0,
    ),
    "C-8": Room(
        floor_m2=26.0,
        walls=(Wall(PORT, 13.0, 5.0),),
        bulkhead_m2=10.0,
        people=5.0,
        equipment_W=150.0,
    ),
    "C-9": Room(
        floor_m2=16.0,
        walls=(Wall(PORT, 10.0, 4.0),),
        bulkhead_m2=12.0,
        people=2.0,
        equipment_W=400.0,
    ),
    "C-10": Room(
        floor_m2=34.0,
        walls=(Wall(PORT, 16.0, 6.0), Wall(AHEAD, 12.0, 4.0)),
        deck_m2=24.0,
        bulkhead_m2=14.0,
        people=3.0,
        equipment_W=400.0,
        set_point_C=22.0,
    ),
    # Main deck, starboard: saloon, galley, lobby, dressing room
    "C-11": Room(
        floor_m2=36.0,
        walls=(Wall(STARBOARD, 18.0, 8.0), Wall(AFT, 9.0, 5.0)),
        shaded_percent=45.0,
        people=5.0,
        equipment_W=400.0,
    ),
    "C-12": Room(
        floor_m2=24.0,
        walls=(Wall(STARBOARD, 12.0, 1.5),),
        bulkhead_m2=20.0,
        people=3.0,
        activity="working",
        equipment_W=2200.0,
        equipment_latent_W=700.0,
    ),
    "C-13": Room(
        floor_m2=16.0,
        walls=(Wall(STARBOARD, 9.0, 2.5),),
        bulkhead_m2=20.0,
        people=2.0,
        activity="light_work",
        equipment_W=100.0,
    ),
    "C-14": Room(
        floor_m2=14.0,
        walls=(Wall(STARBOARD, 9.0, 2.0),),
        deck_m2=14.0,
        bulkhead_m2=12.0,
        people=2.0,
        activity="light_work",
        equipment_W=250.0,
    ),
    # Lower deck: guest cabins, crew mess, crew cabins
    "C-15": _guest(PORT),
    "C-16": _guest(STARBOARD),
    "C-17": _guest(PORT),
    "C-18": _guest(STARBOARD),
    "C-19": Room(
        floor_m2=14.0,
        walls=(Wall(STARBOARD, 7.0, 0.6),),
        hull_m2=5.0,
        bilge=True,
        bulkhead_m2=10.0,
        people=3.0,
        equipment_W=350.0,
        equipment_latent_W=100.0,
    ),
    "C-20": _crew(PORT),
    "C-21": _crew(STARBOARD),
    "C-22": _crew(PORT),
}
