# SPDX-License-Identifier: MIT
"""The drawing on paper and as a picture: of the vessel as it is, with figures only if they are its own."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import QMarginsF, QObject, Signal
from PySide6.QtGui import QPageLayout
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QFileDialog, QWidget

from app.editing.document import Document
from app.panels.shown import Shown
from app.paper.drawing_sheet import KINDS, draw, print_drawing
from app.settings import Settings
from app.solving.live_solver import is_current
from app.solving.results import ResultsStore
from app.translation import tr
from solver.errors import FarcabinError
from solver.results import Results

#: Size of a picture [px].
_SIZE = (2400, 1500)
_MARGIN_MM = 12.0


class _Sheet(NamedTuple):
    """What goes on paper: figures, or the reason why there are none."""

    results: Results | None
    reason: str


class Output(QObject):
    """Prints and exports the document.

    Attributes
    ----------
    done : Signal(str)
        What was written.
    failed : Signal(str)
        What could not be, and why.
    """

    done = Signal(str)
    failed = Signal(str)

    def __init__(
        self, document: Document, store: ResultsStore, shown: Shown, settings: Settings, window: QWidget
    ) -> None:
        super().__init__(window)
        self._document, self._store, self._shown, self._settings = document, store, shown, settings
        self._window = window

    def export(self) -> None:
        """Ask for a file and write the drawing into it."""
        path = self.ask_path()
        if not path:
            return
        if Path(path).suffix.lower() not in KINDS:
            path += ".png"
        sheet = self._sheet()
        try:
            problems = draw(
                self._document.vessel,
                sheet.results,
                path,
                size=_SIZE,
                overlay=self._settings.text("overlay"),
                units=self._shown.units,
                reason=sheet.reason,
                vessel_path=self._document.path,
            )
        except FarcabinError as error:
            self.failed.emit(str(error))
            return
        self._tell_left_out(problems)
        self.done.emit(tr("Wrote {0}").format(path))

    def print_drawing(self) -> None:
        """Ask for a printer and print the drawing, on as many sheets as it takes."""
        printer = self.ask_printer()
        if printer is None:
            return
        sheet = self._sheet()
        try:
            problems = print_drawing(
                printer,
                self._document.vessel,
                sheet.results,
                overlay=self._settings.text("overlay"),
                units=self._shown.units,
                reason=sheet.reason,
                vessel_path=self._document.path,
            )
        except FarcabinError as error:
            self.failed.emit(str(error))
            return
        self._tell_left_out(problems)
        self.done.emit(tr("Sent to {0}").format(printer.printerName() or printer.outputFileName()))

    def ask_path(self) -> str:
        """Ask for a file for the drawing; empty if none is chosen."""
        document = self._document
        folder = document.path.parent if document.path else Path.home()
        name = document.path.stem if document.path else document.vessel.name
        kinds = ";;".join(
            (
                tr("Picture") + " (*.png)",
                tr("Drawing to scale up") + " (*.svg)",
                tr("Sheets for paper") + " (*.pdf)",
            )
        )
        asked = tr("Export the drawing")
        return QFileDialog.getSaveFileName(self._window, asked, str(folder / f"{name}.png"), kinds)[0]

    def ask_printer(self) -> QPrinter | None:
        """Ask for a printer; None if the user thinks better of it."""
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        printer.setPageOrientation(QPageLayout.Orientation.Landscape)
        margins = QMarginsF(_MARGIN_MM, _MARGIN_MM, _MARGIN_MM, _MARGIN_MM)
        printer.setPageMargins(margins, QPageLayout.Unit.Millimeter)
        printer.setDocName(self._document.vessel.name)
        dialog = QPrintDialog(printer, self._window)
        chosen = dialog.exec() == QPrintDialog.DialogCode.Accepted
        dialog.deleteLater()
        return printer if chosen else None

    def _tell_left_out(self, problems: tuple[str, ...]) -> None:
        for problem in problems:
            self.failed.emit(tr("The sheet has no deck plan: {0}").format(problem))

    def _sheet(self) -> _Sheet:
        """Return the figures if they are those of the vessel as it is, else why they are not there."""
        store = self._store
        if store.results is not None and is_current(store.results, self._document.vessel):
            return _Sheet(store.results, "")
        return _Sheet(None, store.reason or tr("not solved yet"))
