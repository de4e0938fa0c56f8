# SPDX-License-Identifier: MIT
"""What is drawn of a vessel, kept up to date from value to value, painted with any painter.

The scene paints it on the screen, the sheet on paper.  ``show_vessel`` takes the difference to the
vessel shown before: a component or run is drawn anew only if its struct is another one.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from typing import Any

from PySide6.QtGui import QPainter

from app.canvas.cabin_item import CabinItem, RoomTitle, paint_cabins
from app.canvas.component_item import ComponentItem, open_ports
from app.canvas.component_layer import OF_AIR_HANDLERS, VALUES, paint_components, paint_values
from app.canvas.crossings import Crossings
from app.canvas.detail import ARROWS_FROM, Detail, Level, on_paper, on_screen
from app.canvas.drawn_way import drawn_points
from app.canvas.entries import Shown, entries_of, label_of, run_boxes, symbol_boxes
from app.canvas.label_layer import LabelLayer
from app.canvas.room_titles import RoomValues, room_titles
from app.canvas.run_item import RunItem
from app.canvas.run_layer import ARROWS, BANDS, LINES, paint_arrows, paint_runs
from app.canvas.services import services
from app.canvas.tiles import Tiles, grown, united
from app.editing.deck_view import DeckLayer, layers_of
from app.overlay.difference import Comparison
from app.overlay.heat_difference import DIFFERENCES
from app.overlay.labels import LabelPainter
from app.overlay.quantities import Overlay, overlay_of
from app.overlay.series import runs_in_series
from app.theme import Theme, theme
from app.units import System
from solver.results import Results
from solver.vessel.footprint import Rect
from solver.vessel.routing import way
from solver.vessel.run import Run
from solver.vessel.vessel import Vessel

#: With more parts than this only the labels near the visible part are laid out.
_ALL_LABELS = 1500
#: How far a label may lie from its part, itself included [px].
_LABEL_REACH = 320.0
#: From which zoom on labels of air handlers say what they cool, by the user's choice [px a unit].
_COOLING_FROM = {"near": 1.3, "far": 0.5, "never": math.inf}
#: Opacity of colours and arrows that are behind the drawing.
_BEHIND_OPACITY = 0.4


class Picture:
    """The drawing of one vessel.

    Attributes
    ----------
    vessel, results : Vessel, Results or None
        What is shown.
    behind, heat_behind : bool
        The results, or their temperatures alone, belong to an earlier vessel.
    theme : Theme
    system : {"si", "us"}
    overlay : Overlay or None
        The quantity over the runs; None without one or without results.
    overlay_name : str
    cooling : {"near", "far", "never"}
        From where labels of air handlers say what they cool.
    in_full : bool
        Draw every detail at every zoom: paper shows more than a screen.
    runs, components, cabins, labels
        The drawn parts.
    titles : mapping
        Tag of a cabin -> where its name stands.
    """

    def __init__(self) -> None:
        self.vessel = Vessel(name="")
        self.results: Results | None = None
        self.behind = self.heat_behind = False
        self.theme: Theme = theme("light")
        self.system: System = "si"
        self.overlay: Overlay | None = None
        self.overlay_name = "none"
        self.in_full = False
        self.cooling = "near"
        self.runs: Tiles[RunItem] = Tiles()
        self.components: Tiles[ComponentItem] = Tiles()
        self.cabins: Tiles[CabinItem] = Tiles()
        self.labels = LabelLayer()
        self._marks: Mapping[str, str] = {}
        self._comparison: Comparison | None = None
        self._crossings = Crossings()
        self._carries: Mapping[str, str] = {}
        self._sea: set[str] = set()
        self._series: Mapping[str, tuple[str, ...]] = {}
        self.titles: Mapping[str, RoomTitle] = {}
        self._version = 0
        self._decks: Mapping[str, DeckLayer] = {}

    def set_decks(self, decks: Mapping[str, DeckLayer]) -> bool:
        """Dim or hide decks by name; those not named are shown.  Returns whether anything changed."""
        self._decks = {name: layer for name, layer in decks.items() if layer != "shown"}
        return self._renew_layers()

    def show_vessel(self, vessel: Vessel) -> list[Rect]:
        """Show another vessel; return the areas to be painted anew."""
        old, self.vessel = self.vessel, vessel
        areas: list[Rect] = []
        self._renew_layers()
        joined_anew = old.runs is not vessel.runs and _joints(old) != _joints(vessel)
        moved, other_parts = self._renew_components(old, vessel, areas, joined_anew)
        if other_parts or old.runs is not vessel.runs:
            self._carries = services(vessel)
            self._sea = {tag for tag, service in self._carries.items() if service == "sea"}
        if other_parts or moved or old.runs is not vessel.runs:
            self._renew_runs(vessel, areas, moved)
        if joined_anew or other_parts:
            self._series = runs_in_series(vessel)
            # Results may have come before their vessel.
            self._renew_overlay()
        if old.cabins is not vessel.cabins:
            self._renew_cabins(vessel, areas)
        return areas

    @property
    def overlay_behind(self) -> bool:
        """Whether the overlay's figures belong to an earlier vessel."""
        return self.heat_behind if self.overlay is not None and self.overlay.of_heat else self.behind

    def show_results(self, results: Results | None, behind: bool = False, heat_behind: bool = False) -> None:
        """Show what a solve found."""
        self.results, self.behind, self.heat_behind = results, behind, behind or heat_behind
        self._renew_overlay(ARROWS, BANDS)

    def set_overlay(self, name: str) -> None:
        """Lay a quantity over the runs.

        Raises
        ------
        FarcabinError
            No overlay has that name.
        """
        if name not in DIFFERENCES:
            overlay_of(name, self.vessel, None, self.system, dark=self.theme.dark)
        self.overlay_name = name
        self._renew_overlay()

    def set_comparison(self, comparison: Comparison | None) -> None:
        """Take the two states whose difference can be laid over the runs."""
        self._comparison = comparison
        if self.overlay_name in DIFFERENCES:
            self._renew_overlay()

    def set_theme(self, theme: Theme) -> None:
        """Draw in other colours."""
        self.theme = theme
        self._renew_overlay(BANDS)

    def set_units(self, system: System) -> None:
        """Write figures in other units."""
        self.system = system
        self._renew_overlay()

    def mark(self, marks: Mapping[str, str]) -> None:
        """Mark parts with the severity of the worst finding about them; notes are not shown."""
        self._marks = {tag: severity for tag, severity in marks.items() if severity in ("bad", "warn")}

    def bounds(self) -> Rect:
        """Return the area that the drawing covers, labels aside."""
        rects = (self.runs.rect(), self.components.rect(), self.cabins.rect())
        covered = [rect for rect in rects if rect is not None]
        return united(covered) if covered else Rect(0.0, 0.0, 0.0, 0.0)

    def shown(self, scale: float) -> Shown:
        """Return what labels tell at a zoom."""
        with_heat = scale >= _COOLING_FROM[self.cooling]
        return Shown(self.results, self.overlay, self.system, self.vessel.limits, self._marks, with_heat)

    def drawn_as(self) -> set[tuple[object, ...]]:
        """Return all that the look of the parts depends on, for comparing two pictures."""
        components = {item.drawn_as() for item in self.components.items.values()}
        runs = {item.drawn_as() for item in self.runs.items.values()}
        return components | runs | {item.drawn_as() for item in self.cabins.items.values()}

    def paint_cabins(self, painter: QPainter, exposed: Rect, scale: float) -> None:
        """Paint the rooms with their names."""
        for cabins, strength in self.cabins.by_strength():
            painter.setOpacity(strength)
            paint_cabins(cabins, painter, exposed, self._detail(scale), self.theme, self.titles)
        painter.setOpacity(1.0)

    def paint_runs(self, painter: QPainter, exposed: Rect, scale: float, drift: float = 0.0) -> None:
        """Paint runs and flow arrows; ``drift`` is how far an arrow at 1 m/s has gone [units]."""
        behind = _BEHIND_OPACITY if self.overlay_behind and self.overlay is not None else 1.0
        for runs, strength in self.runs.by_strength():
            painter.setOpacity(behind * strength)
            paint_runs(runs, painter, exposed, self._detail(scale), self.theme, self.overlay)
        if self.results is not None and (self.in_full or scale >= ARROWS_FROM):
            painter.setOpacity(_BEHIND_OPACITY if self.behind else 1.0)
            paint_arrows(
                self.runs,
                painter,
                exposed,
                self._detail(scale).level,
                self.theme,
                self.results.links,
                coloured=self.overlay is not None,
                drift=drift,
            )
        painter.setOpacity(1.0)

    def paint_components(self, painter: QPainter, exposed: Rect, scale: float) -> None:
        """Paint the symbols, and their values over them."""
        self.paint_symbols(painter, exposed, scale)
        self.paint_values(painter, exposed, scale)

    def paint_symbols(self, painter: QPainter, exposed: Rect, scale: float) -> None:
        """Paint the symbols alone."""
        for components, strength in self.components.by_strength():
            painter.setOpacity(strength)
            paint_components(components, painter, exposed, self._detail(scale), self.theme)
        painter.setOpacity(1.0)

    def paint_values(self, painter: QPainter, exposed: Rect, scale: float) -> None:
        """Paint the values that an overlay shows in symbols."""
        for components, strength in self.components.by_strength():
            painter.setOpacity(strength)
            paint_values(components, painter, exposed, self._detail(scale), self.theme, self.overlay)
        painter.setOpacity(1.0)

    def paint_labels(
        self, painter: QPainter, exposed: Rect, *, as_text: bool = False, without: Collection[str] = ()
    ) -> None:
        """Paint the labels where ``lay_out_labels`` has put them, but those of some tags."""
        brush = LabelPainter(self.theme, behind=self.behind, heat_behind=self.heat_behind, as_text=as_text)
        self.labels.paint(painter, exposed, brush, without)

    def lay_out_labels(self, scale: float, visible: Rect) -> None:
        """Find places for the labels at a zoom; of a large drawing for those near ``visible`` only."""
        area = around = None
        if len(self.components.items) + len(self.runs.items) > _ALL_LABELS:
            area = grown(visible, max(visible.right - visible.left, visible.bottom - visible.top) / 2)
            # Labels of parts at the edge must keep off what lies beyond it.
            around = grown(area, _LABEL_REACH / scale)
        values = RoomValues(self.results, self.system, self.heat_behind)
        titles = room_titles(self.cabins.in_rect(area), self.components, self.runs, scale, values)
        boxes = (title.box for title in titles.values())
        self.labels.lay_out(
            entries_of(self.components, self.runs, self.shown(scale), scale, area),
            symbol_boxes(self.components, self._detail(scale), around),
            (*run_boxes(self.runs, self._detail(scale), around), *boxes),
            scale,
            self._version,
            keep=area is not None,
            strict=self._detail(scale).level is Level.FAR,
        )
        self.titles = {tag: each for tag, each in titles.items() if not self.labels.cover(each.box)}

    def rewrite_labels(self) -> None:
        """Write the present figures on the labels where they are; quicker than laying them out."""
        shown = self.shown(self.labels.scale)
        items: dict[str, ComponentItem | RunItem] = {**self.components.items, **self.runs.items}
        self.labels.rewrite(label_of(items[tag], shown) for tag in self.labels.shown() if tag in items)

    def _detail(self, scale: float) -> Detail:
        return on_paper(scale) if self.in_full else on_screen(scale)

    def _renew_overlay(self, *also: str) -> None:
        """Work the overlay out anew; lines change with it, other things made for painting if named."""
        before, self.overlay = self.overlay, self._make_overlay()
        names = {each.name for each in (before, self.overlay) if each is not None}
        # The share of design flow colours other parts than the other quantities do.
        if names & OF_AIR_HANDLERS or len(names) == 1:
            also = (*also, BANDS)
        self.runs.forget(LINES, *also)
        if names & OF_AIR_HANDLERS:
            self.components.forget(VALUES)

    def _make_overlay(self) -> Overlay | None:
        dark = self.theme.dark
        if self.overlay_name not in DIFFERENCES:
            return overlay_of(
                self.overlay_name,
                self.vessel,
                self.results,
                self.system,
                dark=dark,
                series=self._series,
                sea=self._sea,
            )
        if self._comparison is None:
            return None
        make = DIFFERENCES[self.overlay_name]
        return make(self._comparison, self.vessel, self.system, dark=dark)

    def _renew_layers(self) -> bool:
        """Sort the parts by how their decks show."""
        tiles: tuple[Tiles[Any], ...] = (self.components, self.runs, self.cabins)
        layers = layers_of(self.vessel, self._decks)
        changed = [each.set_layers(found) for each, found in zip(tiles, layers, strict=True)]
        if any(changed):
            self._version += 1
        return any(changed)

    def _renew_components(
        self, old: Vessel, vessel: Vessel, areas: list[Rect], joined_anew: bool
    ) -> tuple[set[str], bool]:
        """Draw changed components anew.

        Returns the tags of those whose ports may have moved, and whether other parts are there than before.
        """
        moved: set[str] = set()
        if old.components is vessel.components and not joined_anew:
            return moved, False
        items = self.components.items
        gone = items.keys() - vessel.component_by_tag.keys()
        for tag in gone:
            areas.append(items[tag].rect)
            self.components.drop(tag)
        other_parts = bool(gone)
        self._version += other_parts
        for component in vessel.components:
            item = items.get(component.tag)
            if item is not None and item.component is component and not joined_anew:
                continue
            ports = open_ports(vessel, component) if item is None or joined_anew else item.open_ports
            if item is not None and item.component is component and item.open_ports == ports:
                continue
            new = ComponentItem(component, ports)
            if item is None or item.place != new.place:
                moved.add(component.tag)
                other_parts = other_parts or item is None or item.kind != new.kind
            self.components.put(new)
            if item is None or item.drawn_as() != new.drawn_as():
                # Other values are not drawn; the labels stay where they are.
                self._version += 1
                areas.extend(one.rect for one in (item, new) if one is not None)
        return moved | gone, other_parts

    def _renew_cabins(self, vessel: Vessel, areas: list[Rect]) -> None:
        """Draw changed rooms anew; a cabin without an outline is not drawn."""
        items = self.cabins.items
        self._version += 1
        drawn = {cabin.tag: cabin for cabin in vessel.cabins if len(cabin.outline) >= 3}
        for tag in items.keys() - drawn.keys():
            areas.append(items[tag].rect)
            self.cabins.drop(tag)
        for tag, cabin in drawn.items():
            item = items.get(tag)
            if item is None or item.cabin is not cabin:
                new = CabinItem(cabin)
                areas.extend(one.rect for one in (item, new) if one is not None)
                self.cabins.put(new)

    def _renew_runs(self, vessel: Vessel, areas: list[Rect], moved: set[str]) -> None:
        """Draw runs anew that changed or whose ends moved, and those that cross them."""
        items, carries = self.runs.items, self._carries
        gone = items.keys() - vessel.run_by_tag.keys()
        changed = [run for run in vessel.runs if self._differs(run, carries[run.tag], moved)]
        # Where all runs are new, all of them look for their crossings anyway.
        some = len(changed) < len(vessel.runs)
        crossing = {run.tag for run in changed}
        before = {tag: items[tag].drawn_as() for tag in crossing if tag in items}
        for tag in (*gone, *crossing):
            if tag in items:
                crossing |= self._crossings.crossed_by(tag)
                self._crossings.remove(tag)
                areas.append(items[tag].rect)
        for tag in gone:
            self.runs.drop(tag)
        for run in changed:
            item = RunItem(run, drawn_points(vessel, run, way(vessel, run)), carries[run.tag])
            self._crossings.add(run.tag, item.points)
            self.runs.put(item)
            areas.append(item.rect)
        if some:
            for run in changed:
                crossing |= self._crossings.crossed_by(run.tag)
        for tag in crossing & items.keys():
            if items[tag].hop_over(self._crossings.hops(tag)):
                self.runs.put(items[tag])
                areas.append(items[tag].rect)
        self._version += bool(gone) or any(
            items[run.tag].drawn_as() != before.get(run.tag) for run in changed
        )

    def _differs(self, run: Run, service: str, moved: set[str]) -> bool:
        item = self.runs.items.get(run.tag)
        return (
            item is None
            or item.run is not run
            or item.service != service
            or run.start.tag in moved
            or run.end.tag in moved
        )


def _joints(vessel: Vessel) -> list[tuple[object, ...]]:
    return [(run.tag, run.start, run.end) for run in vessel.runs]
