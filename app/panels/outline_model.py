# SPDX-License-Identifier: MIT
"""The vessel as a tree: circuits, kinds, parts, each part with its main value."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from PySide6.QtCore import (
    QAbstractItemModel,
    QItemSelection,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
)

from app.panels.figures import main_value
from app.panels.natural import natural_key, ranges
from app.panels.words import kind_names, plural_names
from app.translation import tr
from app.units import System
from solver.errors import PartError
from solver.results import Results
from solver.vessel.components import kind_name
from solver.vessel.vessel import Vessel

Index = QModelIndex | QPersistentModelIndex
TAG = Qt.ItemDataRole.UserRole


@dataclass
class Node:
    """A line of the tree; ``tag`` is empty for circuits and kinds."""

    text: str
    tag: str = ""
    kind: str = ""
    parent: Node | None = None
    row: int = 0
    number: int = 0
    children: list[Node] = field(default_factory=list)

    def add(self, child: Node) -> Node:
        """Put a line under this one."""
        child.parent, child.row = self, len(self.children)
        self.children.append(child)
        return child

    def all_tags(self) -> list[str]:
        """Return the tags of this line and of all under it."""
        return ([self.tag] if self.tag else []) + [tag for child in self.children for tag in child.all_tags()]


def tree_of(vessel: Vessel) -> Node:
    """Return the vessel's tree: one branch a circuit, the largest first, then its kinds."""
    root = Node("")
    circuits = _circuits(vessel)
    sea = 0
    fresh = 0
    for parts in circuits:
        is_sea = any(kind in ("sea_water_pump", "through_hull", "overboard") for _tag, kind, _text in parts)
        sea, fresh = sea + is_sea, fresh + (not is_sea)
        number = sea if is_sea else fresh
        name = tr("Sea-water circuit") if is_sea else tr("Fresh-water loop")
        branch = root.add(Node(f"{name} {number}" if number > 1 else name))
        _add_kinds(branch, parts)
    if vessel.cabins:
        branch = root.add(Node(tr("Cabins")))
        for cabin in sorted(vessel.cabins, key=lambda each: natural_key(each.tag)):
            branch.add(Node(f"{cabin.tag}  {cabin.name}".strip(), cabin.tag, "cabin"))
    return root


def _add_kinds(branch: Node, parts: Iterable[tuple[str, str, str]]) -> None:
    by_kind: dict[str, list[tuple[str, str]]] = {}
    for tag, kind, text in parts:
        by_kind.setdefault(kind, []).append((tag, text))
    order = list(kind_names())
    for kind in sorted(by_kind, key=lambda each: order.index(each) if each in order else len(order)):
        found = sorted(by_kind[kind], key=lambda part: natural_key(part[0]))
        group = branch.add(Node(f"{plural_names().get(kind, kind)} ({len(found)})"))
        for tag, text in found:
            group.add(Node(text, tag, kind))


def _circuits(vessel: Vessel) -> list[list[tuple[str, str, str]]]:
    """Return each circuit's parts as (tag, kind, text); a chiller stands in its loop, not with the sea."""
    try:
        joints = vessel.joints
    except PartError:
        return []
    regions = joints.circuits.tolist() if joints.point_count else []
    found: dict[int, list[tuple[str, str, str]]] = {}
    for part in vessel.components:
        text = f"{part.tag}  {part.name}" if part.name else part.tag
        region = regions[joints.point_of[part.tag, part.ports[0]]]
        found.setdefault(region, []).append((part.tag, kind_name(part), text))
    for run in vessel.runs:
        region = regions[joints.point_of[run.start]]
        text = f"{run.tag}  {run.start.tag} – {run.end.tag}"
        found.setdefault(region, []).append((run.tag, "run", text))
    return sorted(found.values(), key=len, reverse=True)


class OutlineModel(QAbstractItemModel):
    """Two columns: the part, its main value."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._root = Node("")
        self._nodes: dict[str, Node] = {}
        #: An index carries a line's number here; a pointer would outlive its line.
        self._all: list[Node] = []
        self._results: Results | None = None
        self._units: System = "si"

    def show_vessel(self, vessel: Vessel) -> None:
        """Show another tree."""
        self.beginResetModel()
        self._root = tree_of(vessel)
        self._nodes, self._all = {}, []
        waiting = [self._root]
        while waiting:
            node = waiting.pop()
            node.number = len(self._all)
            self._all.append(node)
            if node.tag:
                self._nodes[node.tag] = node
            waiting.extend(node.children)
        self.endResetModel()

    def show_values(self, results: Results | None, units: System) -> None:
        """Take the parts' values; the tree has to be painted anew.

        It is not told line by line: of thousands it would ask each for its place, at every edit.
        """
        self._results, self._units = results, units

    def index_of(self, tag: str) -> QModelIndex:
        """Return where a part stands, an invalid index if it does not."""
        node = self._nodes.get(tag)
        return QModelIndex() if node is None else self.createIndex(node.row, 0, node.number)

    def selection_of(self, tags: Iterable[str]) -> QItemSelection:
        """Return the lines of some parts, neighbours as one range: a ship has thousands."""
        rows: dict[int, set[int]] = {}
        for tag in tags:
            node = self._nodes.get(tag)
            if node is not None and node.parent is not None:
                rows.setdefault(node.parent.number, set()).add(node.row)
        chosen = QItemSelection()
        for number, found in rows.items():
            children = self._all[number].children
            for top, bottom in ranges(found):
                chosen.select(
                    self.createIndex(top, 0, children[top].number),
                    self.createIndex(bottom, 1, children[bottom].number),
                )
        return chosen

    def node(self, index: Index) -> Node:
        """Return the line at an index."""
        return self._all[index.internalId()] if index.isValid() else self._root

    def index(self, row: int, column: int, parent: Index = QModelIndex()) -> QModelIndex:  # noqa: B008
        node = self.node(parent)
        if 0 <= row < len(node.children) and 0 <= column < 2:
            return self.createIndex(row, column, node.children[row].number)
        return QModelIndex()

    def parent(self, index: Index) -> QModelIndex:  # type: ignore[override]
        above = self.node(index).parent
        if above is None or above is self._root:
            return QModelIndex()
        return self.createIndex(above.row, 0, above.number)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.column() > 0 else len(self.node(parent).children)

    def columnCount(self, _parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 2

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        if orientation == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return (tr("Part"), tr("Value"))[section]
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        if not index.isValid():
            return None
        node = self.node(index)
        if role == TAG:
            return node.tag
        if role == Qt.ItemDataRole.DisplayRole:
            return node.text if index.column() == 0 else self._value(node)
        if role == Qt.ItemDataRole.ToolTipRole:
            return node.text
        if role == Qt.ItemDataRole.AccessibleTextRole:
            value = self._value(node)
            kind = kind_names().get(node.kind, "")
            return ", ".join(part for part in (kind, node.text, value) if part)
        if role == Qt.ItemDataRole.TextAlignmentRole and index.column() == 1:
            return int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        return None

    def _value(self, node: Node) -> str:
        if self._results is None or not node.tag:
            return ""
        return main_value(self._results, node.tag, self._units)
