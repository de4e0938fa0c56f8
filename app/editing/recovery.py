# SPDX-License-Identifier: MIT
"""A journal of unsaved work beside the user's data, and what a crash left of it.

While a document differs from its file, the vessel is written to the journal every few seconds.  A
journal whose program still runs is locked; one that is not locked was left by a crash and is offered.
The vessel's own file is never touched here.
"""

from __future__ import annotations

import hashlib
import json
import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import msgspec
from PySide6.QtCore import QLockFile, QObject, QSaveFile, QStandardPaths, QTimer, Signal

from app.editing.document import Document
from app.translation import tr
from solver.errors import FileError
from solver.vessel.file import parse_vessel
from solver.vessel.vessel import Vessel

_JOURNAL = ".journal"
_LOCK = ".lock"
#: Longest time that unsaved work stays unwritten.
_DELAY_MS = 700
#: Edits after which it is written at once.
_EDITS = 20


def journal_folder() -> Path:
    """Return the folder of the journals in the user's data."""
    data = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppDataLocation)
    return Path(data) / "unsaved work"


@dataclass(frozen=True)
class FoundWork:
    """Unsaved work that a crash left.

    Parameters
    ----------
    vessel : Vessel
    path : Path or None
        The file it was opened from.
    written : datetime
        When the journal was last written.
    journal : Path
        The journal itself.
    lock : QLockFile
        Held, so that another window does not offer the same work.
    """

    vessel: Vessel
    path: Path | None
    written: datetime
    journal: Path
    lock: QLockFile

    def discard(self) -> None:
        """Remove the journal."""
        self.journal.unlink(missing_ok=True)
        self.lock.unlock()

    def keep(self) -> None:
        """Leave the journal for another start of the program."""
        self.lock.unlock()


def found_work(folder: Path) -> list[FoundWork]:
    """Return the unsaved work that no running program holds, the newest first.

    A journal that cannot be read stays where it is; a person may still read it.
    """
    found = list(_read_journals(folder))
    return sorted(found, key=lambda work: work.written, reverse=True)


def _read_journals(folder: Path) -> Iterator[FoundWork]:
    for journal in sorted(folder.glob(f"*{_JOURNAL}")):
        lock = QLockFile(str(journal.with_suffix(_LOCK)))
        lock.setStaleLockTime(0)
        if not lock.tryLock(0):
            continue
        try:
            entry = json.loads(journal.read_text(encoding="utf-8"))
            vessel = parse_vessel(entry["vessel"].encode(), str(journal))
            written = datetime.fromisoformat(entry["written"])
            path = Path(entry["path"]) if entry["path"] else None
        except (OSError, ValueError, KeyError, TypeError, AttributeError, FileError):
            lock.unlock()
            continue
        yield FoundWork(vessel, path, written, journal, lock)


class Journal(QObject):
    """Writes one document's unsaved work, and takes it away when it is saved.

    Attributes
    ----------
    open_elsewhere : Signal(str)
        The document's file is open in another window, by what the text says.
    failed : Signal(str)
        The journal could not be written: the work is not safe.
    """

    open_elsewhere = Signal(str)
    failed = Signal(str)

    def __init__(
        self, document: Document, folder: Path, delay_ms: int = _DELAY_MS, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._folder = folder
        folder.mkdir(parents=True, exist_ok=True)
        self._file = folder / f"{uuid.uuid4().hex}{_JOURNAL}"
        self._lock = QLockFile(str(self._file.with_suffix(_LOCK)))
        self._lock.setStaleLockTime(0)
        self._lock.tryLock(0)
        self._file_lock: QLockFile | None = None
        self._edits = 0
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(delay_ms)
        self._timer.timeout.connect(self.write)
        document.stack_changed.connect(self._changed)
        document.path_changed.connect(self._hold_file)

    @property
    def file(self) -> Path:
        """The journal; it exists while there is unsaved work."""
        return self._file

    def write(self) -> None:
        """Write the unsaved work now."""
        self._timer.stop()
        self._edits = 0
        document = self._document
        if document.is_clean:
            self._file.unlink(missing_ok=True)
            return
        entry = {
            "path": str(document.path) if document.path else "",
            "written": datetime.now().astimezone().isoformat(timespec="seconds"),
            # Not laid out for reading as the file is: that takes a ship's document half a second.
            "vessel": msgspec.json.encode(document.vessel).decode(),
        }
        saved = QSaveFile(str(self._file))
        data = json.dumps(entry, ensure_ascii=False).encode()
        opened = saved.open(QSaveFile.OpenModeFlag.WriteOnly)
        if not (opened and saved.write(data) == len(data) and saved.commit()):
            self.failed.emit(
                tr("Unsaved work cannot be kept in {0}: {1}. Save the vessel yourself.").format(
                    self._file.parent, saved.errorString()
                )
            )

    def close(self) -> None:
        """The document is closed in good order: nothing is left behind."""
        self._timer.stop()
        self._file.unlink(missing_ok=True)
        self._lock.unlock()
        if self._file_lock is not None:
            self._file_lock.unlock()
            self._file_lock = None

    def _changed(self) -> None:
        if self._document.is_clean:
            self._timer.stop()
            self._edits = 0
            self._file.unlink(missing_ok=True)
            return
        self._edits += 1
        if self._edits >= _EDITS:
            self.write()
        elif not self._timer.isActive():
            self._timer.start()

    def _hold_file(self) -> None:
        """Hold a lock for the document's file, kept beside the journals."""
        if self._file_lock is not None:
            self._file_lock.unlock()
            self._file_lock = None
        path = self._document.path
        if path is None:
            return
        name = hashlib.sha256(str(path.resolve()).encode()).hexdigest()[:24]
        lock = QLockFile(str(self._folder / f"{name}{_LOCK}"))
        lock.setStaleLockTime(0)
        if lock.tryLock(0):
            self._file_lock = lock
            return
        self.open_elsewhere.emit(
            tr("{0} is open in another window; what is saved last there or here stays.").format(path.name)
        )
