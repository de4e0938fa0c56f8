# SPDX-License-Identifier: MIT
"""Where each kW goes, live: the picture, the sums under it, to copy as picture or as table."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QAction,
    QColor,
    QContextMenuEvent,
    QGuiApplication,
    QKeySequence,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPixmap,
)
from PySide6.QtWidgets import QLabel, QMenu, QVBoxLayout, QWidget

from app.panels.focus_ring import paint_focus_ring
from app.panels.heat_balance import HeatPicture, heat_picture
from app.panels.heat_figures import is_heating, kilowatts
from app.panels.heat_flow_drawing import draw_heat
from app.panels.shown import Shown
from app.solving.results import ResultsStore
from app.theme import SPACE, Theme, theme, ui_font
from app.translation import tr
from app.units import System, unit

#: Size and sharpness of the picture that is copied [px].
_COPIED, _SHARPNESS = QSize(900, 360), 2.0
_SUMS_PX = 60


class HeatDrawing(QWidget):
    """Paints the picture.

    Attributes
    ----------
    part_chosen : Signal(str)
        A chiller's plate was clicked.
    rects : dict
        Where the plates are, by their keys.
    """

    part_chosen = Signal(str)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._units: System = "si"
        self.picture: HeatPicture | None = None
        self._behind, self._empty = False, ""
        self.rects: dict[str, QRectF] = {}
        self.setMinimumHeight(120)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(tr("Where the heat goes"))

    def set_theme(self, theme: Theme) -> None:
        """Paint in another theme."""
        self._theme = theme
        self.update()

    def show_picture(
        self, picture: HeatPicture | None, units: System, *, behind: bool = False, empty: str = ""
    ) -> None:
        """Show a balance, dimmed if it is of an earlier vessel; ``empty`` says why there is none."""
        self.picture, self._units, self._behind, self._empty = picture, units, behind, empty
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        area = QRectF(self.rect())
        painter.fillRect(area, QColor(self._theme.paper))
        if self.picture is None:
            painter.setFont(ui_font())
            painter.setPen(QColor(self._theme.soft))
            painter.drawText(
                area.adjusted(16, 16, -16, -16),
                Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap,
                self._empty,
            )
        else:
            inner = area.adjusted(2 * SPACE, SPACE, -2 * SPACE, -SPACE)
            self.rects = draw_heat(
                painter, self.picture, inner, self._theme, self._units, behind=self._behind
            ).rects
        paint_focus_ring(painter, self, self._theme)
        painter.end()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if self.picture is not None and event.button() == Qt.MouseButton.LeftButton:
            for box in self.picture.boxes:
                if box.tag and self.rects.get(box.key, QRectF()).contains(event.position()):
                    self.part_chosen.emit(box.tag)
        super().mouseReleaseEvent(event)


class HeatFlow(QWidget):
    """The picture with its sums, in step with the results."""

    def __init__(self, store: ResultsStore, shown: Shown, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._store, self._shown = store, shown
        self.drawing = HeatDrawing(shown.theme, self)
        self.sums = QLabel(self)
        self.sums.setProperty("role", "soft")
        self.sums.setWordWrap(True)
        self.sums.setMargin(SPACE)
        self.sums.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByMouse | Qt.TextInteractionFlag.TextSelectableByKeyboard
        )
        self.copy_picture = QAction(tr("Copy as &picture"), self)
        self.copy_picture.triggered.connect(lambda: QGuiApplication.clipboard().setPixmap(self.pixmap()))
        self.copy_table = QAction(tr("Copy as &table"), self)
        self.copy_table.setShortcut(QKeySequence.StandardKey.Copy)
        self.copy_table.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        self.copy_table.triggered.connect(lambda: QGuiApplication.clipboard().setText(self.table()))
        self.addActions([self.copy_picture, self.copy_table])
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.drawing, 1)
        layout.addWidget(self.sums)
        self.drawing.part_chosen.connect(lambda tag: shown.select((tag,), zoom=True))
        store.results_changed.connect(self._refresh)
        shown.units_changed.connect(self._refresh)
        shown.theme_changed.connect(self.drawing.set_theme)
        self._refresh()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        menu = QMenu(self)
        menu.addActions([self.copy_picture, self.copy_table])
        menu.exec(event.globalPos())

    def pixmap(self) -> QPixmap:
        """Return picture and sums on light paper."""
        light = theme("light")
        made = QPixmap(_COPIED * _SHARPNESS)
        made.setDevicePixelRatio(_SHARPNESS)
        made.fill(QColor(light.paper))
        picture = self.drawing.picture
        if picture is not None:
            painter = QPainter(made)
            area = QRectF(0, 0, _COPIED.width(), _COPIED.height()).adjusted(16, 16, -16, -16)
            units = self._shown.units
            draw_heat(painter, picture, area.adjusted(0, 0, 0, -_SUMS_PX), light, units, behind=False)
            painter.setFont(ui_font())
            painter.setPen(QColor(light.ink))
            painter.drawText(
                area.adjusted(0, area.height() - _SUMS_PX + 2 * SPACE, 0, 0),
                Qt.TextFlag.TextWordWrap,
                self.sums.text(),
            )
            painter.end()
        return made

    def table(self) -> str:
        """Return the streams and sums as tab-separated text."""
        picture, units = self.drawing.picture, self._shown.units
        if picture is None:
            return ""
        names = {box.key: box.name for box in picture.boxes}
        lines = [f"{tr('From')}\t{tr('To')}\t{tr('Heat')}, {unit('capacity', units)}"]
        for stream in picture.streams:
            figure = kilowatts(stream.heat_W, units).partition(" ")[0]
            lines.append(f"{names[stream.start]}\t{names[stream.end]}\t{figure}")
        return "\n".join([*lines, self.sums.text()]) + "\n"

    def _refresh(self, *_what: object) -> None:
        results, units, store = self._store.results, self._shown.units, self._store
        heat = None if results is None else results.heat
        if results is None or heat is None:
            reason = store.no_heat or store.reason or tr("nothing is solved yet")
            self.drawing.show_picture(None, units, empty=tr("No temperatures: {0}.").format(reason))
            self.sums.hide()
            return
        picture = heat_picture(heat, heating=is_heating(results.vessel))
        self.drawing.show_picture(picture, units, behind=store.heat_is_old)
        self.sums.setText(sums_in_words(picture, units))
        self.sums.show()
        self.drawing.setAccessibleDescription(self.sums.text())


def sums_in_words(picture: HeatPicture, units: System) -> str:
    """Return the sums of a balance and how far it is off."""
    into, out = kilowatts(picture.into_water_W, units), kilowatts(picture.out_of_water_W, units)
    sea, power = kilowatts(abs(picture.sea_W), units), kilowatts(picture.compressors_W, units)
    water = tr("Into the water {0}, out of it {1}.").format(into, out)
    if picture.heating:
        outside = tr("Of the chillers' heat, {0} comes out of the sea and {1} from the compressors.")
    else:
        outside = tr("Into the sea {0}, of that {1} from the compressors.")
    off = tr("The balance is off by {0}\u00a0%.").format(f"{100 * picture.error_share:.2f}")
    return f"{water} {outside.format(sea, power)} {off}"
