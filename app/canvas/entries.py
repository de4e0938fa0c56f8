# SPDX-License-Identifier: MIT
"""Which labels a drawing wants at a zoom, where their parts lie, and what they must keep off."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from app.canvas.component_item import ComponentItem
from app.canvas.detail import Detail, Level
from app.canvas.label_layer import Entry
from app.canvas.run_item import RunItem
from app.canvas.tiles import Tiles
from app.overlay.difference import NAME as DIFFERENCE
from app.overlay.labels import Label, component_label, run_in_full, run_label, run_shows
from app.overlay.placing import Side
from app.overlay.quantities import Overlay
from app.units import System
from solver.results import Results
from solver.vessel.fields import Point
from solver.vessel.footprint import Rect
from solver.vessel.routing import legs, length_of
from solver.vessel.vessel import Limits

_SIDES: tuple[Side, ...] = ("top", "bottom", "right", "left")
#: A run's label needs this much straight pipe on the screen [px].
_LEG_PX = 30.0
#: No more labels than this are tried; of the least important ones every second, third... is left out.
_MOST = 1200
#: Marked parts show from here on [px a unit], with this importance.
_MARKED_FROM, _MARKED_RANK = 0.05, -1


class Shown(NamedTuple):
    """What labels tell; ``with_heat``: what air handlers cool, too."""

    results: Results | None
    overlay: Overlay | None
    system: System
    limits: Limits
    marks: Mapping[str, str]
    with_heat: bool = False


def entries_of(
    components: Tiles[ComponentItem], runs: Tiles[RunItem], shown: Shown, scale: float, area: Rect | None
) -> list[Entry]:
    """Return the labels wanted at a zoom, most important first, of the parts in ``area`` (None: all)."""
    marks = shown.marks
    wanted: dict[int, list[ComponentItem | RunItem]] = {}
    for component in components.in_rect(area):
        if components.layer(component.tag) == "dimmed":
            continue
        if component.tag in marks and scale >= _MARKED_FROM:
            wanted.setdefault(_MARKED_RANK, []).append(component)
        elif scale >= component.shows_from:
            wanted.setdefault(component.rank, []).append(component)
    rank, shows_from = run_shows(shown.overlay)
    if marks or scale >= shows_from:
        for run in runs.in_rect(area):
            if runs.layer(run.tag) == "dimmed":
                continue
            marked = run.tag in marks and scale >= _MARKED_FROM
            if (marked or scale >= shows_from) and length_of(run.longest_leg) * scale >= _LEG_PX:
                wanted.setdefault(_MARKED_RANK if marked else rank, []).append(run)
    found: list[Entry] = []
    for rank in sorted(wanted):
        items = wanted[rank]
        every = max(1, -(-len(items) // max(_MOST - len(found), 1)))
        found.extend(entry_of(item, shown) for item in items[::every])
        if len(found) >= _MOST:
            break
    return found


def label_of(item: ComponentItem | RunItem, shown: Shown, *, in_full: bool = False) -> Label:
    """Return the label of a part; ``in_full`` writes all about a run that a label can hold."""
    severity = shown.marks.get(item.tag, "")
    if isinstance(item, ComponentItem):
        overlay = shown.overlay
        if item.kind == "air_handler" and overlay is not None and overlay.name == DIFFERENCE:
            return Label(item.tag, overlay.text(item.tag), severity, bold=True)
        return component_label(
            item.component,
            item.state.word,
            shown.results,
            shown.system,
            shown.limits,
            severity,
            with_heat=shown.with_heat,
        )
    if in_full:
        return run_in_full(item.run, shown.results, shown.system, severity)
    return run_label(item.run, shown.overlay, severity)


def entry_of(item: ComponentItem | RunItem, shown: Shown, *, in_full: bool = False) -> Entry:
    """Return the label of a part with its place: beside a component, along a run's longest leg.

    A label in full may move away from its run.
    """
    label = label_of(item, shown, in_full=in_full)
    if isinstance(item, ComponentItem):
        return Entry(label, item.body, item.label_sides())
    return Entry(label, _leg_box(*item.longest_leg, item.width), _SIDES, along=not in_full)


def symbol_boxes(components: Tiles[ComponentItem], detail: Detail, area: Rect | None) -> Iterator[Rect]:
    """Return the bodies that no label may lie on: those drawn at this zoom."""
    far = detail.level is Level.FAR
    for item in components.in_rect(area):
        if item.large or not far:
            yield item.body


def run_boxes(runs: Tiles[RunItem], detail: Detail, area: Rect | None) -> Iterator[Rect]:
    """Return the legs of the runs; none from afar, where they lie too close to be kept clear."""
    if detail.level is Level.FAR:
        return
    for item in runs.in_rect(area):
        for a, b in legs(item.points):
            yield _leg_box(a, b, item.width)


def _leg_box(a: Point, b: Point, width: float) -> Rect:
    half = width / 2
    return Rect(
        min(a[0], b[0]) - half, min(a[1], b[1]) - half, max(a[0], b[0]) + half, max(a[1], b[1]) + half
    )
