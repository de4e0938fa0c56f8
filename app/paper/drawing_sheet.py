# SPDX-License-Identifier: MIT
"""Draws a vessel as a sheet: png and svg in one piece, pdf on A4 or A3 with as many pages as it takes.

Each sheet carries title block, legend, units, condition, date, and whether the vessel is solved.
"""

from __future__ import annotations

import datetime
import math
import os
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Literal, NamedTuple

from PySide6.QtCore import QBuffer, QByteArray, QMarginsF, QPointF, QRectF, QSize, QSizeF, Qt
from PySide6.QtGui import (
    QColor,
    QGuiApplication,
    QImage,
    QImageWriter,
    QPagedPaintDevice,
    QPageLayout,
    QPageSize,
    QPainter,
    QPdfWriter,
    QPen,
)
from PySide6.QtSvg import QSvgGenerator

from app.canvas.fitting import LABEL_MARGIN, best_fit
from app.canvas.layer import from_rect
from app.canvas.picture import Picture
from app.canvas.tiles import touches
from app.canvas.title_block import TitleBlock, title_of
from app.overlay.legend import Legend
from app.paper.plans import Plans, plans_of
from app.theme import SPACE, theme
from app.units import System
from solver.errors import FarcabinError
from solver.results import Results
from solver.vessel.footprint import Rect
from solver.vessel.vessel import Vessel

KINDS = (".png", ".svg", ".pdf")
#: Sheet sizes that a pdf takes, smallest first, and their edges after the margins [mm].
_MARGIN_MM = 12.0
_SHEETS = {"A4": (QPageSize.PageSizeId.A4, 297.0, 210.0), "A3": (QPageSize.PageSizeId.A3, 420.0, 297.0)}
#: Pixels of the layout in an inch, as type sizes of the program are meant.
_PX_INCH = 96.0
_RESOLUTION = 1200
#: The least zoom that reads well on one sheet; below it sheets with parts follow, at the other [px a unit].
_LEAST_SCALE, _PART_SCALE = 0.35, 0.5
#: Largest zoom of a small drawing, and the overlap of neighbouring parts.
_LARGEST_SCALE = 1.6
_OVERLAP = 0.08
#: Width of the frame, and distance of what is inside it [px].
_FRAME, _INSIDE = 1.5, 1.5 * SPACE

_kept_application: QGuiApplication | None = None


class _Page(NamedTuple):
    """One sheet: the point of the drawing in the middle, the zoom, and how far down the drawing reaches."""

    middle: QPointF
    scale: float
    foot: float


def draw(
    vessel: Vessel,
    results: Results | None,
    path: str | os.PathLike[str],
    *,
    size: tuple[int, int] = (1600, 1000),
    dark: bool = False,
    overlay: str | None = "share",
    units: System | None = None,
    sheet: Literal["A4", "A3"] | None = None,
    reason: str = "",
    date: str | None = None,
    vessel_path: Path | None = None,
) -> tuple[str, ...]:
    """Write a drawing of a vessel with its deck plans.

    Parameters
    ----------
    vessel : Vessel
    results : Results or None
        What a solve found; None draws without figures.
    path : path-like
        Its ending chooses the kind: .png, .svg or .pdf.
    size : (int, int)
        Width and height of a png or svg [px].
    dark : bool
        Dark paper; a pdf is always light.
    overlay : str or None
        Quantity that colours the runs, as ``app.overlay.quantities.NAMES``; None for none.
    units : {"si", "us"}, optional
        The vessel's own without.
    sheet : {"A4", "A3"}, optional
        Paper of a pdf; the smallest on which the drawing reads well without.
    reason : str
        Why the vessel was not solved, for the title block.
    date : str, optional
        Today's without.
    vessel_path : Path, optional
        The vessel's file; deck plans are named from there.

    Returns
    -------
    tuple of str
        What is wrong with deck plans that are left out.

    Raises
    ------
    FarcabinError
        The ending is none of these, the overlay unknown, or the file cannot be written.
    """
    path = Path(path)
    kind = path.suffix.lower()
    if kind not in KINDS:
        ending = f"ending in {kind}" if kind else "without an ending"
        raise FarcabinError(f"{path}: cannot draw into a file {ending}; accepted: {', '.join(KINDS)}")
    _ensure_application()
    look = "print" if kind == ".pdf" else "dark" if dark else "light"
    picture = _picture(vessel, results, look, overlay, units, in_full=kind != ".png")
    plans = plans_of(vessel, vessel_path, dark=picture.theme.dark)
    sheets = _Sheets(picture, reason, date or datetime.date.today().isoformat(), plans)
    if kind == ".pdf":
        content = _pdf(sheets, sheet)
    else:
        content = (_png if kind == ".png" else _svg)(sheets, QSize(*size))
    try:
        path.write_bytes(content)
    except OSError as problem:
        raise FarcabinError(f"{path}: the drawing cannot be written: {problem.strerror or problem}") from None
    return plans.problems


def print_drawing(
    device: QPagedPaintDevice,
    vessel: Vessel,
    results: Results | None,
    *,
    overlay: str | None = "share",
    units: System | None = None,
    reason: str = "",
    date: str | None = None,
    vessel_path: Path | None = None,
) -> tuple[str, ...]:
    """Print a drawing of a vessel, on as many sheets as it takes to read well.

    Parameters
    ----------
    device : QPagedPaintDevice
        A printer, with its page and margins chosen.
    vessel, results, overlay, units, reason, date, vessel_path
        As for :func:`draw`.

    Returns
    -------
    tuple of str
        As for :func:`draw`.

    Raises
    ------
    FarcabinError
        The overlay is unknown, or the printer takes no page.
    """
    picture = _picture(vessel, results, "print", overlay, units, in_full=True)
    plans = plans_of(vessel, vessel_path, dark=picture.theme.dark)
    sheets = _Sheets(picture, reason, date or datetime.date.today().isoformat(), plans)
    inner = device.pageLayout().paintRect(QPageLayout.Unit.Point)
    size = QSizeF(inner.width(), inner.height()) * (_PX_INCH / 72.0)
    if not _paint_pages(device, sheets, size, _pages_of(sheets, size)):
        raise FarcabinError("the drawing cannot be printed: the printer takes no page")
    return plans.problems


def _picture(
    vessel: Vessel,
    results: Results | None,
    look: str,
    overlay: str | None,
    units: System | None,
    *,
    in_full: bool,
) -> Picture:
    picture = Picture()
    picture.set_theme(theme(look))
    picture.in_full = in_full
    picture.set_units(units or vessel.units)
    picture.show_vessel(vessel)
    picture.show_results(results)
    picture.set_overlay(overlay or "none")
    if results is not None:
        picture.mark(worst_by_tag(results))
    return picture


def worst_by_tag(results: Results) -> dict[str, str]:
    """Return tag -> severity of the worst finding about it."""
    order = ("bad", "warn", "note")
    found: dict[str, str] = {}
    for finding in sorted(results.findings, key=lambda one: order.index(one.severity), reverse=True):
        found.update(dict.fromkeys(finding.tags, finding.severity))
    return found


class _Sheets:
    """Lays a picture out on sheets and paints them."""

    def __init__(self, picture: Picture, reason: str, date: str, plans: Plans) -> None:
        self._picture, self._reason, self._date, self._plans = picture, reason, date, plans
        self._legend = Legend(picture.overlay, picture.theme)
        self.name = picture.vessel.name

    def fitted(self, size: QSizeF) -> _Page:
        """Return the sheet that shows the whole drawing."""
        bounds = from_rect(self._picture.bounds()).united(self._plans.extent())
        fitted = best_fit(bounds, size, self._taken(size), LABEL_MARGIN, _LARGEST_SCALE)
        return _Page(*fitted, size.height())

    def parts(self, size: QSizeF) -> Iterator[_Page]:
        """Return the sheets that show the drawing part by part, without empty ones."""
        picture = self._picture
        bounds = picture.bounds()
        free = min(note.top() for note in self._taken(size)) - SPACE
        step_x = size.width() / _PART_SCALE * (1 - _OVERLAP)
        step_y = free / _PART_SCALE * (1 - _OVERLAP)
        columns = max(1, math.ceil((bounds.right - bounds.left) / step_x))
        rows = max(1, math.ceil((bounds.bottom - bounds.top) / step_y))
        left = (bounds.left + bounds.right) / 2 - step_x * (columns - 1) / 2
        top = (bounds.top + bounds.bottom) / 2 - step_y * (rows - 1) / 2
        for row in range(rows):
            for column in range(columns):
                x, y = left + column * step_x, top + row * step_y
                area = Rect(x - step_x / 2, y - step_y / 2, x + step_x / 2, y + step_y / 2)
                if any(touches(item.body, area) for item in picture.components.in_rect(area)):
                    # The notes at the foot of the sheet push the middle of the drawing up.
                    middle = QPointF(x, y + (size.height() - free) / 2 / _PART_SCALE)
                    yield _Page(middle, _PART_SCALE, free)

    def paint(self, painter: QPainter, size: QSizeF, page: _Page, label: str, *, paper: bool) -> None:
        """Paint one sheet; ``paper`` colours the sheet itself."""
        picture = self._picture
        painter.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.TextAntialiasing)
        window = QRectF(QPointF(0, 0), size)
        if paper:
            painter.fillRect(window, QColor(picture.theme.paper))
        middle, scale, foot = page
        half_x, half_y = size.width() / 2 / scale, size.height() / 2 / scale
        area = Rect(middle.x() - half_x, middle.y() - half_y, middle.x() + half_x, middle.y() + half_y)
        painter.save()
        painter.setClipRect(QRectF(0, 0, size.width(), foot))
        painter.translate(size.width() / 2 - middle.x() * scale, size.height() / 2 - middle.y() * scale)
        painter.scale(scale, scale)
        picture.lay_out_labels(scale, area)
        picture.paint_cabins(painter, area, scale)
        self._plans.paint(painter)
        picture.paint_runs(painter, area, scale)
        picture.paint_components(painter, area, scale)
        picture.paint_labels(painter, area, as_text=True)
        painter.restore()
        inner = window.adjusted(_FRAME / 2, _FRAME / 2, -_FRAME / 2, -_FRAME / 2)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor(picture.theme.ink), _FRAME))
        painter.drawRect(inner)
        title, legend = self._taken(size, label)
        self._block(label).paint(painter, title.left(), title.top())
        self._legend.paint(painter, legend.left(), legend.top())

    def _block(self, label: str) -> TitleBlock:
        picture = self._picture
        title = title_of(
            picture.vessel,
            picture.results,
            picture.system,
            reason=self._reason,
            date=self._date,
            page=label,
        )
        return TitleBlock(title, picture.theme)

    def _taken(self, size: QSizeF, label: str = "") -> tuple[QRectF, QRectF]:
        """Return the areas of title block and legend."""
        block, legend = self._block(label).size(), self._legend.size()
        foot = size.height() - _INSIDE
        title = QRectF(QPointF(size.width() - _INSIDE - block.width(), foot - block.height()), block)
        bottom = foot if 3 * _INSIDE + block.width() + legend.width() <= size.width() else title.top() - SPACE
        return title, QRectF(QPointF(_INSIDE, bottom - legend.height()), legend)


def _png(sheets: _Sheets, size: QSize) -> bytes:
    image = QImage(size, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    sheets.paint(painter, QSizeF(size), sheets.fitted(QSizeF(size)), "", paper=True)
    painter.end()
    return _written(lambda buffer: QImageWriter(buffer, QByteArray(b"png")).write(image))


def _svg(sheets: _Sheets, size: QSize) -> bytes:
    def write(buffer: QBuffer) -> bool:
        generator = QSvgGenerator()
        generator.setOutputDevice(buffer)
        generator.setSize(size)
        generator.setViewBox(QRectF(QPointF(0, 0), QSizeF(size)))
        generator.setResolution(round(_PX_INCH))
        painter = QPainter(generator)
        sheets.paint(painter, QSizeF(size), sheets.fitted(QSizeF(size)), "", paper=True)
        return painter.end()

    return _written(write)


def _pdf(sheets: _Sheets, sheet: Literal["A4", "A3"] | None) -> bytes:
    name, size, pages = _pages(sheets, sheet)

    def write(buffer: QBuffer) -> bool:
        writer = QPdfWriter(buffer)
        writer.setCreator("Farcabin")
        writer.setTitle(sheets.name)
        writer.setResolution(_RESOLUTION)
        margins = QMarginsF(_MARGIN_MM, _MARGIN_MM, _MARGIN_MM, _MARGIN_MM)
        writer.setPageLayout(
            QPageLayout(
                QPageSize(_SHEETS[name][0]),
                QPageLayout.Orientation.Landscape,
                margins,
                QPageLayout.Unit.Millimeter,
            )
        )
        return _paint_pages(writer, sheets, size, pages)

    return _written(write)


def _paint_pages(device: QPagedPaintDevice, sheets: _Sheets, size: QSizeF, pages: list[_Page]) -> bool:
    painter = QPainter()
    if not painter.begin(device):
        return False
    painter.scale(device.logicalDpiX() / _PX_INCH, device.logicalDpiY() / _PX_INCH)
    for number, page in enumerate(pages, 1):
        if number > 1:
            device.newPage()
        # White paper needs no ink.
        sheets.paint(painter, size, page, f"page {number} of {len(pages)}", paper=False)
    return painter.end()


def _pages(sheets: _Sheets, sheet: Literal["A4", "A3"] | None) -> tuple[str, QSizeF, list[_Page]]:
    """Choose the paper and return its name, its size within the margins [px], and the sheets."""
    for name in (sheet,) if sheet else _SHEETS:
        _, width, height = _SHEETS[name]
        size = QSizeF(*((edge - 2 * _MARGIN_MM) / 25.4 * _PX_INCH for edge in (width, height)))
        pages = _pages_of(sheets, size)
        if len(pages) == 1:
            break
    return name, size, pages


def _pages_of(sheets: _Sheets, size: QSizeF) -> list[_Page]:
    """Return the whole drawing on one sheet and, where it does not read well so, its parts on others."""
    whole = sheets.fitted(size)
    return [whole] if whole.scale >= _LEAST_SCALE else [whole, *sheets.parts(size)]


def _written(write: Callable[[QBuffer], bool]) -> bytes:
    """Return what ``write`` puts into a buffer."""
    content = QByteArray()
    buffer = QBuffer(content)
    buffer.open(QBuffer.OpenModeFlag.WriteOnly)
    if not write(buffer):
        raise FarcabinError("the drawing cannot be made; is there enough memory for a picture of this size?")
    buffer.close()
    return bytes(content.data())


def _ensure_application() -> None:
    """Make sure that Qt can paint, without a screen if none is wanted."""
    global _kept_application
    if QGuiApplication.instance() is None:
        if sys.platform.startswith("linux"):
            os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
        _kept_application = QGuiApplication(["farcabin"])
