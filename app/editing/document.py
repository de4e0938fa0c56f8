# SPDX-License-Identifier: MIT
"""The document: the current vessel, its undo stack and its file.

Everything that changes the vessel goes through here, file loading, undo and redo included, so that
whoever shows it has one signal to follow.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from app.editing.steps import Steps
from app.editing.underlays import renamed_for
from app.translation import tr
from solver.errors import FileError
from solver.vessel.changes import difference
from solver.vessel.file import read_vessel, write_vessel
from solver.vessel.vessel import Vessel

#: Kinds of change; another vessel is a change of every kind.
ALL_KINDS = frozenset({"layout", "hydraulic", "heat", "text"})


def new_vessel() -> Vessel:
    """Return an empty vessel."""
    return Vessel(name=tr("New vessel"))


class Document(QObject):
    """Holds one vessel at a time.

    Attributes
    ----------
    opened : Signal
        Another vessel took the place of the old one (new, opened, restored); sent before ``changed``.
    changed : Signal(old, new, kinds)
        The vessel changed; ``kinds`` is a frozen set of "layout", "hydraulic", "heat" and "text".
    stack_changed : Signal
        What can be undone or redone, or whether the vessel is saved, may have changed.
    path_changed : Signal
        The file has another name.
    saved : Signal
        The vessel was written to its file.
    failed : Signal(str)
        A file could not be read or written; the text says which, where and why.
    """

    opened = Signal()
    changed = Signal(object, object, object)
    stack_changed = Signal()
    path_changed = Signal()
    saved = Signal()
    failed = Signal(str)

    def __init__(self, vessel: Vessel | None = None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._steps = Steps(vessel if vessel is not None else new_vessel())
        self._path: Path | None = None

    @property
    def vessel(self) -> Vessel:
        """The current vessel."""
        return self._steps.vessel

    @property
    def path(self) -> Path | None:
        """The file, None while there is none."""
        return self._path

    @property
    def is_clean(self) -> bool:
        """Whether the vessel is as it is in the file."""
        return self._steps.is_clean

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing on the drawing yet."""
        return not self.vessel.components and not self.vessel.runs

    @property
    def is_untouched(self) -> bool:
        """Whether this is a new vessel without a file that nobody has edited."""
        return self._path is None and self.is_clean and self.is_empty and len(self._steps) == 0

    @property
    def undo_name(self) -> str:
        """Name of the step that undo takes back, empty if there is none."""
        return self._steps.undo_name

    @property
    def redo_name(self) -> str:
        """Name of the step that redo makes again, empty if there is none."""
        return self._steps.redo_name

    def edit(
        self,
        name: str,
        change: Vessel | Callable[[Vessel], Vessel],
        merge_key: Hashable = None,
    ) -> bool:
        """Make one step.

        Parameters
        ----------
        name : str
            What the step does, as it reads after "Undo".
        change : Vessel or function
            The new vessel, or the function that makes it from the current one.
        merge_key : hashable, optional
            Steps that follow each other under one key become one step (the drag of a slider).

        Returns
        -------
        bool
            False if nothing changed; then there is no step either.

        Raises
        ------
        solver.errors.EditError
            From the function; the document is as it was.
        """
        old = self.vessel
        new = change(old) if callable(change) else change
        if new is old or new == old:
            return False
        self._steps.push(name, new, merge_key)
        self._tell(old)
        return True

    def undo(self) -> None:
        """Take the last step back."""
        old = self.vessel
        if self._steps.undo():
            self._tell(old)

    def redo(self) -> None:
        """Make the step again that was taken back last."""
        old = self.vessel
        if self._steps.redo():
            self._tell(old)

    def new(self) -> None:
        """Begin an empty vessel."""
        self._replace(new_vessel(), None, clean=True)

    def show(self, vessel: Vessel, clean: bool = True) -> None:
        """Take a vessel that has no file of its own: a sample, or work found after a crash."""
        self._replace(vessel, None, clean)

    def open(self, path: str | Path) -> bool:
        """Read a vessel file; on failure tell why and keep what is there."""
        vessel = self._read(path)
        if vessel is not None:
            self._replace(vessel, Path(path).absolute(), clean=True)
        return vessel is not None

    def open_copy(self, path: str | Path) -> bool:
        """Read a vessel file as ``open`` does, but have no file: it is never written over."""
        vessel = self._read(path)
        if vessel is not None:
            self._replace(vessel, None, clean=True)
        return vessel is not None

    def save(self, path: str | Path | None = None) -> bool:
        """Write the vessel to its file, or to ``path`` from now on; on failure tell why."""
        target = Path(path).absolute() if path is not None else self._path
        if target is None:
            raise ValueError("a document without a file needs a path to be saved to")
        # Deck plans keep their place on disk though the vessel goes to another folder.
        self.edit(tr("Name the deck plans from the new folder"), renamed_for(self.vessel, self._path, target))
        try:
            write_vessel(self.vessel, target)
        except FileError as error:
            self.failed.emit(str(error))
            return False
        self._steps.mark_clean()
        if target != self._path:
            self._path = target
            self.path_changed.emit()
        self.saved.emit()
        self.stack_changed.emit()
        return True

    def _read(self, path: str | Path) -> Vessel | None:
        try:
            return read_vessel(path)
        except FileError as error:
            self.failed.emit(str(error))
            return None

    def _replace(self, vessel: Vessel, path: Path | None, clean: bool) -> None:
        old = self.vessel
        self._steps = Steps(vessel, clean)
        self._path = path
        self.opened.emit()
        self.path_changed.emit()
        self.changed.emit(old, self.vessel, ALL_KINDS)
        self.stack_changed.emit()

    def _tell(self, old: Vessel) -> None:
        self.changed.emit(old, self.vessel, difference(old, self.vessel).kinds)
        self.stack_changed.emit()
