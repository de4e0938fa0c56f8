# SPDX-License-Identifier: MIT
"""New, open, save, recent files, samples, and what to do with unsaved work before it is left."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from app.editing.document import Document
from app.settings import Settings
from app.shipped import shipped
from app.translation import tr
from solver.vessel.file import EXTENSION

Answer = Literal["save", "discard", "cancel"]


def _filter() -> str:
    return tr("Vessels") + f" (*{EXTENSION})"


class Files(QObject):
    """Opens and saves the window's document."""

    def __init__(self, document: Document, settings: Settings, window: QWidget) -> None:
        super().__init__(window)
        self._document, self._settings, self._window = document, settings, window
        document.saved.connect(self._remember)

    def new(self) -> None:
        """Begin an empty vessel."""
        if self.may_leave():
            self._document.new()

    def open(self) -> None:
        """Ask for a file and open it."""
        path = self.ask_path_to_open()
        if path:
            self.open_path(path)

    def open_path(self, path: str | Path) -> bool:
        """Open a file, unless unsaved work is to stay."""
        if not self.may_leave():
            return False
        opened = self._document.open(path)
        if opened:
            self._remember()
        return opened

    def open_sample(self, path: Path) -> None:
        """Open a copy of a sample vessel: saving asks for a name."""
        if self.may_leave():
            self._document.open_copy(path)

    def save(self) -> bool:
        """Save to the file, asking for one if there is none."""
        if self._document.path is None:
            return self.save_as()
        return self._document.save()

    def save_as(self) -> bool:
        """Ask for a name and save under it."""
        path = self.ask_path_to_save()
        if not path:
            return False
        if not path.endswith(EXTENSION):
            path += EXTENSION
        return self._document.save(path)

    def may_leave(self) -> bool:
        """Return whether the document may be left: saved, discarded by the user, or not changed."""
        if self._document.is_clean:
            return True
        answer = self.ask_what_to_do()
        return answer == "discard" or (answer == "save" and self.save())

    def samples(self) -> list[Path]:
        """Return the sample vessels that come with the program, the smallest first."""
        try:
            folder = shipped("sample_vessels")
        except FileNotFoundError:
            return []
        return sorted(folder.glob(f"*{EXTENSION}"), key=lambda path: (path.stat().st_size, path.name))

    def ask_path_to_open(self) -> str:
        """Ask for a file to open; empty if none is chosen."""
        return QFileDialog.getOpenFileName(self._window, tr("Open a vessel"), self._folder(), _filter())[0]

    def ask_path_to_save(self) -> str:
        """Ask for a file to save to; empty if none is chosen."""
        proposed = str(Path(self._folder()) / self._proposed_name())
        return QFileDialog.getSaveFileName(self._window, tr("Save the vessel"), proposed, _filter())[0]

    def ask_what_to_do(self) -> Answer:
        """Ask whether unsaved changes are saved or discarded."""
        box = QMessageBox(self._window)
        box.setIcon(QMessageBox.Icon.NoIcon)
        name = self._document.path.name if self._document.path else self._document.vessel.name
        box.setText(tr("{0} has changes that are not saved.").format(name))
        save = box.addButton(
            tr("&Save {0}").format(name.replace("&", "&&")), QMessageBox.ButtonRole.AcceptRole
        )
        discard = box.addButton(tr("&Discard the changes"), QMessageBox.ButtonRole.DestructiveRole)
        cancel = box.addButton(tr("&Go on editing"), QMessageBox.ButtonRole.RejectRole)
        box.setDefaultButton(save)
        box.setEscapeButton(cancel)
        box.exec()
        answers: dict[object, Answer] = {save: "save", discard: "discard"}
        answer = answers.get(box.clickedButton(), "cancel")
        box.deleteLater()
        return answer

    def _folder(self) -> str:
        if self._document.path is not None:
            return str(self._document.path.parent)
        recent = self._settings.recent_files()
        return str(Path(recent[0]).parent) if recent else str(Path.home())

    def _proposed_name(self) -> str:
        if self._document.path is not None:
            return self._document.path.name
        kept = "".join(each if each.isalnum() or each in " -_" else "" for each in self._document.vessel.name)
        return (kept.strip() or tr("vessel")) + EXTENSION

    def _remember(self) -> None:
        if self._document.path is not None:
            self._settings.add_recent_file(self._document.path)


def sample_title(path: Path) -> str:
    """Return a sample's name in a menu, from its file's name."""
    words = path.stem.replace("_", " ")
    return words[:1].upper() + words[1:]


def vessel_file_dropped(urls: list[str]) -> str:
    """Return the first vessel file among dropped ones, empty if there is none."""
    return next((path for path in urls if path.lower().endswith(EXTENSION)), "")
