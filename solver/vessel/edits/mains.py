# SPDX-License-Identifier: MIT
"""Edits that lay mains: a supply and its return side by side, and the return main of a supply main."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, Literal

import msgspec

from solver.errors import EditError
from solver.vessel.accepted import one_of, shown
from solver.vessel.components import Tee
from solver.vessel.edits.adding import add
from solver.vessel.edits.cutting import OnRun, put_tee
from solver.vessel.edits.following import replaced_runs
from solver.vessel.edits.joining import RunDefaults, Where, join
from solver.vessel.edits.supply_main import Branch, SupplyMain, supply_main
from solver.vessel.edits.tags import free_tag
from solver.vessel.fields import Point
from solver.vessel.footprint import GRID, port_direction, port_place
from solver.vessel.routing import length_of, nearest_on, tidied, way
from solver.vessel.routing.way import direction, through
from solver.vessel.run import End, Run
from solver.vessel.takeoff import measured, takeoff
from solver.vessel.vessel import Vessel

ReturnKind = Literal["direct", "reverse"]
KINDS_OF_RETURN: tuple[ReturnKind, ...] = ("direct", "reverse")

#: Distance between a supply and its return drawn as a pair, and between a main and its mirror [units].
PAIR_GAP, MAIN_GAP = 20.0, 40.0
#: A point this near to a port is meant to be the port [units].
_NEAR = 30.0
_TYPED = ("measured", "guessed")
#: How far a length taken over from the supply main may be from the true one [%]; common practice.
TAKEN_OVER_PLUS_MINUS_PERCENT = 15.0


def pair(
    vessel: Vessel,
    points: Sequence[Point],
    *,
    start: tuple[Where | None, Where | None] = (None, None),
    end: tuple[Where | None, Where | None] = (None, None),
    like: RunDefaults | None = None,
    deck: str = "",
    gap: float = PAIR_GAP,
) -> Vessel:
    """Return the vessel with a supply and a return drawn side by side.

    The supply goes along the points, the return beside it, right of the direction in which they are given;
    water comes back in it.

    Parameters
    ----------
    vessel : Vessel
        Left as it is.
    points : sequence of points
        The way of the supply, at least two; corners are made where two do not lie on one axis.
    start, end : pair of End, OnRun or None
        Where supply and return begin and end there: a free port, a place on a run, or nowhere yet, where
        a tee comes that waits for more.
    like : RunDefaults, optional
        Pipe and insulation.
    deck : str
        The deck of such tees.
    gap : float
        Distance between the two [units]; below 0 the return is on the left.

    Raises
    ------
    EditError
        There are too few points, they lie too near each other, or a place cannot be joined.
    """
    supply = _laid(points)
    back = offset(supply, gap)
    like = like or RunDefaults()
    for service, points_of, ends in (("supply", supply, 0), ("return", back[::-1], 1)):
        first, last = (start[ends], end[ends]) if ends == 0 else (end[ends], start[ends])
        own = msgspec.structs.replace(like, service=service)
        vessel, _ = _main(vessel, points_of, first, last, own, deck)
    return vessel


def offset(points: Sequence[Point], gap: float) -> list[Point]:
    """Return a way beside another, on the right of its direction; on the left for a gap below 0."""
    ahead = [direction(a, b) for a, b in zip(points, points[1:], strict=False)]
    moved = []
    for number, (x, y) in enumerate(points):
        sides = {ahead[max(number - 1, 0)], ahead[min(number, len(ahead) - 1)]}
        # Right of a direction on a sheet whose y points down.
        moved.append((x - gap * sum(side[1] for side in sides), y + gap * sum(side[0] for side in sides)))
    return moved


def mirror_main(
    vessel: Vessel,
    supply_run_tags: Sequence[str],
    kind: ReturnKind = "direct",
    *,
    to: Where | None = None,
    gap: float = MAIN_GAP,
) -> Vessel:
    """Return the vessel with the return main of a supply main, and every branch joined to it.

    It goes beside the supply main.  Direct: from the last branch back to the plant.  Reverse: from the
    first branch past the last, and home from there if ``to`` is given.  Each piece has the size of the
    supply's piece that serves as many branches; one that begins at a branch goes on in its pipe.  Where a
    branch ends in an open port, that is joined; where it does not, a tee waits for it.

    Parameters
    ----------
    vessel : Vessel
        Left as it is.
    supply_run_tags : sequence of str
        The runs of the main, end to end, in any order.
    kind : {"direct", "reverse"}
        Which of the two.
    to : End, OnRun or None
        Where the return main ends; a tee waits at its end if not given.
    gap : float
        Distance from the supply main [units].

    Raises
    ------
    EditError
        There is no such kind or run, the runs are not one main, nothing branches off, or there is no room.
    """
    if kind not in KINDS_OF_RETURN:
        raise EditError(f"no return is called {shown(kind)}; accepted: {one_of(KINDS_OF_RETURN, kind)}")
    main = supply_main(vessel, supply_run_tags)
    if not main.branches:
        raise EditError(
            f"nothing branches off {', '.join(supply_run_tags[:3])}; choose the runs of a supply main",
            tuple(supply_run_tags),
        )
    side = _side_away(vessel, main)
    points = offset(main.points, side * gap)
    order = list(main.branches) if kind == "reverse" else list(reversed(main.branches))
    path = points if kind == "reverse" else points[::-1]
    if kind == "reverse" and to is not None:
        home = offset(main.points, 2 * side * gap)
        path = [*points, *home[::-1]]
    like = _like(main.segments[-1][0])
    first = order[0].open_end
    path = path if first is None else _from_foot(path, _place_of(vessel, first))
    deck = vessel.component_by_tag[main.segments[0][0].start.tag].deck
    vessel, laid = _main(vessel, path, first, to, like, deck)
    pieces = [laid]
    for branch in order[1:]:
        vessel, new = _joined(vessel, pieces, branch)
        pieces.insert(pieces.index(new[0]) + 1, new[1])
    return _sized(vessel, pieces, main, kind, begins_at_branch=first is not None)


def _laid(points: Sequence[Point]) -> tuple[Point, ...]:
    if len(points) < 2:
        raise EditError("a pair of mains takes two points or more")
    found = tidied(through(points[0], None, points[1:-1], points[-1]))
    if length_of(found) < 4 * GRID:
        raise EditError(f"the points lie too near each other; a main takes {4 * GRID:g} units or more")
    return found


def _main(
    vessel: Vessel,
    points: Sequence[Point],
    first: Where | None,
    last: Where | None,
    like: RunDefaults,
    deck: str,
) -> tuple[Vessel, str]:
    """Return the vessel with a run along points, and its tag; tees wait where it has no end."""
    via = list(points[1:-1])
    if first is None:
        vessel, first = _waiting_tee(vessel, points[0], direction(points[1], points[0]), deck)
    elif _is_apart(vessel, first, points[0]):
        via.insert(0, points[0])
    if last is None:
        vessel, last = _waiting_tee(vessel, points[-1], direction(points[-2], points[-1]), deck)
    elif _is_apart(vessel, last, points[-1]):
        via.append(points[-1])
    vessel = join(vessel, first, last, like=like, via=via)
    run = vessel.runs[-1]
    # What it is drawn as counts more than what its neighbours carry.
    run = msgspec.structs.replace(run, service=like.service or run.service)
    return replaced_runs(vessel, {run.tag: run}), run.tag


def _is_apart(vessel: Vessel, where: Where, point: Point) -> bool:
    """Return whether a point is so far from where a run ends that the run is to be led over it."""
    if isinstance(where, OnRun):
        return math.dist(where.at, point) > _NEAR
    if where.tag not in vessel.component_by_tag:
        return True
    component = vessel.component_by_tag[where.tag]
    return where.port in component.ports and math.dist(port_place(component, where.port), point) > _NEAR


def _waiting_tee(vessel: Vessel, at: Point, out: Point, deck: str) -> tuple[Vessel, End]:
    """Return the vessel with a tee where a main goes on nowhere yet, and the port that the main ends at."""
    tee = Tee(tag=free_tag(vessel, "tee"), at=at, deck=deck)
    turns = (msgspec.structs.replace(tee, turn=turn) for turn in range(4))
    placed = next(one for one in turns if port_direction(one, "run_2") == out)
    return add(vessel, components=(placed,)), End(tee.tag, "run_1")


def _side_away(vessel: Vessel, main: SupplyMain) -> float:
    """Return 1 if the branches stand left of the main, so that its mirror belongs on the right, else -1."""
    aside = 0.0
    for branch in main.branches:
        spot = nearest_on(main.points, branch.at)
        ahead = direction(main.points[spot.leg], main.points[spot.leg + 1])
        place = branch.at if branch.open_end is None else _place_of(vessel, branch.open_end)
        x, y = place[0] - spot.at[0], place[1] - spot.at[1]
        aside += math.copysign(1.0, y * ahead[0] - x * ahead[1]) if x or y else 0.0
    return -1.0 if aside > 0 else 1.0


def _place_of(vessel: Vessel, end: End) -> Point:
    return port_place(vessel.component_by_tag[end.tag], end.port)


def _like(run: Run) -> RunDefaults:
    return RunDefaults(run.series, run.size, run.insulation, run.surroundings, "return")


def _from_foot(points: Sequence[Point], place: Point) -> list[Point]:
    """Return a way from the point on that is nearest to a place."""
    spot = nearest_on(points, place)
    left = [spot.at, *points[spot.leg + 1 :]]
    return left if length_of(left) >= 2 * GRID else list(points)


def _joined(vessel: Vessel, pieces: Sequence[str], branch: Branch) -> tuple[Vessel, tuple[str, str]]:
    """Return the vessel with a branch on the return main, the piece that was cut, and the new piece."""
    place = branch.at if branch.open_end is None else _place_of(vessel, branch.open_end)
    ways = {tag: way(vessel, vessel.run_by_tag[tag]) for tag in pieces}
    cut = min(pieces, key=lambda tag: math.dist(nearest_on(ways[tag], place).at, place))
    at = nearest_on(ways[cut], place).at
    before = vessel.run_by_tag
    if branch.open_end is None:
        # Beside the supply's tee, so that the branch to come does not pass over that.
        ahead = direction(*ways[cut][:2])
        at = (at[0] + 4 * GRID * ahead[0], at[1] + 4 * GRID * ahead[1])
        grown, _ = put_tee(vessel, cut, at, place)
    else:
        grown = join(vessel, branch.open_end, OnRun(cut, at))
    tee = grown.run_by_tag[cut].end.tag
    new = next(run for run in grown.runs if run.tag not in before and run.start.tag == tee)
    return grown, (cut, new.tag)


def _sized(
    vessel: Vessel, pieces: Sequence[str], main: SupplyMain, kind: ReturnKind, *, begins_at_branch: bool
) -> Vessel:
    """Return the vessel with the pieces of a return main sized, and as long, as the supply's."""
    count = len(main.segments)
    new: dict[str, Run] = {}
    for number, tag in enumerate(pieces):
        run = vessel.run_by_tag[tag]
        values: dict[str, Any] = {}
        tail_m = 0.0
        if number == 0 and begins_at_branch:
            # A main that turns off into its last branch has such a tail itself.
            tail_m = 0.0 if kind == "direct" and main.turns_off else _tail_m(vessel, run)
        else:
            # As many branches are behind this piece as before that one.
            like = main.segments[max(count - 1 - number, 0)][0]
            values = {"series": like.series, "size": like.size, "insulation": like.insulation}
        # A direct return passes the same places in the other order, a reverse one in the same.
        beside = count - 1 - number if kind == "direct" else number + 1
        # The last run of a main that turns off is a branch in part, which a reverse return only passes.
        known = range(count - 1 if kind == "reverse" and main.turns_off else count)
        if beside in known and all(one.length_known in _TYPED for one in main.segments[beside]):
            values["length_m"] = sum(one.length_m for one in main.segments[beside]) + tail_m
            values["length_known"] = "guessed"
            values["length_plus_minus_percent"] = TAKEN_OVER_PLUS_MINUS_PERCENT
        new[tag] = msgspec.structs.replace(run, **values)
    return measured(replaced_runs(vessel, new))


def _tail_m(vessel: Vessel, run: Run) -> float:
    """Return the length from a branch to the main that begins at it [m]: up to the run's first corner."""
    points = way(vessel, run)
    if len(points) == 2:
        return 0.0
    found = takeoff(vessel, run)
    main = length_of((*points[1:], vessel.component_by_tag[run.end.tag].at))
    return found.level_m - main * found.metres_per_unit
