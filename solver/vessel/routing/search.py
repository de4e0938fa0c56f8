# SPDX-License-Identifier: MIT
"""The cheapest way between two points on a sparse grid, round what is in the way.

The grid has a line on either side of each body and each run that a way would meet, and through the
ends.  It grows while the cheapest way on it meets something new, so that it stays small on a
drawing of any size.  Cost: length, bends, and much for going through a body or along another run.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from heapq import heappop, heappush
from itertools import pairwise
from typing import NamedTuple

from solver.vessel.fields import Point
from solver.vessel.footprint import Rect
from solver.vessel.routing.obstacles import APART, Leg, Obstacles
from solver.vessel.routing.way import BEND_COST, direction, half, legs, tidied

#: Distance between runs side by side [units].
NUDGE = 10.0
#: Each unit through a body or along another run costs as much as so many free ones.
_BODY_COST = 1000.0
_ALONG_COST = 6.0
#: Bodies as near to one in the way as this are looked at with it [units].
_ROUND = 40.0
#: States looked at for one way, at most: what takes more, across a whole ship say, is left as it is.
_MOST_STATES = 5000

#: Numbers of a grid column and row, and whether the way goes across there.
_State = tuple[int, int, bool]


class Task(NamedTuple):
    """Find a way from ``start``, going on in the direction ``ahead``, to ``goal``, arriving in ``arrive``.

    A direction of None leaves it open; ``back`` is the one in which the way may not start.
    """

    start: Point
    goal: Point
    ahead: Point | None
    arrive: Point | None
    back: Point | None
    own_run: str


class Met(NamedTuple):
    """What a way goes through or along."""

    bodies: frozenset[str]
    legs: frozenset[Leg]


def met_by(points: Sequence[Point], obstacles: Obstacles, own_run: str) -> Met:
    """Return what a way goes through or along, the legs of ``own_run`` left out."""
    bodies: set[str] = set()
    along: set[Leg] = set()
    for a, b in legs(points):
        bodies.update(obstacles.bodies_on(a, b))
        along.update(leg for leg in obstacles.legs_along(a, b) if leg.run != own_run)
    return Met(frozenset(bodies), frozenset(along))


def cheapest(task: Task, obstacles: Obstacles, known: Met) -> tuple[Point, ...] | None:
    """Return the cheapest way; ``known`` is what is surely in the way.

    Where it takes too long to find, the best so far is returned, or None.
    """
    bodies, along = _with_neighbours(known.bodies, obstacles), set(known.legs)
    best: tuple[Point, ...] | None = None
    states = _MOST_STATES
    while True:
        grid = _Grid(task, [obstacles.boxes[tag] for tag in sorted(bodies)], sorted(along))
        points, used = grid.cheapest(task, states)
        states -= used
        if points is None:
            return best
        best = points
        met = met_by(points, obstacles, task.own_run)
        if met.bodies <= bodies and met.legs <= along:
            return best
        bodies |= _with_neighbours(met.bodies - bodies, obstacles)
        along |= met.legs


def _with_neighbours(tags: Iterable[str], obstacles: Obstacles) -> set[str]:
    found = set(tags)
    for tag in tags:
        left, top, right, bottom = obstacles.boxes[tag]
        found.update(obstacles.bodies_in(Rect(left - _ROUND, top - _ROUND, right + _ROUND, bottom + _ROUND)))
    return found


class _Grid:
    """Columns and rows, and the cost of each step along them."""

    def __init__(self, task: Task, boxes: Sequence[Rect], along: Sequence[Leg]):
        (x1, y1), (x2, y2) = task.start, task.goal
        columns, rows = {x1, x2, half(x1, x2)}, {y1, y2, half(y1, y2)}
        for box in boxes:
            columns.update((_down(box.left), _up(box.right)))
            rows.update((_down(box.top), _up(box.bottom)))
        for leg in along:
            sides = (leg.level - NUDGE, leg.level + NUDGE)
            (rows if leg.across else columns).update(sides)
        self.xs, self.ys = sorted(columns), sorted(rows)
        self.across = _step_costs(self.xs, self.ys, boxes, [leg for leg in along if leg.across])
        turned = [Rect(box.top, box.left, box.bottom, box.right) for box in boxes]
        self.down = _step_costs(self.ys, self.xs, turned, [leg for leg in along if not leg.across])

    def cheapest(self, task: Task, most: int) -> tuple[tuple[Point, ...] | None, int]:
        """Return the cheapest way on the grid (A*), and how many states were looked at.

        There is a way always; None if it takes more than ``most`` states to find.
        """
        across = None if task.arrive is None else task.arrive[0] != 0
        left = _Left(self.xs, self.ys, task.goal, across)
        first, goal = self._crossing(task.start), self._crossing(task.goal)
        cost: dict[_State, float] = {}
        before: dict[_State, _State] = {}
        done: set[_State] = set()
        waiting: list[tuple[float, float, _State]] = []
        for ahead in (True, False) if task.ahead is None else (task.ahead[0] != 0,):
            cost[(*first, ahead)] = 0.0
            waiting.append((0.0, 0.0, (*first, ahead)))
        forbidden = self._first_steps_back(first, task.back)
        while waiting and len(done) < most:
            _, _, state = heappop(waiting)
            if state in done:
                continue
            done.add(state)
            if state[:2] == goal and across in (None, state[2]):
                return self._points(state, before), len(done)
            here = cost[state]
            for other, step in self._steps(state):
                found = here + step
                if found < cost.get(other, math.inf) and (state, other) not in forbidden:
                    cost[other], before[other] = found, state
                    # Of states as promising, the nearer to the goal comes first.
                    more = left.at_least(other)
                    heappush(waiting, (found + more, more, other))
        return None, len(done)

    def _crossing(self, point: Point) -> tuple[int, int]:
        return (self.xs.index(point[0]), self.ys.index(point[1]))

    def _first_steps_back(self, first: tuple[int, int], back: Point | None) -> set[tuple[_State, _State]]:
        """Return the step that would lead from the start to where the way comes from."""
        if back is None:
            return set()
        column, row, across = first[0] + int(back[0]), first[1] + int(back[1]), back[0] != 0
        return {((*first, across), (column, row, across))}

    def _steps(self, state: _State) -> list[tuple[_State, float]]:
        column, row, across = state
        steps: list[tuple[_State, float]] = [((column, row, not across), BEND_COST)]
        if across:
            costs = self.across[row]
            if column:
                steps.append(((column - 1, row, True), costs[column - 1]))
            if column < len(costs):
                steps.append(((column + 1, row, True), costs[column]))
        else:
            costs = self.down[column]
            if row:
                steps.append(((column, row - 1, False), costs[row - 1]))
            if row < len(costs):
                steps.append(((column, row + 1, False), costs[row]))
        return steps

    def _points(self, state: _State, before: dict[_State, _State]) -> tuple[Point, ...]:
        states = [state]
        while state in before:
            state = before[state]
            states.append(state)
        return tidied([(self.xs[column], self.ys[row]) for column, row, _ in reversed(states)])


class _Left:
    """What is left to the goal at least, from each state of a grid: length and bends."""

    def __init__(self, xs: Sequence[float], ys: Sequence[float], goal: Point, arrive_across: bool | None):
        self._columns = [abs(goal[0] - x) for x in xs]
        self._rows = [abs(goal[1] - y) for y in ys]
        # The bends, by whether the way goes across now and whether the goal lies to its side.
        self._bends = {
            (across, aside): BEND_COST * _bends(across, aside, arrive_across)
            for across in (True, False)
            for aside in (True, False)
        }

    def at_least(self, state: _State) -> float:
        """Return the least cost from a state to the goal."""
        column, row, across = state
        dx, dy = self._columns[column], self._rows[row]
        return dx + dy + self._bends[across, (dy if across else dx) != 0.0]


def _bends(across: bool, aside: bool, arrive_across: bool | None) -> int:
    if arrive_across is None:
        return int(aside)
    if arrive_across != across:
        return 1
    return 2 * aside


def _step_costs(
    places: Sequence[float], levels: Sequence[float], boxes: Sequence[Rect], along: Sequence[Leg]
) -> list[list[float]]:
    """Return, for each level, the cost of each step between neighbouring places on it."""
    steps = [b - a for a, b in pairwise(places)]
    costs = [list(steps) for _ in levels]

    def add(low: float, high: float, first: int, last: int, factor: float) -> None:
        start, end = bisect_left(places, low), bisect_left(places, high)
        # A step that the piece covers in part only counts for its whole length.
        start -= start > 0 and (start == len(places) or places[start] > low)
        for level in range(first, last):
            row = costs[level]
            for step in range(start, min(end, len(steps))):
                row[step] += factor * steps[step]

    for box in boxes:
        first, last = bisect_left(levels, box.top + 1e-6), bisect_left(levels, box.bottom - 1e-6)
        add(box.left, box.right, first, last, _BODY_COST)
    for leg in along:
        first, last = bisect_right(levels, leg.level - APART), bisect_left(levels, leg.level + APART)
        add(leg.low, leg.high, first, last, _ALONG_COST)
    return costs


def _down(value: float) -> float:
    """Return the grid line at or before a coordinate."""
    return math.floor(value / 10.0) * 10.0


def _up(value: float) -> float:
    return math.ceil(value / 10.0) * 10.0


def start_direction(points: Sequence[Point]) -> Point | None:
    """Return the direction in which a way starts, None if it has no length."""
    return next((direction(a, b) for a, b in legs(points) if a != b), None)
