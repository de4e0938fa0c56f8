# SPDX-License-Identifier: MIT
"""What the labels say, how important each is, and how one is painted."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen, QPolygonF, QStaticText

from app.overlay.quantities import Overlay
from app.theme import HALF_SPACE, RADIUS, SPACE, Theme, ui_font
from app.translation import tr
from app.units import System, show
from solver.results import Results
from solver.vessel.components import AirHandler, Chiller, Component, Pump, kind_name
from solver.vessel.run import Run
from solver.vessel.vessel import Limits, Vessel

#: Height of a label and side of the shape that tells a severity [px].
HEIGHT = 18.0
_SHAPE = 10.0
#: Widths are rounded up to this, so that a changing figure does not make labels jump [px].
_WIDTH_STEP = 8.0
#: How much of the plate behind the text covers what lies below.
_PLATE_OPACITY = 0.85

#: Kind -> importance (0 first) and the zoom [px a unit] from which its label shows.
_SHOWN: dict[str, tuple[int, float]] = {
    "air_handler": (0, 0.0),
    "chiller": (1, 0.0),
    "circulation_pump": (2, 0.3),
    "sea_water_pump": (2, 0.3),
    "buffer_tank": (3, 0.45),
    "expansion_vessel": (3, 0.45),
    "pressure_gauge": (3, 0.6),
    "flow_meter": (3, 0.6),
    "temperature_gauge": (4, 0.7),
    "through_hull": (4, 0.5),
    "overboard": (4, 0.5),
    "regulating_valve": (4, 0.6),
    "two_way_valve": (4, 0.6),
    "three_way_valve": (4, 0.6),
    "differential_bypass": (4, 0.6),
    "constant_flow_valve": (4, 0.6),
    "manifold": (5, 0.7),
    "air_separator": (5, 0.7),
    "strainer": (5, 0.8),
    "isolating_valve": (6, 1.0),
    "check_valve": (6, 1.0),
    "fill_point": (7, 1.1),
    "flexible_hose": (8, 1.3),
    "air_vent": (8, 1.2),
    "drain": (8, 1.2),
    "tee": (9, 1.9),
}
_RUN_UNDER_OVERLAY = (7, 0.6)
_RUN = (10, 1.3)
#: What is in a state worth a word shows from here on.
_STATE_FROM = 0.6


class Label(NamedTuple):
    """One line: shape of a severity, tag, value; ``of_heat`` where the value has temperatures in it."""

    tag: str
    value: str = ""
    severity: str = ""
    bold: bool = False
    of_heat: bool = False

    @property
    def width(self) -> float:
        """Width of the label with its plate, in steps [px]."""
        width = SPACE + _advance(self.tag, bold=False)
        if self.severity:
            width += _SHAPE + HALF_SPACE
        if self.value:
            width += SPACE + _advance(self.value, bold=self.bold)
        return -(-width // _WIDTH_STEP) * _WIDTH_STEP

    @property
    def tag_ends(self) -> float:
        """How far from the left edge its tag ends and its value begins [px]."""
        shape = _SHAPE + HALF_SPACE if self.severity else 0.0
        return HALF_SPACE + shape + _advance(self.tag, bold=False) + HALF_SPACE


def component_shows(component: Component, word: str) -> tuple[int, float]:
    """Return the importance of a component's label and the zoom from which it shows.

    A state worth a ``word`` shows from farther off.
    """
    rank, least = _SHOWN[kind_name(component)]
    return rank, min(least, _STATE_FROM) if word else least


def run_shows(overlay: Overlay | None) -> tuple[int, float]:
    """Return the importance of runs' labels and the zoom from which they show."""
    # The share of design flow stands at the air handler.
    return _RUN if overlay is None or overlay.name == "share" else _RUN_UNDER_OVERLAY


def component_label(
    component: Component,
    word: str,
    results: Results | None,
    system: System,
    limits: Limits,
    severity: str = "",
    *,
    with_heat: bool = False,
) -> Label:
    """Return the label of a component.

    Parameters
    ----------
    component : Component
    word : str
        Its state in words.
    results : Results or None
    system : {"si", "us"}
    limits : solver.vessel.vessel.Limits
        Judge an air handler's share of design flow.
    severity : str
        Of the worst finding about it.
    with_heat : bool
        Write what air handlers cool, the rise of their water, and how warm the water leaves chillers.
    """
    if isinstance(component, AirHandler):
        value, own = _share(component.tag, results, system, limits)
        heat = _cooling(component.tag, results, system) if with_heat else ""
        value = f"{value}  {heat}" if value and heat else value
        return Label(component.tag, value, severity or own, bold=True, of_heat=bool(heat))
    if isinstance(component, Chiller):
        value, own = _plant(component, results, system, with_heat=with_heat)
        value = " ".join(part for part in (word, value) if part)
        return Label(component.tag, value, severity or own, bold=True, of_heat=with_heat or bool(own))
    found = "" if results is None else _measured(component, results, system)
    value = " ".join(part for part in (word, found) if part)
    return Label(component.tag, value, severity, of_heat=kind_name(component) == "temperature_gauge")


def run_label(run: Run, overlay: Overlay | None, severity: str = "") -> Label:
    """Return the label of a run: its value under an overlay, else its size."""
    value = overlay.text(run.tag) if overlay is not None and overlay.name != "share" else ""
    of_heat = bool(value) and overlay is not None and overlay.of_heat
    return Label(run.tag, value or run.size, severity, of_heat=of_heat)


def run_in_full(run: Run, results: Results | None, system: System, severity: str = "") -> Label:
    """Return the label of a run that is pointed at: size, flow, velocity."""
    parts = [run.size]
    link = None if results is None else results.links.get(run.tag)
    if link is not None:
        parts.append(show(abs(link.flow_L_s), "flow", system))
        if link.velocity_m_s is not None:
            parts.append(show(abs(link.velocity_m_s), "velocity", system))
    return Label(run.tag, "  ".join(parts), severity)


def _share(tag: str, results: Results | None, system: System, limits: Limits) -> tuple[str, str]:
    """Return an air handler's share of design flow, and the severity if it is outside its limits."""
    figures = None if results is None else results.air_handlers.get(tag)
    if figures is None:
        return "", ""
    text = _percent(round(figures.share_of_design, 3), system)
    percent = 100 * figures.share_of_design
    outside = not limits.share_min_percent <= percent <= limits.share_max_percent
    return text, "warn" if outside else ""


def _cooling(tag: str, results: Results | None, system: System) -> str:
    """Return what an air handler cools or heats and the change of its water, such as ``2.2 kW  ΔT 8.0 K``."""
    coil = None if results is None or results.heat is None else results.heat.coils.get(tag)
    if coil is None:
        return ""
    change = show(abs(coil.water_out_C - coil.water_in_C), "temperature_difference", system)
    return f"{show(abs(coil.total_W) / 1000, 'capacity', system)}  ΔT {change}"


@lru_cache(maxsize=4096)
def _percent(share: float, system: System) -> str:
    # Thousands of air handlers have few different shares.
    return show(share, "fraction", system)


def _plant(
    component: Chiller, results: Results | None, system: System, *, with_heat: bool
) -> tuple[str, str]:
    """Return a chiller's flow and leaving water, or that it has tripped, and the severity of that."""
    tag = component.tag
    link = None if results is None else results.links.get(tag)
    if results is None or link is None or not component.running:
        return "", ""
    flow = show(abs(link.flow_L_s), "flow", system)
    chiller = None if results.heat is None else results.heat.chillers.get(tag)
    if chiller is None:
        return flow, ""
    if chiller.tripped not in ("", "off"):
        return tr("tripped"), "bad"
    return f"{flow}  {show(chiller.leaving_C, 'temperature', system)}" if with_heat else flow, ""


def _measured(component: Component, results: Results, system: System) -> str:
    """Return what a component shows of the results, empty for most kinds."""
    kind, tag = kind_name(component), component.tag
    if isinstance(component, Pump):
        pump = results.pumps.get(tag)
        if pump is None or not component.running:
            return ""
        return f"{show(pump.flow_L_s, 'flow', system)}  {show(pump.rise_kPa, 'pressure', system)}"
    if kind in ("pressure_gauge", "expansion_vessel"):
        pressure = results.port_kPa.get((tag, component.ports[0]))
        return "" if pressure is None else show(pressure, "pressure", system)
    if kind == "temperature_gauge" and results.heat is not None:
        water = results.heat.port_C.get((tag, component.ports[0]))
        return "" if water is None else show(water, "temperature", system)
    if kind == "flow_meter":
        flow = _flow_at(results.vessel, results, component)
        return "" if flow is None else show(flow, "flow", system)
    return ""


def _flow_at(vessel: Vessel, results: Results, component: Component) -> float | None:
    """Return the flow through the run at a component's first joined port [L/s]."""
    for port in component.ports:
        for run in vessel.runs_at.get((component.tag, port), ()):
            if run.tag in results.links:
                return abs(results.links[run.tag].flow_L_s)
    return None


class LabelPainter:
    """Paints labels in one theme.

    Parameters
    ----------
    theme : Theme
    behind, heat_behind : bool
        The figures, or those of temperatures, belong to an earlier drawing: they are dimmed.
    as_text : bool
        Write text as such, for paper; on screen prepared glyphs are quicker.
    opaque : bool
        Plates hide what lies below, for a label that may come to lie on others.
    """

    def __init__(
        self,
        theme: Theme,
        *,
        behind: bool = False,
        heat_behind: bool = False,
        as_text: bool = False,
        opaque: bool = False,
    ) -> None:
        self._theme, self._as_text = theme, as_text
        self._plate = QColor(theme.paper)
        self._plate.setAlphaF(1.0 if opaque else _PLATE_OPACITY)
        self._soft = QColor(theme.soft)
        self._ink = QColor(theme.ink)
        self._behind, self._heat_behind = behind, behind or heat_behind

    def plates(self, painter: QPainter, boxes: list[QRectF]) -> None:
        """Paint the plates behind labels."""
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self._plate)
        for box in boxes:
            painter.drawRoundedRect(box, RADIUS, RADIUS)

    def leaders(self, painter: QPainter, lines: list[tuple[float, float, float, float]]) -> None:
        """Paint the lines from moved labels to their parts, with a dot at the part."""
        painter.setPen(QPen(self._soft, 1.0))
        for x1, y1, x2, y2 in lines:
            painter.drawLine(QPointF(x1, y1), QPointF(x2, y2))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self._soft)
        for _, _, x, y in lines:
            painter.drawEllipse(QPointF(x, y), 2.0, 2.0)

    def text(self, painter: QPainter, label: Label, left: float, top: float) -> None:
        """Paint a label's shape, tag and value, its plate's corner at ``left, top``."""
        x = left + HALF_SPACE
        if label.severity:
            paint_severity(painter, self._theme, label.severity, x, top + (HEIGHT - _SHAPE) / 2, _SHAPE)
            x += _SHAPE + HALF_SPACE
        painter.setPen(self._soft)
        self._write(painter, label.tag, x, top, bold=False)
        if label.value:
            behind = self._heat_behind if label.of_heat else self._behind
            painter.setPen(self._soft if behind else self._ink)
            bold = label.bold and not behind
            self._write(painter, label.value, x + _advance(label.tag, bold=False) + SPACE, top, bold=bold)

    def _write(self, painter: QPainter, text: str, x: float, top: float, *, bold: bool) -> None:
        font, metrics = _font(bold)
        painter.setFont(font)
        if self._as_text:
            baseline = top + (HEIGHT + metrics.ascent() - metrics.descent()) / 2
            painter.drawText(QPointF(x, baseline), text)
        else:
            painter.drawStaticText(
                QPointF(x, top + (HEIGHT - metrics.height()) / 2), _prepared(text, bold=bold)
            )


def paint_severity(painter: QPainter, theme: Theme, severity: str, x: float, y: float, side: float) -> None:
    """Paint the shape of a severity: octagon (bad), triangle (warn) or ring (note)."""
    colour = QColor(theme.of_severity(severity))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    if severity == "bad":
        cut = side * 0.29
        near, far = cut, side - cut
        corners = (
            (near, 0),
            (far, 0),
            (side, near),
            (side, far),
            (far, side),
            (near, side),
            (0, far),
            (0, near),
        )
        painter.drawPolygon(QPolygonF([QPointF(x + dx, y + dy) for dx, dy in corners]))
    elif severity == "warn":
        painter.drawPolygon(
            QPolygonF([QPointF(x + side / 2, y), QPointF(x + side, y + side), QPointF(x, y + side)])
        )
    else:
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(colour, 1.5))
        painter.drawEllipse(QRectF(x + 1, y + 1, side - 2, side - 2))
        return
    # The mark inside is paper-coloured, so that the shape reads without its colour.
    painter.setBrush(QColor(theme.paper))
    middle, top = x + side / 2, y + side * (0.36 if severity == "warn" else 0.2)
    painter.drawRect(QRectF(middle - side * 0.07, top, side * 0.14, side * 0.32))
    painter.drawRect(QRectF(middle - side * 0.07, top + side * 0.4, side * 0.14, side * 0.14))


#: Size of the text of labels [px].
TEXT_PX = 12


@lru_cache(maxsize=2)
def _font(bold: bool) -> tuple[QFont, QFontMetricsF]:
    font = ui_font(TEXT_PX, bold=bold)
    return font, QFontMetricsF(font)


@lru_cache(maxsize=65536)
def _advance(text: str, *, bold: bool) -> float:
    return float(_font(bold)[1].horizontalAdvance(text))


@lru_cache(maxsize=16384)
def _prepared(text: str, *, bold: bool) -> QStaticText:
    prepared = QStaticText(text)
    prepared.setTextFormat(Qt.TextFormat.PlainText)
    prepared.setPerformanceHint(QStaticText.PerformanceHint.AggressiveCaching)
    prepared.prepare(font=_font(bold)[0])
    return prepared
