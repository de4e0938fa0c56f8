# SPDX-License-Identifier: MIT
"""Labels of what is pointed at, selected last or lit: over all others, and at every zoom."""

from __future__ import annotations

from PySide6.QtGui import QPainter

from app.canvas.detail import on_screen
from app.canvas.entries import entry_of, run_boxes, symbol_boxes
from app.canvas.label_layer import paint_labels
from app.canvas.light import paint_directions
from app.canvas.picture import Picture
from app.canvas.tiles import grown, touches
from app.overlay.labels import Label, LabelPainter
from app.overlay.lit import Lit
from app.overlay.placing import Placed
from solver.vessel.footprint import Rect
from solver.vessel.routing import length_of

#: How far round a part its label looks for a place [px].
_NEAR = 240.0


def extra_label(picture: Picture, tag: str, scale: float, text: str = "") -> tuple[Label, Placed]:
    """Return the full label of a component or run, or with another text, and its place."""
    item = picture.runs.items.get(tag) or picture.components.items[tag]
    entry = entry_of(item, picture.shown(scale), in_full=True)
    if text:
        entry = entry._replace(label=Label(tag, text))
    near = grown(entry.anchor, _NEAR / scale)
    return picture.labels.extra(
        entry,
        symbol_boxes(picture.components, on_screen(scale), near),
        run_boxes(picture.runs, on_screen(scale), near),
        scale,
    )


def in_sight(labels: list[tuple[Label, Placed]], visible: Rect, scale: float) -> list[tuple[Label, Placed]]:
    """Return labels moved sideways so that those at an edge of the view can be read whole."""
    low, high = visible.left * scale, visible.right * scale
    found = []
    for label, placed in labels:
        left, top, right, bottom = placed.box
        by = max(low - left, 0.0) - max(right - high, 0.0)
        found.append((label, placed._replace(box=(left + by, top, right + by, bottom))))
    return found


def paint_told(painter: QPainter, picture: Picture, lit: Lit, visible: Rect, scale: float) -> None:
    """Paint directions, and the texts beside what is lit; a text once, beside the longest leg it is of."""
    paint_directions(painter, picture, lit, scale)
    labels: list[tuple[Label, Placed]] = []
    told: set[str] = set()
    for tag in sorted(lit.texts, key=lambda tag: _leg_length(picture, tag), reverse=True):
        text = lit.texts[tag]
        known = tag in picture.runs.items or tag in picture.components.items
        if text in told or not known:
            continue
        [(label, placed)] = in_sight([extra_label(picture, tag, scale, text)], visible, scale)
        if not any(touches(Rect(*placed.box), Rect(*other.box)) for _, other in labels):
            labels.append((label, placed))
            told.add(text)
    paint_labels(painter, labels, scale, LabelPainter(picture.theme, opaque=True))


def _leg_length(picture: Picture, tag: str) -> float:
    run = picture.runs.items.get(tag)
    return 0.0 if run is None else length_of(run.longest_leg)
