# SPDX-License-Identifier: MIT
"""From the drawing to the numbers: the length of a run and its elbows, and where they came from.

A run whose length is known from the drawing is as long as its way on the drawing by the scale of its
deck, and its rise.  Small parts that stand in the pipe are measured to their middle, so that a run cut in
two keeps its length; others to their ports.  Typed lengths and fittings stay as they are.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any, Literal, NamedTuple

import msgspec
from msgspec import Struct

from solver.errors import EditError
from solver.parts.fittings import FITTING_KINDS
from solver.vessel.accepted import LARGEST_NUMBER, one_of, shown
from solver.vessel.components import (
    AirHandler,
    BufferTank,
    Chiller,
    Component,
    ExpansionVessel,
    FillPoint,
    Manifold,
    Overboard,
    Tee,
    ThroughHull,
)
from solver.vessel.fields import SMALLEST, Point
from solver.vessel.footprint import port_place
from solver.vessel.parts import with_lists, with_values
from solver.vessel.routing import length_of, way
from solver.vessel.run import MOST_FITTINGS, Fitting, Run
from solver.vessel.vessel import Deck, Vessel

#: Scale of a drawing while its deck has none: about that of a deck plan of A3 on a 20 m boat [m per unit].
ASSUMED_METRES_PER_UNIT = 0.05
#: How far a length by the assumed scale may be from the true one [%].
ASSUMED_PLUS_MINUS_PERCENT = 30.0
#: A rise takes an elbow at its foot and one at its head, common practice; the drawing shows neither.
ELBOWS_OF_A_RISE = 2
#: A pipe is led over less than this without elbows, common practice [m].
LEAST_RISE_WITH_ELBOWS_M = 0.2
#: What a corner of the drawing is unless the run has bends of another kind.
ELBOW = "elbow_90"

#: Points nearer than this are no base for a scale [units].
_LEAST_BASE = 1.0
#: Lengths are kept to the millimetre.
_DIGITS = 3

#: Kinds that are measured to the port; all others stand in the pipe and are measured to their middle.
_TO_THE_PORT = (
    AirHandler,
    BufferTank,
    Chiller,
    ExpansionVessel,
    FillPoint,
    Manifold,
    Overboard,
    ThroughHull,
)


class Takeoff(Struct, frozen=True):
    """A run's length and fittings, and where they came from.

    Parameters
    ----------
    run : str
        The run.
    length_m : float
        The length that counts.
    length_from : {"measured", "drawing", "guessed", "assumed"}
        Where it is from, as the run's ``length_known``.
    drawn_m : float
        The length by the drawing, ``level_m`` along it and ``rise_m`` up or down.
    level_m, rise_m : float
        The two.
    metres_per_unit : float
        The scale that gives ``level_m``.
    scale_from : str
        The deck or decks that have the scale; empty where it is assumed.
    bends : int
        Corners on the drawing.
    rise_elbows : int
        Elbows of the rise, which the drawing does not show.
    fittings : tuple of Fitting
        The fittings that count.
    fittings_from : {"typed", "drawing"}
        Where their elbows are from.
    drawn_fittings : tuple of Fitting
        The fittings with the elbows of the drawing.
    tees : tuple of str
        Tees at the ends.  They count by themselves, never among the fittings.
    """

    run: str
    length_m: float
    length_from: Literal["measured", "drawing", "guessed", "assumed"]
    drawn_m: float
    level_m: float
    rise_m: float
    metres_per_unit: float
    scale_from: str
    bends: int
    rise_elbows: int
    fittings: tuple[Fitting, ...]
    fittings_from: Literal["typed", "drawing"]
    drawn_fittings: tuple[Fitting, ...]
    tees: tuple[str, ...]


def takeoff(vessel: Vessel, run: Run) -> Takeoff:
    """Return what the drawing says of a run, and what counts."""
    points = way(vessel, run)
    ends = [(vessel.component_by_tag[end.tag], end.port) for end in (run.start, run.end)]
    scale, scale_from = scale_of(vessel, run)
    metres = ASSUMED_METRES_PER_UNIT if scale is None else scale
    level = metres * (length_of(points) + sum(_to_middle(*end) for end in ends))
    rise = rise_of(vessel, run)
    bends = len(points) - 2
    rise_elbows = ELBOWS_OF_A_RISE if abs(rise) >= LEAST_RISE_WITH_ELBOWS_M else 0
    return Takeoff(
        run=run.tag,
        length_m=run.length_m,
        length_from=run.length_known,
        drawn_m=min(max(round(level + abs(rise), _DIGITS), SMALLEST), LARGEST_NUMBER),
        level_m=level,
        rise_m=rise,
        metres_per_unit=metres,
        scale_from=scale_from,
        bends=bends,
        rise_elbows=rise_elbows,
        fittings=run.fittings,
        fittings_from=run.fittings_known,
        drawn_fittings=_with_elbows(run.fittings, bends + rise_elbows),
        tees=tuple(component.tag for component, _ in ends if isinstance(component, Tee)),
    )


def rise_of(vessel: Vessel, run: Run) -> float:
    """Return the height a run gains from start to end [m]: its own, else that of the parts at its ends."""
    if run.rise_m is not None:
        return run.rise_m
    heights = vessel.heights.by_tag
    return heights[run.end.tag] - heights[run.start.tag]


def scale_of(vessel: Vessel, run: Run) -> tuple[float | None, str]:
    """Return the scale of a run [m per unit] and whose it is; None if its decks have none.

    Between decks of two scales it is their mean.  Parts on no deck go by the deck of the other end, else
    by the first deck that has a scale.
    """
    names = {vessel.component_by_tag[end.tag].deck for end in (run.start, run.end)} - {""}
    on = [deck for deck in vessel.decks if deck.metres_per_unit is not None]
    found = [deck for deck in on if deck.name in names] if names else on[:1]
    if not found:
        return None, ""
    scales = [deck.metres_per_unit for deck in found if deck.metres_per_unit is not None]
    return sum(scales) / len(scales), ", ".join(deck.name for deck in found)


def follows_drawing(run: Run) -> bool:
    """Return whether a run's length or elbows follow the drawing."""
    return run.length_known in ("drawing", "assumed") or run.fittings_known == "drawing"


def measured(vessel: Vessel, tags: Iterable[str] | None = None) -> Vessel:
    """Return the vessel with lengths and elbows brought up to the drawing, where runs follow it.

    A length off the drawing stays as it is while its deck has no scale; an assumed one becomes one off
    the drawing as soon as it has.

    Parameters
    ----------
    vessel : Vessel
        Left as it is.
    tags : iterable of str, optional
        The runs; all of them if not given.  Tags of other parts are passed over.
    """
    wanted = None if tags is None else set(tags)
    components = vessel.component_by_tag
    runs = list(vessel.runs)
    changed = False
    known: dict[str, _Measured] = {}
    for index, run in enumerate(runs):
        if (wanted is None or run.tag in wanted) and follows_drawing(run):
            ends = components[run.start.tag], components[run.end.tag]
            rise = rise_of(vessel, run)
            before = _up_to_date.get(run.tag)
            if before is not None and before.is_of(run, *ends, vessel.decks, rise):
                known[run.tag] = before
                continue
            new = _measured(vessel, run)
            if new != run:
                runs[index], changed = new, True
            known[run.tag] = _Measured(runs[index], *ends, vessel.decks, rise)
    if wanted is None:
        _up_to_date.clear()
    _up_to_date.update(known)
    return with_lists(vessel, {"runs": runs}) if changed else vessel


class _Measured(NamedTuple):
    """A run that is up to date, and all that its figures off the drawing follow from."""

    run: Run
    start: Component
    end: Component
    decks: tuple[Deck, ...]
    rise: float

    def is_of(self, run: Run, start: Component, end: Component, decks: tuple[Deck, ...], rise: float) -> bool:
        """Return whether these are the very same."""
        return (
            self.run is run
            and self.start is start
            and self.end is end
            and self.decks is decks
            and self.rise == rise
        )


#: Of the vessel measured last, whichever it was: an edit leaves most runs of a ship as they were.
_up_to_date: dict[str, _Measured] = {}


def scale_by_two_points(vessel: Vessel, deck: str, first: Point, second: Point, distance_m: float) -> Vessel:
    """Return the vessel with the scale of a deck set by two points of the drawing and their distance.

    Underlays of the deck take the scale, runs that follow the drawing their lengths.

    Parameters
    ----------
    vessel : Vessel
        Left as it is.
    deck : str
        The deck's name; "" for all decks.  A vessel without decks gets one, at the waterline.
    first, second : (x, y)
        Points of the drawing.
    distance_m : float
        Their distance on board [m].

    Raises
    ------
    EditError
        There is no such deck, the points are too near each other, or the distance is not above 0.
    """
    names = [each.name for each in vessel.decks]
    if deck and deck not in names:
        accepted = one_of(names, deck) if names else '"", since the vessel has no decks'
        raise EditError(f"no deck is called {shown(deck)}; accepted: {accepted}")
    units = math.dist(first, second)
    if not units >= _LEAST_BASE:
        raise EditError("the two points are one; take two that lie far apart")
    if not 0.0 < distance_m < math.inf:
        found = f"found {shown(distance_m)}; accepted: a number of metres above 0"
        raise EditError(f"the distance between the two points: {found}")
    decks = vessel.decks or (Deck("Deck"),)
    scale = {"metres_per_unit": distance_m / units}
    lists: dict[str, Any] = {
        "decks": [
            with_values(each, scale, f"deck {shown(each.name)}", ()) if deck in ("", each.name) else each
            for each in decks
        ],
        "underlays": [
            with_values(each, scale, "the underlay", ()) if deck in ("", each.deck) else each
            for each in vessel.underlays
        ],
    }
    return measured(with_lists(vessel, lists))


def _measured(vessel: Vessel, run: Run) -> Run:
    found = takeoff(vessel, run)
    new: dict[str, Any] = {}
    if run.length_known == "assumed" or (run.length_known == "drawing" and found.scale_from):
        new["length_m"] = found.drawn_m
        if run.length_known == "assumed" and found.scale_from:
            new["length_known"] = "drawing"
            if run.length_plus_minus_percent == ASSUMED_PLUS_MINUS_PERCENT:
                new["length_plus_minus_percent"] = 0.0
    if run.fittings_known == "drawing":
        new["fittings"] = found.drawn_fittings
    return msgspec.structs.replace(run, **new)


def _with_elbows(fittings: tuple[Fitting, ...], count: int) -> tuple[Fitting, ...]:
    """Return fittings with their right-angled bends replaced by so many of the first of these kinds."""
    bends = [fitting for fitting in fittings if _is_right_angle(fitting.kind)]
    others = tuple(fitting for fitting in fittings if not _is_right_angle(fitting.kind))
    kind = bends[0].kind if bends else ELBOW
    elbows = [Fitting(kind, min(count - before, MOST_FITTINGS)) for before in range(0, count, MOST_FITTINGS)]
    return (*elbows, *others)


def _is_right_angle(kind: str) -> bool:
    return FITTING_KINDS[kind].group == "bend" and "_90" in kind


def _to_middle(component: Component, port: str) -> float:
    """Return how far it is from a port to where pipe is measured to [units]."""
    if isinstance(component, _TO_THE_PORT):
        return 0.0
    x, y = port_place(component, port)
    return abs(x - component.at[0]) + abs(y - component.at[1])
