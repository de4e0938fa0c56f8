# SPDX-License-Identifier: MIT
"""The scene: shows a vessel value and its results, and knows what is selected.

It draws in a few layers, each one item, whatever the size of the vessel.
"""

from __future__ import annotations

import time
from collections.abc import Iterable, Mapping
from pathlib import Path

from PySide6.QtCore import QObject, QPointF, QRect, QRectF, QTimer, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QGraphicsScene

from app.canvas import pointing
from app.canvas.grid import paint_paper
from app.canvas.label_layer import paint_labels
from app.canvas.layer import KeptLayer, Layer, from_rect, to_rect
from app.canvas.light import paint_light
from app.canvas.picture import Picture
from app.canvas.selection import paint_selection
from app.canvas.tiles import grown
from app.canvas.title_block import Title, title_of
from app.canvas.told import extra_label, in_sight, paint_told
from app.canvas.underlay_item import UnderlayLayer
from app.editing.deck_view import DeckLayer
from app.overlay.difference import Comparison
from app.overlay.labels import LabelPainter
from app.overlay.legend import Legend
from app.overlay.lit import Lit
from app.theme import Theme
from app.units import System
from solver.results import Results
from solver.vessel.fields import Point
from solver.vessel.footprint import Rect
from solver.vessel.vessel import Vessel

#: Above this many changed areas the whole view is painted anew.
_MANY = 40
#: What reaches beyond a changed part: outline, ports, labels [px].
_AROUND = 60.0
#: Labels that took longer than this to lay out wait until the zoom stands still [s], for so long [ms].
_QUICK_S, _STILL_MS = 0.008, 90
#: Time between two steps of drifting arrows [ms], and their way at 1 m/s [units a second].
_TICK_MS, _DRIFT = 50, 14.0


class VesselScene(QGraphicsScene):
    """The drawing of a vessel.

    Signals
    -------
    tags_selected(tuple)
        The selection has changed.
    tag_activated(str)
        Enter was pressed on a part, or its room double-clicked.
    edit_asked(str, bool)
        A part or its label was double-clicked; whether that was on the label's tag.
    notes_changed()
        Title block or legend say something else.
    extent_changed()
        The drawing covers another area.
    """

    tags_selected = Signal(tuple)
    tag_activated = Signal(str)
    edit_asked = Signal(str, bool)
    notes_changed = Signal()
    extent_changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.setItemIndexMethod(QGraphicsScene.ItemIndexMethod.NoIndex)
        self.picture = Picture()
        self._selected: dict[str, None] = {}
        self._hovered = ""
        self._lit: Lit | None = None
        self._reason, self._scenario = "", ""
        self._scale, self._visible = 1.0, Rect(0.0, 0.0, 0.0, 0.0)
        self._laying_took = 0.0
        self._drift = 0.0
        self._still = QTimer(self, singleShot=True, interval=_STILL_MS)
        self._still.timeout.connect(self.lay_out_labels)
        self._clock = QTimer(self, interval=_TICK_MS)
        self._clock.timeout.connect(self._drift_on)
        self._runs = Layer(self._paint_runs, 2)
        #: What stays as it is while figures change.
        self._kept = (KeptLayer(self.picture.paint_cabins, 0), KeptLayer(self.picture.paint_symbols, 3))
        for layer in (
            *self._kept,
            Layer(self._paint_light, 1),
            self._runs,
            Layer(self.picture.paint_values, 4),
            Layer(self._paint_labels, 5),
            Layer(self._paint_selection, 6),
        ):
            self.addItem(layer)
        self._underlays = UnderlayLayer(self)

    # What is shown.

    def show_vessel(self, vessel: Vessel) -> None:
        """Show another vessel value; only what differs from the one before is drawn anew."""
        before = self.picture.bounds()
        areas = self.picture.show_vessel(vessel)
        kept = {tag: None for tag in self._selected if self._knows(tag)}
        if not self._knows(self._hovered):
            self._hovered = ""
        self._refresh(areas)
        self.notes_changed.emit()
        if self.picture.bounds() != before:
            self.extent_changed.emit()
        if kept != self._selected:
            self._select(kept)

    def show_results(self, results: Results | None, behind: bool = False, heat_behind: bool = False) -> None:
        """Show what a solve found, dimmed where it, or its temperatures alone, are of an earlier vessel."""
        self.picture.show_results(results, behind=behind, heat_behind=heat_behind)
        self._refresh_values()

    def set_overlay(self, name: str) -> None:
        """Lay a quantity over the runs, by its name in ``app.overlay.quantities.NAMES``.

        Raises
        ------
        FarcabinError
            No overlay has that name.
        """
        self.picture.set_overlay(name)
        self._refresh_values()

    def set_comparison(self, comparison: Comparison | None) -> None:
        """Take the two states whose difference the overlay "difference" shows; None for none."""
        self.picture.set_comparison(comparison)
        self._refresh_values()

    def set_theme(self, theme: Theme) -> None:
        """Draw in other colours."""
        self.picture.set_theme(theme)
        self._refresh(None)
        self.notes_changed.emit()

    def set_units(self, system: System) -> None:
        """Write figures in SI or US customary units."""
        self.picture.set_units(system)
        self._refresh_values()

    def set_cooling(self, choice: str) -> None:
        """Let labels of air handlers say what they cool from "near" by, from "far" off or "never"."""
        self.picture.cooling = choice
        self._refresh_values()

    def set_reason(self, text: str) -> None:
        """Say in the title block why the vessel is not solved; empty when it is."""
        if text != self._reason:
            self._reason = text
            self.notes_changed.emit()

    def set_scenario(self, text: str) -> None:
        """Name the scenario in the title block; empty for the vessel as drawn."""
        self._scenario = text
        self.notes_changed.emit()

    def mark(self, marks: Mapping[str, str]) -> None:
        """Mark parts with the severity (bad, warn, note) of the worst finding about them."""
        self.picture.mark(marks)
        self._refresh(None, symbols=False)

    def light(self, lit: Lit | None) -> None:
        """Light a circuit or loop; None puts the light out."""
        if lit != self._lit:
            self._lit = lit
            self.update()

    def set_decks(self, decks: Mapping[str, DeckLayer]) -> None:
        """Dim or hide decks by name; those not named are shown."""
        if self.picture.set_decks(decks):
            self._refresh(None)

    def show_underlays(self, vessel_path: Path | None, decks: Mapping[str, DeckLayer]) -> tuple[str, ...]:
        """Show the vessel's deck plans; return what is wrong with those that cannot be shown."""
        before = self._underlays.extent()
        self._underlays.show(self.picture.vessel, vessel_path, self.picture.theme, decks)
        if self._underlays.extent() != before:
            self.extent_changed.emit()
        return self._underlays.problems

    def underlay_at(self, point: QPointF) -> int | None:
        """Return which of the vessel's deck plans lies at a point; None where there is none."""
        return self._underlays.index_at(point)

    def set_motion(self, on: bool) -> None:
        """Let the flow arrows drift, or stand still (print, reduced motion)."""
        self._drift = 0.0
        if on:
            self._clock.start()
        else:
            self._clock.stop()
            self._refresh(None, symbols=False)

    def title(self) -> Title:
        """Return what the title block says."""
        picture = self.picture
        return title_of(
            picture.vessel,
            picture.results,
            picture.system,
            behind=picture.behind,
            reason=self._reason,
            scenario=self._scenario,
        )

    def legend(self, *, compact: bool = False) -> Legend:
        """Return the legend of what is shown; ``compact`` for small windows."""
        picture = self.picture
        behind = picture.overlay_behind and picture.results is not None
        return Legend(picture.overlay, picture.theme, behind=behind, compact=compact)

    # Selection.

    def selected_tags(self) -> tuple[str, ...]:
        """Return the tags of the selected parts, in the order they were selected."""
        return tuple(self._selected)

    def select_tags(self, tags: Iterable[str]) -> None:
        """Select parts by tag, in place of what was selected; unknown tags are left out."""
        self._select({tag: None for tag in tags if self._knows(tag)})

    def hover(self, tag: str) -> None:
        """Show that the pointer is on a part; empty for none."""
        if tag != self._hovered:
            self._hovered = tag
            self.update()

    def tags_at(self, point: QPointF) -> tuple[str, ...]:
        """Return the components and runs at a point of the scene, best first."""
        return pointing.tags_at(self.picture, (point.x(), point.y()), self._scale)

    def label_at(self, point: QPointF) -> tuple[str, bool]:
        """Return the part whose label is at a point, empty for none, and whether that is on its tag."""
        return self.picture.labels.at(point.x(), point.y())

    def tags_in(self, area: QRectF) -> tuple[str, ...]:
        """Return the components and runs that reach into an area of the scene."""
        return pointing.tags_in(self.picture, to_rect(area))

    def place_of(self, tag: str) -> QRectF:
        """Return the area of a component, run or cabin; an empty one if there is no such part."""
        found = pointing.place_of(self.picture, tag)
        return QRectF() if found is None else from_rect(found)

    def neighbour(self, direction: Point) -> str | None:
        """Return the part joined to the last selected one in a direction; None if there is none."""
        if not self._selected:
            return pointing.nearest(self.picture, _middle(self._visible))
        return pointing.neighbour(self.picture, list(self._selected)[-1], direction)

    def extent(self) -> QRectF:
        """Return the area that drawing and deck plans cover."""
        drawn = from_rect(self.picture.bounds())
        plans = self._underlays.extent()
        return plans if drawn.isEmpty() else drawn.united(plans)

    # Labels.

    def look_at(self, visible: QRectF, scale: float) -> None:
        """Say what part of the scene is on the screen and how large; labels follow.

        Where they take long to lay out they wait until the zoom stands still.
        """
        self._visible, self._scale = to_rect(visible), scale
        self._lay_out_soon()

    def _lay_out_soon(self) -> None:
        if self._laying_took <= _QUICK_S:
            self.lay_out_labels()
        else:
            self._still.start()

    def lay_out_labels(self) -> None:
        """Find places for the labels now."""
        self._still.stop()
        started = time.perf_counter()
        picture = self.picture
        before, titles = picture.labels.shown(), picture.titles
        picture.lay_out_labels(self._scale, self._visible)
        self._laying_took = time.perf_counter() - started
        if picture.titles != titles:
            self._kept[0].changed()
        if picture.labels.shown() != before or picture.titles != titles:
            self.update()

    # Painting.

    def drawBackground(self, painter: QPainter, rect: QRectF | QRect) -> None:
        """Paint the paper and its grid."""
        paint_paper(painter, QRectF(rect), painter.worldTransform().m11(), self.picture.theme)

    def _paint_runs(self, painter: QPainter, exposed: Rect, scale: float) -> None:
        self.picture.paint_runs(painter, exposed, scale, self._drift)

    def _paint_labels(self, painter: QPainter, exposed: Rect, scale: float) -> None:
        told = () if self._lit is None else self._lit.texts
        self.picture.paint_labels(painter, grown(exposed, 1 / scale), without=[*self._pointed(), *told])

    def _paint_light(self, painter: QPainter, exposed: Rect, scale: float) -> None:
        del exposed
        if self._lit is not None:
            paint_light(painter, self.picture, self._lit, scale)

    def _paint_selection(self, painter: QPainter, exposed: Rect, scale: float) -> None:
        if self._lit is not None:
            paint_told(painter, self.picture, self._lit, self._visible, scale)
        picture, hovered = self.picture, self._hovered
        selected = [tag for tag in self._selected if tag != hovered]
        for tags, hover in ((selected, False), ([hovered] if hovered else [], hovered not in self._selected)):
            paint_selection(
                painter,
                [picture.components.items[tag] for tag in tags if tag in picture.components.items],
                [picture.runs.items[tag] for tag in tags if tag in picture.runs.items],
                exposed,
                scale,
                picture.theme,
                hover=hover,
            )
        extra = [extra_label(picture, tag, scale) for tag in self._pointed()]
        extra = in_sight(extra, self._visible, scale)
        brush = LabelPainter(
            picture.theme, behind=picture.behind, heat_behind=picture.heat_behind, opaque=True
        )
        paint_labels(painter, extra, scale, brush)

    def _pointed(self) -> list[str]:
        """Return the parts under the pointer and selected last whose label is not as it stands."""
        tags = dict.fromkeys((self._hovered, *list(self._selected)[-1:]))
        picture = self.picture
        return [tag for tag in tags if tag and (tag in picture.runs.items or not picture.labels.has(tag))]

    def _drift_on(self) -> None:
        picture = self.picture
        if (
            picture.results is not None
            and not picture.behind
            and any(view.isVisible() for view in self.views())
        ):
            self._drift += _DRIFT * _TICK_MS / 1000
            self._runs.update()

    def _refresh_values(self) -> None:
        self._refresh(None, symbols=False)
        self.notes_changed.emit()

    def _refresh(self, areas: list[Rect] | None, *, symbols: bool = True) -> None:
        """Paint some areas anew, or all of it; rooms and symbols only if ``symbols``."""
        if symbols and (areas is None or areas):
            for layer in self._kept:
                layer.changed()
        if areas is None or len(areas) > _MANY:
            self.update()
        else:
            for area in areas:
                self.update(from_rect(grown(area, _AROUND / self._scale)))
        if areas is None or areas:
            self.picture.rewrite_labels()
            self._lay_out_soon()

    def _select(self, tags: dict[str, None]) -> None:
        if list(tags) != list(self._selected):
            self._selected = tags
            self.update()
            self.tags_selected.emit(tuple(tags))

    def _knows(self, tag: str) -> bool:
        return tag in self.picture.components.items or tag in self.picture.runs.items


def _middle(rect: Rect) -> Point:
    return ((rect.left + rect.right) / 2, (rect.top + rect.bottom) / 2)
