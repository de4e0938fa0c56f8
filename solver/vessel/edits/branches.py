# SPDX-License-Identifier: MIT
"""Edits that put down a whole air-handler branch, or one for each of many cabins."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Any, Literal

import msgspec

from solver.errors import EditError
from solver.vessel.components import AnyComponent, Tee, kind_name
from solver.vessel.edits.adding import add
from solver.vessel.edits.branch_layout import (
    TURN_TOWARDS,
    BranchSettings,
    Standing,
    area,
    layout,
    placed,
)
from solver.vessel.edits.cutting import OnRun, fit_on_run, put_tee, run_of
from solver.vessel.edits.following import with_way
from solver.vessel.edits.joining import Where, why_not
from solver.vessel.edits.main_ends import ending_mains, or_its_end
from solver.vessel.edits.tags import free_tags
from solver.vessel.fields import Point
from solver.vessel.footprint import GRID, on_grid, port_place, turned
from solver.vessel.parts import find, with_values
from solver.vessel.routing import legs, nearest_on, obstacles_of, route, way
from solver.vessel.run import End, Run
from solver.vessel.takeoff import ASSUMED_PLUS_MINUS_PERCENT, takeoff
from solver.vessel.vessel import Cabin, Vessel

#: A branch that goes through something costs as much as so far a way along the main [units].
_MET_COST = 300.0
#: What is fitted on a main to see where there is room.
_TEE = Tee(tag="T")
#: Free space between a branch and its main, and between an air handler and the wall behind it [units].
_TO_MAIN, _TO_WALL = 30.0, 40.0


def place_branch(
    vessel: Vessel,
    settings: BranchSettings,
    supply: Where | None,
    return_: Where | None,
    at: Point,
    *,
    deck: str = "",
    name: str = "",
    cabins: Sequence[str] = (),
    turn: int | None = None,
) -> Vessel:
    """Return the vessel with an air handler and its branch, joined to the mains.

    The air handler turns its ports towards the mains.  A tee comes where the branch meets a main, right
    opposite its column if the main passes there; a tee that waits at the end of a main goes, and the main
    leads on to the branch.

    Parameters
    ----------
    vessel : Vessel
        Left as it is.
    settings : BranchSettings
        What the branch is made of.
    supply, return_ : End, OnRun or None
        Where its two pipes begin and end: a free port, a place on a run, or nowhere yet.
    at : (x, y)
        Where the air handler stands, to the nearest point of the grid.
    deck, name, cabins : str, str, sequence of str
        The air handler's deck, name and cabins.
    turn : int, optional
        The air handler's turn, if it is not to follow from the mains.

    Raises
    ------
    EditError
        A port is taken, a run is not there or drawn too short for a tee, a cabin or deck is not there, or
        the settings are not accepted.
    """
    at = with_values(settings.air_handler, {"at": (on_grid(at[0]), on_grid(at[1]))}, "the branch", ()).at
    for where in (supply, return_):
        if isinstance(where, End) and (reason := why_not(vessel, where)):
            raise EditError(reason, (where.tag,))
    if turn is None:
        turn = TURN_TOWARDS[_towards(vessel, at, (supply, return_))]
    parts = layout(settings)
    ends: list[End | None] = []
    for where, port in ((supply, "water_in"), (return_, "water_out")):
        if isinstance(where, OnRun):
            column = _column_end(settings, at, turn, port, parts.reach)
            vessel, tee = put_tee(vessel, where.run, _opposite(vessel, where, column, turn, at), column)
            ends.append(End(tee, "branch"))
        else:
            ends.append(where)
    fields = {"deck": deck, "name": name, "cabins": tuple(cabins), "height_m": settings.height_m}
    air_handler = Standing(settings.air_handler, (0.0, 0.0), 0)
    standing = [air_handler, *parts.supply, *parts.back]
    tags = free_tags(vessel, [kind_name(one.pattern) for one in standing])
    made = [
        placed(one, at, turn, tag=tag, **(fields if one is air_handler else {"deck": deck, "height_m": None}))
        for one, tag in zip(standing, tags, strict=True)
    ]
    grown = add(vessel, components=made)
    split = 1 + len(parts.supply)
    chains = (
        _chain(ends[0], made[1:split], End(tags[0], "water_in"), "supply"),
        _chain(End(tags[0], "water_out"), made[split:], ends[1], "return"),
    )
    return ending_mains(_with_runs(grown, settings, chains), ends)


def repeat_for_cabins(
    vessel: Vessel,
    settings: BranchSettings,
    cabin_tags: Iterable[str],
    supply_run: str | Sequence[str],
    return_run: str | Sequence[str],
) -> Vessel:
    """Return the vessel with a branch for each of some cabins, along a supply and a return main.

    Each air handler stands in its cabin, or as near to it as the main allows, and cools it.

    Parameters
    ----------
    vessel : Vessel
        Left as it is.
    settings : BranchSettings
        What the branches are made of.
    cabin_tags : iterable of str
        The cabins, each with a room on the drawing.
    supply_run, return_run : str or sequence of str
        The run or runs of each main.

    Raises
    ------
    EditError
        A cabin or run is not there, a cabin has no room, or a main is drawn too short for the tees.
    """
    mains = [[main] if isinstance(main, str) else list(main) for main in (supply_run, return_run)]
    cabins: list[Cabin] = []
    for tag, where in find(vessel, cabin_tags).items():
        if not isinstance(where.part, Cabin):
            raise EditError(f"{tag} is not a cabin", (tag,))
        if not where.part.outline:
            text = f"{tag} has no room on the drawing; draw its room, or place its branch by hand"
            raise EditError(text, (tag,))
        cabins.append(where.part)
    for cabin in cabins:
        middle = _middle(cabin)
        turn = TURN_TOWARDS[_side(_nearest_place(vessel, mains[0], middle).at, middle)]
        at = _place_in(vessel, settings, cabin, mains, turn)
        reach = layout(settings).reach
        supply, return_ = (
            or_its_end(
                vessel,
                _nearest_opposite(vessel, main, _column_end(settings, at, turn, port, reach), turn, at),
            )
            for main, port in zip(mains, ("water_in", "water_out"), strict=True)
        )
        before = set(vessel.run_by_tag)
        own: dict[str, Any] = {"deck": cabin.deck, "name": cabin.name, "cabins": (cabin.tag,), "turn": turn}
        vessel = place_branch(vessel, settings, supply, return_, at, **own)
        _take_in_new_pieces(vessel, mains, before)
    return vessel


def _chain(
    start: End | None, parts: Sequence[AnyComponent], end: End | None, service: Literal["supply", "return"]
) -> tuple[str, list[tuple[End, End]]]:
    """Return the service and the pairs of ports that the runs of a pipe join."""
    ends = [start]
    for part in parts:
        ends += [End(part.tag, part.ports[0]), End(part.tag, part.ports[1])]
    ends.append(end)
    pairs = zip(ends[::2], ends[1::2], strict=True)
    return service, [(one, other) for one, other in pairs if one is not None and other is not None]


def _with_runs(
    vessel: Vessel, settings: BranchSettings, chains: Sequence[tuple[str, list[tuple[End, End]]]]
) -> Vessel:
    """Return the vessel with the runs of a branch, each led round what is in its way."""
    tags = iter(free_tags(vessel, ["run"] * sum(len(pairs) for _, pairs in chains)))
    obstacles = obstacles_of(vessel)
    runs: list[Run] = []
    for service, pairs in chains:
        chain = []
        for start, end in pairs:
            run = _run(settings, next(tags), start, end, service)
            points = route(vessel, run, obstacles)
            obstacles = obstacles.changed(ways={run.tag: points})
            chain.append(with_way(run, points, routed=True))
        runs += chain if settings.length_m is None else _sharing(vessel, chain, settings.length_m)
    return add(vessel, runs=runs)


def _run(settings: BranchSettings, tag: str, start: End, end: End, service: Any) -> Run:
    return Run(
        tag=tag,
        start=start,
        end=end,
        series=settings.pipe.series,
        size=settings.pipe.size,
        insulation=settings.pipe.insulation,
        surroundings=settings.pipe.surroundings,
        service=service,
        length_m=1.0,
        length_known="assumed",
        length_plus_minus_percent=ASSUMED_PLUS_MINUS_PERCENT,
        fittings_known="drawing",
    )


def _sharing(vessel: Vessel, chain: Sequence[Run], length_m: float) -> list[Run]:
    """Return the runs of a pipe with its length shared as on the drawing."""
    drawn = [takeoff(vessel, run).level_m for run in chain]
    total = sum(drawn) or 1.0
    return [
        msgspec.structs.replace(
            run, length_m=length_m * one / total, length_known="guessed", length_plus_minus_percent=0.0
        )
        for run, one in zip(chain, drawn, strict=True)
    ]


def _column_end(settings: BranchSettings, at: Point, turn: int, port: str, reach: float) -> Point:
    """Return where a column of a branch ends towards the main."""
    air_handler = msgspec.structs.replace(settings.air_handler, at=at, turn=turn)
    x, y = port_place(air_handler, port)
    more = reach - port_place(msgspec.structs.replace(settings.air_handler, at=(0.0, 0.0), turn=0), port)[1]
    ahead = _ahead(turn)
    return (x + more * ahead[0], y + more * ahead[1])


def _ahead(turn: int) -> Point:
    """Return the direction from an air handler to its mains."""
    return turned((0.0, 1.0), turn)


def _towards(vessel: Vessel, at: Point, wheres: Iterable[Where | None]) -> Point:
    places = []
    for where in wheres:
        if isinstance(where, End):
            places.append(port_place(vessel.component_by_tag[where.tag], where.port))
        elif where is not None:
            places.append(nearest_on(way(vessel, run_of(vessel, where.run)), where.at).at)
    if not places:
        return (0.0, 1.0)
    middle = (sum(x for x, _ in places) / len(places), sum(y for _, y in places) / len(places))
    return _side(middle, at)


def _side(place: Point, at: Point) -> Point:
    """Return the direction along an axis in which a place lies, down if it lies on the point itself."""
    dx, dy = place[0] - at[0], place[1] - at[1]
    if abs(dx) > abs(dy):
        return (math.copysign(1.0, dx), 0.0)
    return (0.0, -1.0 if dy < 0 else 1.0)


def _opposite(vessel: Vessel, where: OnRun, column: Point, turn: int, at: Point) -> Point:
    """Return the place for a tee on the leg of a run that was meant, opposite a column if it passes there."""
    run = run_of(vessel, where.run)
    points = way(vessel, run)
    spot = nearest_on(points, where.at)
    foot = _foot(points[spot.leg], points[spot.leg + 1], column, _ahead(turn))
    return where.at if foot is None else _clear_place(vessel, run, foot, column, turn, at)[1]


def _clear_place(
    vessel: Vessel, run: Run, wanted: Point, column: Point, turn: int, at: Point
) -> tuple[float, Point]:
    """Return the place for a tee near a wanted one from which the way to a column is clear, and its cost."""
    obstacles, ahead = obstacles_of(vessel), _ahead(turn)
    best: tuple[float, Point] | None = None
    # Rather outwards, away from the branch's other column.
    aside = 0 if ahead[1] else 1
    out = math.copysign(GRID, column[aside] - at[aside])
    for step in (0.0, 2 * out, -2 * out, 4 * out, -4 * out):
        near = (wanted[0] + step * abs(ahead[1]), wanted[1] + step * abs(ahead[0]))
        place = fit_on_run(vessel, run, _TEE, near).component.at
        start = (place[0] - GRID * ahead[0], place[1] - GRID * ahead[1])
        end = (place[0], column[1]) if ahead[1] else (column[0], place[1])
        met = len(set(obstacles.bodies_on(start, end))) + len(list(obstacles.legs_along(start, end)))
        cost = 3 * math.dist(place, wanted) + _MET_COST * met
        if best is None or cost < best[0]:
            best = (cost, place)
    assert best is not None
    return best


def _foot(a: Point, b: Point, column: Point, ahead: Point) -> Point | None:
    """Return where a line ahead from a column meets a leg across it; None if it does not."""
    aside = 0 if ahead[1] else 1
    if abs(b[aside] - a[aside]) < abs(b[1 - aside] - a[1 - aside]):
        return None
    low, high = min(a[aside], b[aside]), max(a[aside], b[aside])
    further = (a[1 - aside] - column[1 - aside]) * ahead[1 - aside]
    if not low <= column[aside] <= high or further < 0:
        return None
    return (column[0], a[1]) if aside == 0 else (a[0], column[1])


def _nearest_place(vessel: Vessel, main: Sequence[str], point: Point) -> OnRun:
    """Return the place of a main that is nearest to a point."""
    spots = [(nearest_on(way(vessel, run_of(vessel, tag)), point).at, tag) for tag in main]
    at, tag = min(spots, key=lambda spot: math.dist(spot[0], point))
    return OnRun(tag, at)


def _nearest_opposite(vessel: Vessel, main: Sequence[str], column: Point, turn: int, at: Point) -> OnRun:
    """Return the place of a main opposite a column where there is room for a tee, else the nearest one."""
    places: list[tuple[float, Point, Run]] = []
    for tag in main:
        run = run_of(vessel, tag)
        for a, b in legs(way(vessel, run)):
            if math.dist(a, b) >= 2 * GRID:
                wanted = _foot(a, b, column, _ahead(turn)) or nearest_on((a, b), column).at
                places.append((math.dist(wanted, column), wanted, run))
    best: tuple[float, OnRun] | None = None
    for far, wanted, run in sorted(places, key=lambda one: one[0]):
        if best is not None and far >= best[0]:
            # Those left are further than the best costs.
            break
        clear, place = _clear_place(vessel, run, wanted, column, turn, at)
        if best is None or clear + far < best[0]:
            best = (clear + far, OnRun(run.tag, place))
    return best[1] if best else _nearest_place(vessel, main, column)


def _place_in(
    vessel: Vessel, settings: BranchSettings, cabin: Cabin, mains: Sequence[Sequence[str]], turn: int
) -> Point:
    """Return where the air handler of a cabin stands: in its middle, its branch clear of the mains.

    Where something stands already it steps aside, within the room.
    """
    ahead, middle = _ahead(turn), _middle(cabin)
    along = 1 if ahead[1] else 0
    values = [point[along] * ahead[along] for point in cabin.outline]
    far, depth = min(values), max(values) - min(values)
    reach = layout(settings).reach
    mains_at = [_nearest_place(vessel, main, middle).at[along] * ahead[along] - far for main in mains]
    from_wall = min(max(_TO_WALL, (depth - reach) / 2), min(mains_at) - reach - _TO_MAIN)
    level = on_grid((far + from_wall) * ahead[along])
    aside = [point[1 - along] for point in cabin.outline]
    first, room = on_grid(middle[1 - along]), (max(aside) - min(aside)) / 2
    obstacles = obstacles_of(vessel)
    for step in range(int(room / GRID) + 1):
        for way_aside in (1, -1):
            other = first + way_aside * step * GRID
            at = (other, level) if along else (level, other)
            if not obstacles.bodies_in(area(settings, at, turn)):
                return at
    return (first, level) if along else (level, first)


def _take_in_new_pieces(vessel: Vessel, mains: Sequence[list[str]], before: set[str]) -> None:
    """Add to each main the runs that were cut off it."""
    for main in mains:
        at = {end.tag for tag in main for end in (vessel.run_by_tag[tag].start, vessel.run_by_tag[tag].end)}
        for tag, run in vessel.run_by_tag.items():
            if tag not in before and run.start.tag in at and run.start.port in ("run_1", "run_2"):
                main.append(tag)


def _middle(cabin: Cabin) -> Point:
    xs, ys = zip(*cabin.outline, strict=True)
    return ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
