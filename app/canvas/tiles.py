# SPDX-License-Identifier: MIT
"""Parts of the drawing by place, in square tiles that keep what was made for painting them.

Painting joins the paths of a whole tile; a change of one part makes only its tile anew.  There is one
grid of tiles for each level of detail, made when it is first painted.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, Generic, Protocol, TypeVar

from app.canvas.detail import Level
from solver.vessel.footprint import Rect

#: Side of a tile by level: large where much of the drawing is on the screen [units].
_SIZES = {Level.WHOLE: 512.0, Level.PLAIN: 1536.0, Level.FAR: 4096.0}


class Drawn(Protocol):
    """A part of the drawing."""

    @property
    def tag(self) -> str: ...

    @property
    def rect(self) -> Rect: ...


Item = TypeVar("Item", bound=Drawn)


class Tile(Generic[Item]):
    """The items whose middle lies in one square.

    Attributes
    ----------
    items : dict
        Tag -> item.
    made : dict
        What painting made from the items, by a name of its own; empty after any change.
    """

    def __init__(self) -> None:
        self.items: dict[str, Item] = {}
        self.made: dict[str, Any] = {}
        self._rect: Rect | None = None

    @property
    def rect(self) -> Rect:
        """The area the items cover."""
        if self._rect is None:
            self._rect = united(item.rect for item in self.items.values())
        return self._rect

    def changed(self) -> None:
        """Forget what depends on the items."""
        self._rect = None
        self.made.clear()


class _Grid(Generic[Item]):
    """The tiles of one level."""

    def __init__(self, size: float, items: Iterable[Item]) -> None:
        self._size = size
        self.tiles: dict[tuple[int, int], Tile[Item]] = {}
        self._home: dict[str, tuple[int, int]] = {}
        for item in items:
            self.put(item)

    def put(self, item: Item) -> None:
        left, top, right, bottom = item.rect
        size = 2 * self._size
        home = (int((left + right) // size), int((top + bottom) // size))
        if self._home.get(item.tag, home) != home:
            self.drop(item.tag)
        self._home[item.tag] = home
        tile = self.tiles.get(home)
        if tile is None:
            tile = self.tiles[home] = Tile()
        tile.items[item.tag] = item
        tile.changed()

    def drop(self, tag: str) -> None:
        home = self._home.pop(tag)
        tile = self.tiles[home]
        del tile.items[tag]
        tile.changed()
        if not tile.items:
            del self.tiles[home]


class Tiles(Generic[Item]):
    """All items of one sort.

    Attributes
    ----------
    items : dict
        Tag -> item.
    """

    def __init__(self) -> None:
        self.items: dict[str, Item] = {}
        self._grids: dict[Level, _Grid[Item]] = {}
        self._rect: Rect | None = None

    def put(self, item: Item) -> None:
        """Add an item, or replace the one with its tag."""
        self.items[item.tag] = item
        self._rect = None
        for grid in self._grids.values():
            grid.put(item)

    def drop(self, tag: str) -> None:
        """Remove an item."""
        del self.items[tag]
        self._rect = None
        for grid in self._grids.values():
            grid.drop(tag)

    def forget(self, *names: str) -> None:
        """Drop what painting made under some names; without names, all of it."""
        for grid in self._grids.values():
            for tile in grid.tiles.values():
                if names:
                    for name in names:
                        tile.made.pop(name, None)
                else:
                    tile.made.clear()

    def tiles_in(self, rect: Rect, level: Level) -> list[Tile[Item]]:
        """Return the tiles of a level that reach into a rectangle."""
        return [tile for tile in self._grid(level).tiles.values() if touches(tile.rect, rect)]

    def in_rect(self, rect: Rect | None) -> Iterator[Item]:
        """Return the items that reach into a rectangle; all of them for None."""
        if rect is None:
            yield from self.items.values()
            return
        for tile in self.tiles_in(rect, Level.WHOLE):
            for item in tile.items.values():
                if touches(item.rect, rect):
                    yield item

    def rect(self) -> Rect | None:
        """Return the area all items cover, None without items."""
        if self._rect is None and self.items:
            self._rect = united(tile.rect for tile in self._grid(Level.WHOLE).tiles.values())
        return self._rect

    def _grid(self, level: Level) -> _Grid[Item]:
        grid = self._grids.get(level)
        if grid is None:
            grid = self._grids[level] = _Grid(_SIZES[level], self.items.values())
        return grid


def united(rects: Iterable[Rect]) -> Rect:
    """Return the least rectangle round all the given ones (at least one)."""
    lefts, tops, rights, bottoms = zip(*rects, strict=True)
    return Rect(min(lefts), min(tops), max(rights), max(bottoms))


def touches(one: Rect, other: Rect) -> bool:
    """Return whether two rectangles share any point."""
    return one[0] <= other[2] and other[0] <= one[2] and one[1] <= other[3] and other[1] <= one[3]


def grown(rect: Rect, by: float) -> Rect:
    """Return a rectangle larger by as much on every side."""
    return Rect(rect.left - by, rect.top - by, rect.right + by, rect.bottom + by)
