# SPDX-License-Identifier: MIT
"""Whether anything may move by itself: as the user chose, else as the system wishes it.

Qt passes on the system's wish for contrast but not that for less motion, so it is read where each system
keeps it.  What cannot be read counts as no wish.  All of these places are from memory.
"""

from __future__ import annotations

import ctypes
import sys
from pathlib import Path

from PySide6.QtCore import QObject, QProcess, QSettings, QStandardPaths, Qt, Signal
from PySide6.QtGui import QGuiApplication

from app.settings import Settings

#: Question of Windows' SystemParametersInfo: do windows animate their contents?
_GET_CLIENT_AREA_ANIMATION = 0x1042
#: Kinds of screen that belong to a desktop with settings of its own.
_DESKTOPS = frozenset({"xcb", "wayland"})
_OFF = frozenset({"false", "0", "0.0"})


def wishes_stillness(system: str = sys.platform, folder: Path | None = None) -> bool:
    """Return whether the system asks for less motion, as far as its files and calls tell at once.

    Parameters
    ----------
    system : str
        As ``sys.platform`` names it.
    folder : Path, optional
        Where settings are kept; the user's own if None.
    """
    kind = {"win32": None, "darwin": QStandardPaths.StandardLocation.HomeLocation}.get(
        system, QStandardPaths.StandardLocation.GenericConfigLocation
    )
    if kind is None:
        return _windows_stands_still()
    folder = folder or Path(QStandardPaths.writableLocation(kind))
    if system == "darwin":
        plist = folder / "Library/Preferences/com.apple.universalaccess.plist"
        return _read(plist, "reduceMotion", QSettings.Format.NativeFormat) in ("true", "1")
    plasma = _read(folder / "kdeglobals", "KDE/AnimationDurationFactor")
    others = [_read(folder / name / "settings.ini", _GTK) for name in ("gtk-3.0", "gtk-4.0")]
    return any(value in _OFF for value in (plasma, *others))


_GTK = "Settings/gtk-enable-animations"


def _read(path: Path, key: str, kind: QSettings.Format = QSettings.Format.IniFormat) -> str:
    """Return a value of a settings file in lower case, empty where there is none."""
    if not path.is_file():
        return ""
    return str(QSettings(str(path), kind).value(key, "")).lower()


def _windows_stands_still() -> bool:
    library = getattr(ctypes, "windll", None)
    animates = ctypes.c_int(1)
    if library is None:
        return False
    asked = library.user32.SystemParametersInfoW(_GET_CLIENT_AREA_ANIMATION, 0, ctypes.byref(animates), 0)
    return bool(asked) and not animates.value


class Motion(QObject):
    """Knows whether arrows may drift, and tells when that changes.

    Attributes
    ----------
    changed : Signal(bool)
        They may, or may no longer.
    """

    changed = Signal(bool)

    def __init__(self, settings: Settings, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._settings = settings
        self._wish = wishes_stillness()
        self._desktop_wish = False
        self._asking: QProcess | None = None
        self._told = self.allowed
        settings.changed.connect(lambda name: self._tell() if name == "motion" else None)
        application = QGuiApplication.instance()
        if isinstance(application, QGuiApplication):
            application.applicationStateChanged.connect(self._state_changed)
        self._ask_desktop()

    @property
    def allowed(self) -> bool:
        """Whether arrows may drift."""
        chosen = self._settings.text("motion")
        return chosen == "drift" or (chosen == "system" and not (self._wish or self._desktop_wish))

    def look_again(self) -> None:
        """Read the system's wish anew; it may change while the program runs."""
        self._wish = wishes_stillness()
        self._ask_desktop()
        self._tell()

    def take_answer(self, text: str) -> None:
        """Take what the desktop says of its animations: "true" or "false"."""
        self._desktop_wish = text.strip().lower() in _OFF
        self._tell()

    def _tell(self) -> None:
        if self.allowed != self._told:
            self._told = self.allowed
            self.changed.emit(self._told)

    def _state_changed(self, state: Qt.ApplicationState) -> None:
        if state == Qt.ApplicationState.ApplicationActive:
            self.look_again()

    def _ask_desktop(self) -> None:
        """Ask a desktop that keeps its settings in a database; the answer comes when it comes."""
        program = QStandardPaths.findExecutable("gsettings")
        if QGuiApplication.platformName() not in _DESKTOPS or not program or self._asking is not None:
            return
        self._asking = QProcess(self)
        self._asking.finished.connect(self._answered)
        self._asking.errorOccurred.connect(self._answered)
        self._asking.start(program, ["get", "org.gnome.desktop.interface", "enable-animations"])

    def _answered(self, *_how: object) -> None:
        asking, self._asking = self._asking, None
        if asking is not None:
            self.take_answer(bytes(asking.readAllStandardOutput().data()).decode(errors="replace"))
            asking.deleteLater()
