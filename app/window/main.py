# SPDX-License-Identifier: MIT
"""Start of the window."""

from __future__ import annotations

import signal
import sys
import traceback
from types import TracebackType

from PySide6.QtCore import QEvent, QLibraryInfo, QLocale, QObject, QTranslator
from PySide6.QtGui import QFileOpenEvent
from PySide6.QtWidgets import QApplication

from app.editing.document import Document
from app.editing.recovery import found_work, journal_folder
from app.translation import tr
from app.window.main_window import MainWindow


class _FilesFromSystem(QObject):
    """Opens a file that the system hands to the running program (macOS)."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QFileOpenEvent) and event.file():
            self._window.files.open_path(event.file())
            return True
        return super().eventFilter(watched, event)


def make_application() -> QApplication:
    """Return the application with its names and the system's language for Qt's own texts."""
    application = QApplication.instance()
    if not isinstance(application, QApplication):
        application = QApplication(sys.argv[:1])
    application.setApplicationName("Farcabin")
    application.setOrganizationName("Farcabin")
    application.setApplicationDisplayName("Farcabin")
    translator = QTranslator(application)
    folder = QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath)
    if translator.load(QLocale.system(), "qtbase", "_", folder):
        application.installTranslator(translator)
    return application


def run(path: str | None) -> int:
    """Open the window, with a vessel file if one is named, and return the exit status.

    Parameters
    ----------
    path : str or None
        A vessel file.
    """
    application = make_application()
    # Ctrl+C in the terminal ends the program at once; the journal keeps what is not saved.
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    window = MainWindow(Document())
    application.aboutToQuit.connect(window.worker.stop)
    application.aboutToQuit.connect(window.job.stop)
    files = _FilesFromSystem(window)
    application.installEventFilter(files)
    _keep_work_when_something_fails(window)
    if path is not None:
        window.files.open_path(path)
    window.show()
    for work in found_work(journal_folder()):
        window.offer_work(work)
    return application.exec()


def _keep_work_when_something_fails(window: MainWindow) -> None:
    """Write unsaved work down and say so, where the program itself goes wrong."""

    def failed(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        traceback.print_exception(kind, error, trace)
        window.journal.write()
        text = tr(
            "Something went wrong inside the program ({0}: {1}). Your work is kept; save it and report this."
        )
        window.notices.tell(text.format(kind.__name__, error), "bad")

    sys.excepthook = failed
