# SPDX-License-Identifier: MIT
"""All labels of the drawing: laid out for one zoom, painted in one go."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from typing import NamedTuple

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from app.canvas.tiles import touches
from app.overlay.labels import HEIGHT, Label, LabelPainter
from app.overlay.placing import Box, Placed, Side, Wish, place
from solver.vessel.footprint import Rect


class Entry(NamedTuple):
    """A label with the area of its part on the drawing and the sides to try, best first."""

    label: Label
    anchor: Rect
    sides: tuple[Side, ...]
    along: bool = False


class LabelLayer:
    """The labels of one drawing.

    Attributes
    ----------
    scale : float
        The zoom they are laid out for [px a unit]; 0 before the first time.
    """

    def __init__(self) -> None:
        self.scale = 0.0
        self._labels: dict[str, Label] = {}
        self._placed: dict[str, Placed] = {}
        self._asked: tuple[object, ...] = ()

    def lay_out(
        self,
        entries: Sequence[Entry],
        symbols: Iterable[Rect],
        runs: Iterable[Rect],
        scale: float,
        version: object,
        *,
        keep: bool = False,
        strict: bool = False,
    ) -> None:
        """Find a place for each entry, which come most important first.

        Nothing moves while ``version`` (of the geometry), the zoom, and the labels with their widths stay
        the same.

        Parameters
        ----------
        entries : sequence of Entry
        symbols, runs : iterable of Rect
            What labels keep off, and what they keep off where they can [units].
        scale : float
        version : object
        keep : bool
            Labels that have a place at this zoom and version keep it; for drawings of which only the
            visible part is laid out.
        strict : bool
            As ``place`` takes it.
        """
        asked = (scale, version, tuple((entry.label.tag, entry.label.width) for entry in entries))
        self._labels = {entry.label.tag: entry.label for entry in entries}
        if asked == self._asked:
            return
        kept: dict[str, Placed] = {}
        if keep and asked[:2] == self._asked[:2]:
            kept = {
                tag: placed
                for tag, placed in self._placed.items()
                if tag in self._labels and self._labels[tag].width == placed.box[2] - placed.box[0]
            }
        self._asked, self.scale = asked, scale
        wishes = [_wish(entry, scale) for entry in entries if entry.label.tag not in kept]
        found = place(
            wishes,
            (_scaled(rect, scale) for rect in symbols),
            (_scaled(rect, scale) for rect in runs),
            (placed.box for placed in kept.values()),
            strict=strict,
        )
        self._placed = {**kept, **found}

    def rewrite(self, labels: Iterable[Label]) -> None:
        """Write other text on labels that stay where they are."""
        self._labels.update((label.tag, label) for label in labels)

    def extra(
        self, entry: Entry, symbols: Iterable[Rect], runs: Iterable[Rect], scale: float
    ) -> tuple[Label, Placed]:
        """Return one more label, placed off all others, else off symbols, else at its best place."""
        wish = _wish(entry, scale)
        ratio = scale / self.scale if self.scale else 1.0
        others = [
            (a * ratio, b * ratio, c * ratio, d * ratio)
            for tag, ((a, b, c, d), _) in self._placed.items()
            if tag != entry.label.tag
        ]
        parts = [_scaled(rect, scale) for rect in symbols]
        lines = [_scaled(rect, scale) for rect in runs]
        found = place([wish], parts, lines, others) or place([wish], parts, lines) or place([wish], (), ())
        return entry.label, found[entry.label.tag]

    def cover(self, area: Rect) -> bool:
        """Return whether a label lies on an area of the drawing."""
        box = Rect(*_scaled(area, self.scale))
        return any(touches(Rect(*placed.box), box) for _, placed in self.shown().values())

    def at(self, x: float, y: float) -> tuple[str, bool]:
        """Return the part whose label is at a point [units], and whether that is on its tag."""
        here = (x * self.scale, y * self.scale)
        for tag, (label, placed) in self.shown().items():
            left, top, right, bottom = placed.box
            if left <= here[0] <= right and top <= here[1] <= bottom:
                return tag, here[0] - left < label.tag_ends or not label.value
        return "", False

    def has(self, tag: str) -> bool:
        """Return whether a part's label is shown."""
        return tag in self._placed and tag in self._labels

    def shown(self) -> dict[str, tuple[Label, Placed]]:
        """Return tag -> label and place, in pixels at ``scale``."""
        return {
            tag: (self._labels[tag], placed) for tag, placed in self._placed.items() if tag in self._labels
        }

    def paint(
        self, painter: QPainter, exposed: Rect, brush: LabelPainter, without: Collection[str] = ()
    ) -> None:
        """Paint the labels that reach into ``exposed`` [units], but those of some tags."""
        if not self.scale:
            return
        area = Rect(*_scaled(exposed, self.scale))
        visible = [
            (label, placed)
            for tag, (label, placed) in self.shown().items()
            if tag not in without and touches(Rect(*placed.box), area)
        ]
        paint_labels(painter, visible, self.scale, brush)


def paint_labels(
    painter: QPainter, labels: Sequence[tuple[Label, Placed]], scale: float, brush: LabelPainter
) -> None:
    """Paint labels whose places are in pixels at a zoom, on a painter in units of the drawing."""
    if not labels:
        return
    painter.save()
    painter.scale(1 / scale, 1 / scale)
    brush.leaders(painter, [placed.leader for _, placed in labels if placed.leader])
    brush.plates(
        painter, [QRectF(left, top, right - left, HEIGHT) for _, ((left, top, right, _), _) in labels]
    )
    for label, placed in labels:
        # Whole pixels keep the figures crisp.
        brush.text(painter, label, round(placed.box[0]), round(placed.box[1]))
    painter.restore()


def _wish(entry: Entry, scale: float) -> Wish:
    label = entry.label
    return Wish(label.tag, _scaled(entry.anchor, scale), label.width, HEIGHT, entry.sides, entry.along)


def _scaled(rect: Rect, scale: float) -> Box:
    return (rect[0] * scale, rect[1] * scale, rect[2] * scale, rect[3] * scale)
