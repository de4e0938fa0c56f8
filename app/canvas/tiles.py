# SPDX-License-Identifier: MIT
"""Parts of the drawing by place, in square tiles that keep what was made for painting them.

Painting joins the paths of a whole tile; a change of one part makes only its tile anew.  There is one
grid of tiles for each level of detail, made when it is first painted.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Generic, Protocol, TypeVar

from app.canvas.detail import Level
from app.editing.deck_view import DeckLayer
from solver.vessel.footprint import Rect

#: Side of a tile by level: large where much of the drawing is on the screen [units].
_SIZES = {Level.WHOLE: 400.0, Level.PLAIN: 1024.0, Level.FAR: 1536.0}

#: Opacity of what is dimmed.
DIMMED = 0.3


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
    dimmed : bool
        The items belong to a dimmed deck.
    """

    def __init__(self, dimmed: bool = False) -> None:
        self.items: dict[str, Item] = {}
        self.made: dict[str, Any] = {}
        self.dimmed = dimmed
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

    def __init__(self, size: float, items: Iterable[Item], layers: Mapping[str, DeckLayer]) -> None:
        self._size, self._layers = size, layers
        self.tiles: dict[tuple[int, int, bool], Tile[Item]] = {}
        self._home: dict[str, tuple[int, int, bool]] = {}
        for item in items:
            self.put(item)

    def put(self, item: Item) -> None:
        left, top, right, bottom = item.rect
        size = 2 * self._size
        layer = self._layers.get(item.tag, "shown")
        if layer == "hidden":
            if item.tag in self._home:
                self.drop(item.tag)
            return
        home = (int((left + right) // size), int((top + bottom) // size), layer == "dimmed")
        if self._home.get(item.tag, home) != home:
            self.drop(item.tag)
        self._home[item.tag] = home
        tile = self.tiles.get(home)
        if tile is None:
            tile = self.tiles[home] = Tile(home[2])
        tile.items[item.tag] = item
        tile.changed()

    def drop(self, tag: str) -> None:
        home = self._home.pop(tag, None)
        if home is None:
            return
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
        self._layers: Mapping[str, DeckLayer] = {}

    def set_layers(self, layers: Mapping[str, DeckLayer]) -> bool:
        """Dim or hide items by tag; those not named are shown.  Returns whether anything changed."""
        if layers == self._layers:
            return False
        self._layers = layers
        self._grids.clear()
        self._rect = None
        return True

    def layer(self, tag: str) -> DeckLayer:
        """Return whether an item is shown, dimmed or hidden."""
        return self._layers.get(tag, "shown")

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

    def by_strength(self) -> list[tuple[Tiles[Item], float]]:
        """Return the items to paint as (tiles, opacity): dimmed ones first, below the others."""
        if "dimmed" not in self._layers.values():
            return [(self, 1.0)]
        return [(_Part(self, dimmed=True), DIMMED), (_Part(self, dimmed=False), 1.0)]

    def tiles_in(self, rect: Rect, level: Level) -> list[Tile[Item]]:
        """Return the tiles of a level that reach into a rectangle."""
        return [tile for tile in self._grid(level).tiles.values() if touches(tile.rect, rect)]

    def in_rect(self, rect: Rect | None) -> Iterator[Item]:
        """Return the items that reach into a rectangle; all of them for None."""
        if rect is None:
            yield from (item for item in self.items.values() if self.layer(item.tag) != "hidden")
            return
        for tile in self.tiles_in(rect, Level.WHOLE):
            for item in tile.items.values():
                if touches(item.rect, rect):
                    yield item

    def rect(self) -> Rect | None:
        """Return the area all items cover, None without items."""
        if self._rect is None and self.items:
            tiles = self._grid(Level.WHOLE).tiles.values()
            # Where all decks are hidden the sheet stays as large as it was.
            self._rect = united(each.rect for each in tiles or self.items.values())
        return self._rect

    def _grid(self, level: Level) -> _Grid[Item]:
        grid = self._grids.get(level)
        if grid is None:
            grid = self._grids[level] = _Grid(_SIZES[level], self.items.values(), self._layers)
        return grid


class _Part(Tiles[Item]):
    """The dimmed tiles of others, or those that are not."""

    def __init__(self, whole: Tiles[Item], *, dimmed: bool) -> None:
        super().__init__()
        self.items = whole.items
        self._whole, self._dimmed = whole, dimmed

    def tiles_in(self, rect: Rect, level: Level) -> list[Tile[Item]]:
        return [tile for tile in self._whole.tiles_in(rect, level) if tile.dimmed is self._dimmed]


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
