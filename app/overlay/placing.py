# SPDX-License-Identifier: MIT
"""Places for labels: beside their part, off every symbol and every other label, off runs where possible.

Greedy, in the order given: each label takes the first place that is free of everything, else the
free place with the fewest runs under it, else none.  The same input gives the same places.  Pure, no
Qt; all lengths in pixels at the scale the labels are placed for.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

Box = tuple[float, float, float, float]
Side = str

#: Distance of a label from its part.
GAP = 5.0
#: Farther distances, tried when all near places are taken; a leader line then tells whose it is.
_FAR = (26.0, 47.0)
#: Least distance between two labels.
_APART = 2.0
#: A label nearer than this to another part than its own could be taken for that part's.
_NEAR = 4.5
#: What lying on a run, near to another part, and being moved away cost; 0 is a perfect place.
_ON_RUN, _NEAR_OTHER, _MOVED = 2, 2, 2
_CELL = 64.0
#: A box over more cells than this is asked each time.
_HUGE = 4000

_STEP: dict[Side, tuple[int, int]] = {"top": (0, -1), "bottom": (0, 1), "left": (-1, 0), "right": (1, 0)}


class Wish(NamedTuple):
    """A label that wants a place.

    ``anchor`` is the part's box (left, top, right, bottom).  ``sides`` are tried in this order.  A
    label ``along`` a run has other places along it but never a leader.
    """

    tag: str
    anchor: Box
    width: float
    height: float
    sides: tuple[Side, ...] = ("top", "bottom", "right", "left")
    along: bool = False


class Placed(NamedTuple):
    """Where a label lies, and the line to its part if it had to move away."""

    box: Box
    leader: tuple[float, float, float, float] | None


class Boxes:
    """Boxes by place, for asking which of them another box overlaps."""

    def __init__(self, boxes: Iterable[Box] = ()) -> None:
        self._cells: dict[tuple[int, int], list[Box]] = {}
        self._huge: list[Box] = []
        for box in boxes:
            self.add(box)

    def add(self, box: Box) -> None:
        """Add a box."""
        left, top, right, bottom = box
        columns = range(int(left // _CELL), int(right // _CELL) + 1)
        rows = range(int(top // _CELL), int(bottom // _CELL) + 1)
        if len(columns) * len(rows) > _HUGE:
            self._huge.append(box)
            return
        for x in columns:
            for y in rows:
                self._cells.setdefault((x, y), []).append(box)

    def hit(self, box: Box) -> bool:
        """Return whether any box overlaps."""
        left, top, right, bottom = box
        for near in self._near(box):
            for a, b, c, d in near:
                if a < right and left < c and b < bottom and top < d:
                    return True
        return False

    def count(self, box: Box) -> int:
        """Return how many different boxes overlap."""
        return len({other for near in self._near(box) for other in near if _overlap(other, box)})

    def _near(self, box: Box) -> Iterator[list[Box]]:
        left, top, right, bottom = box
        yield self._huge
        for x in range(int(left // _CELL), int(right // _CELL) + 1):
            for y in range(int(top // _CELL), int(bottom // _CELL) + 1):
                found = self._cells.get((x, y))
                if found:
                    yield found


def place(
    wishes: Sequence[Wish],
    symbols: Iterable[Box],
    runs: Iterable[Box],
    kept: Iterable[Box] = (),
    *,
    strict: bool = False,
) -> dict[str, Placed]:
    """Find places for labels.

    Parameters
    ----------
    wishes : sequence of Wish
        Most important first.
    symbols : iterable of Box
        No label comes to lie on one of these.
    runs : iterable of Box
        Legs of runs; a label lies on one only where nothing better is free.
    kept : iterable of Box
        Labels that have their place already.
    strict : bool
        No label moves away from its part or comes close to another part: where parts lie so close that
        either would be guesswork, there is none.

    Returns
    -------
    dict
        Tag -> place, without the labels for which none is free.
    """
    parts = Boxes(symbols)
    labels = Boxes(_grown(box, _APART) for box in kept)
    below = Boxes(runs)
    found: dict[str, Placed] = {}
    for wish in wishes:
        best = _best(wish, parts, labels, below, strict)
        if best is not None:
            found[wish.tag] = best
            labels.add(_grown(best.box, _APART))
    return found


def _best(wish: Wish, parts: Boxes, labels: Boxes, below: Boxes, strict: bool) -> Placed | None:
    """Return the free place that costs least, the first of equals."""
    best, least = None, math.inf
    for candidate in _candidates(wish):
        box, leader = candidate
        if parts.hit(box) or labels.hit(box):
            continue
        cost = 0
        if leader is not None:
            if strict:
                break
            line = _line_box(leader)
            if parts.hit(line) or labels.hit(line):
                continue
            cost = _MOVED
        if cost < least:
            cost += _ON_RUN * below.count(box)
        if cost < least and not wish.along:
            around = _grown(box, _NEAR)
            others = parts.count(around) - (1 if _overlap(around, wish.anchor) else 0)
            if others and strict:
                continue
            cost += _NEAR_OTHER * others
        if cost < least:
            best, least = candidate, cost
            if cost <= 0:
                break
    return best


def _overlap(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _line_box(line: tuple[float, float, float, float]) -> Box:
    """Return the box round a leader, short of its ends: it starts at a label and ends at a part."""
    x1, y1, x2, y2 = line
    across = -0.5 if x1 != x2 else 0.5
    down = -0.5 if y1 != y2 else 0.5
    return (min(x1, x2) - across, min(y1, y2) - down, max(x1, x2) + across, max(y1, y2) + down)


def _grown(box: Box, by: float) -> Box:
    return (box[0] - by, box[1] - by, box[2] + by, box[3] + by)


def _candidates(wish: Wish) -> Iterator[Placed]:
    if wish.along:
        yield from _along(wish)
        return
    for side in wish.sides:
        yield Placed(_beside(wish, side, GAP, 0.5), None)
    for side in wish.sides:
        for share in (0.0, 1.0):
            yield Placed(_beside(wish, side, GAP, share), None)
    for one in wish.sides[:2]:
        for other in ("right", "left") if one in ("top", "bottom") else ("top", "bottom"):
            yield Placed(_at_corner(wish, one, other, GAP), None)
    for distance in _FAR:
        for side in wish.sides:
            for share in (0.5, -0.6, 1.6):
                yield _led(wish, _beside(wish, side, distance, share))


def _beside(wish: Wish, side: Side, gap: float, share: float) -> Box:
    """Return the place on one side; ``share`` 0 to 1 slides from one end of the side to the other."""
    left, top, right, bottom = wish.anchor
    w, h = wish.width, wish.height
    dx, dy = _STEP[side]
    if dx:
        y = top + (bottom - top - h) * share
        x = right + gap if dx > 0 else left - gap - w
    else:
        x = left + (right - left - w) * share
        y = bottom + gap if dy > 0 else top - gap - h
    return (x, y, x + w, y + h)


def _at_corner(wish: Wish, one: Side, other: Side, gap: float) -> Box:
    left, top, right, bottom = wish.anchor
    w, h = wish.width, wish.height
    sides = (one, other)
    x = right + gap if "right" in sides else left - gap - w
    y = bottom + gap / 2 if "bottom" in sides else top - gap / 2 - h
    return (x, y, x + w, y + h)


def _along(wish: Wish) -> Iterator[Placed]:
    left, top, right, bottom = wish.anchor
    level = right - left >= bottom - top
    w, h = wish.width, wish.height
    for share in (0.5, 0.3, 0.7, 0.15, 0.85):
        x = left + (right - left) * share
        y = top + (bottom - top) * share
        for side in wish.sides:
            dx, dy = _STEP[side]
            if level and dy:
                edge = bottom + GAP if dy > 0 else top - GAP - h
                yield Placed((x - w / 2, edge, x + w / 2, edge + h), None)
            elif not level and dx:
                edge = right + GAP if dx > 0 else left - GAP - w
                yield Placed((edge, y - h / 2, edge + w, y + h / 2), None)


def _led(wish: Wish, box: Box) -> Placed:
    """Return a far place with the shortest straight line from it to its part."""
    left, top, right, bottom = wish.anchor
    x = min(max((box[0] + box[2]) / 2, left), right)
    y = min(max((box[1] + box[3]) / 2, top), bottom)
    from_x, from_y = min(max(x, box[0]), box[2]), min(max(y, box[1]), box[3])
    return Placed(box, (from_x, from_y, x, y))
