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


def paint_told(painter: QPainter, picture: Picture, lit: Lit, scale: float) -> None:
    """Paint directions, and the texts beside what is lit; a text once, beside the longest leg it is of."""
    paint_directions(painter, picture, lit, scale)
    labels: list[tuple[Label, Placed]] = []
    told: set[str] = set()
    for tag in sorted(lit.texts, key=lambda tag: _leg_length(picture, tag), reverse=True):
        text = lit.texts[tag]
        known = tag in picture.runs.items or tag in picture.components.items
        if text in told or not known:
            continue
        label, placed = extra_label(picture, tag, scale, text)
        if not any(touches(Rect(*placed.box), Rect(*other.box)) for _, other in labels):
            labels.append((label, placed))
            told.add(text)
    paint_labels(painter, labels, scale, LabelPainter(picture.theme, opaque=True))


def _leg_length(picture: Picture, tag: str) -> float:
    run = picture.runs.items.get(tag)
    return 0.0 if run is None else length_of(run.longest_leg)
