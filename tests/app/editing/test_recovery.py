# SPDX-License-Identifier: MIT
"""The journal of unsaved work, and what a killed program leaves."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.editing.document import Document
from app.editing.recovery import Journal, found_work
from solver.vessel.edits import set_field
from solver.vessel.file import write_vessel
from tests.app.small_loop import small_loop

ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture
def document(qtbot: QtBot) -> Document:
    return Document(small_loop())


def slow(document: Document, percent: float = 80.0) -> None:
    document.edit("Slow down", lambda vessel: set_field(vessel, ("P-1",), "speed_percent", percent))


def test_unsaved_work_is_written_after_a_while(document: Document, tmp_path: Path, qtbot: QtBot) -> None:
    journal = Journal(document, tmp_path / "journals", delay_ms=10)
    assert not journal.file.exists()
    slow(document)
    qtbot.waitUntil(journal.file.exists)
    entry = json.loads(journal.file.read_text(encoding="utf-8"))
    assert json.loads(entry["vessel"])["components"][0]["speed_percent"] == 80.0
    journal.close()
    assert not journal.file.exists()


def test_many_edits_are_written_at_once(document: Document, tmp_path: Path) -> None:
    journal = Journal(document, tmp_path, delay_ms=10**7)
    for step in range(19):
        slow(document, 50.0 + step)
    assert not journal.file.exists()
    slow(document, 99.0)
    assert journal.file.exists()
    journal.close()


def test_saved_or_undone_work_leaves_no_journal(document: Document, tmp_path: Path) -> None:
    journal = Journal(document, tmp_path, delay_ms=10**7)
    slow(document)
    journal.write()
    assert journal.file.exists()
    document.undo()
    assert not journal.file.exists()
    slow(document)
    journal.write()
    document.save(tmp_path / "boat.farcabin")
    assert not journal.file.exists()
    journal.close()


def test_work_of_a_running_program_is_not_offered(document: Document, tmp_path: Path) -> None:
    journal = Journal(document, tmp_path, delay_ms=10**7)
    slow(document)
    journal.write()
    assert found_work(tmp_path) == []
    journal.close()


KILLED = """
import sys
from pathlib import Path
from PySide6.QtCore import QCoreApplication
from app.editing.document import Document
from app.editing.recovery import Journal
from solver.vessel.edits import set_field

application = QCoreApplication([])
document = Document()
document.open(sys.argv[1])
journal = Journal(document, Path(sys.argv[2]), delay_ms=10**7)
document.edit("Slow down", lambda vessel: set_field(vessel, ("P-1",), "speed_percent", 61.0))
journal.write()
print("ready", flush=True)
sys.stdin.read()
"""


def test_work_of_a_killed_program_is_offered_and_its_file_is_as_it_was(
    tmp_path: Path, document: Document
) -> None:
    file, journals = tmp_path / "boat.farcabin", tmp_path / "journals"
    write_vessel(small_loop(), file)
    before = file.read_bytes()
    with subprocess.Popen(
        [sys.executable, "-c", KILLED, str(file), str(journals)],
        cwd=ROOT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
    ) as program:
        assert program.stdout is not None
        assert program.stdout.readline() == "ready\n"
        assert found_work(journals) == []
        program.send_signal(signal.SIGTERM if os.name == "nt" else signal.SIGKILL)
        program.wait()
    [work] = found_work(journals)
    assert work.path == file
    assert work.vessel.component_by_tag["P-1"].speed_percent == 61.0
    assert file.read_bytes() == before
    # Held by this program now, so another start does not offer it too.
    assert found_work(journals) == []
    document.show(work.vessel, clean=False)
    assert not document.is_clean
    assert document.path is None
    work.discard()
    assert found_work(journals) == []
    assert list(journals.glob("*.journal")) == []


def test_work_can_be_kept_for_the_next_start(tmp_path: Path, document: Document) -> None:
    leave(document, tmp_path)
    [work] = found_work(tmp_path)
    work.keep()
    [again] = found_work(tmp_path)
    assert again.vessel == work.vessel
    again.discard()


def leave(document: Document, folder: Path) -> None:
    """Leave a journal as a crash does: written, and no lock held."""
    journal = Journal(document, folder, delay_ms=10**7)
    slow(document)
    journal.write()
    kept = journal.file.read_bytes()
    journal.close()
    journal.file.write_bytes(kept)


@pytest.mark.parametrize(
    "content", ["", "{", "[]", '{"path": "", "written": "x", "vessel": "{}"}', '{"vessel": 3}']
)
def test_a_journal_that_cannot_be_read_stays_and_does_no_harm(content: str, tmp_path: Path) -> None:
    broken = tmp_path / "broken.journal"
    broken.write_text(content, encoding="utf-8")
    assert found_work(tmp_path) == []
    assert broken.read_text(encoding="utf-8") == content


def test_a_file_open_elsewhere_is_told(document: Document, tmp_path: Path) -> None:
    file = tmp_path / "boat.farcabin"
    write_vessel(small_loop(), file)
    first, second = Document(), document
    journals = [Journal(each, tmp_path / "journals") for each in (first, second)]
    told: list[str] = []
    journals[1].open_elsewhere.connect(told.append)
    first.open(file)
    second.open(file)
    assert len(told) == 1
    assert "boat.farcabin" in told[0]
    journals[0].close()
    second.open(file)
    assert len(told) == 1
    journals[1].close()


def test_a_folder_that_cannot_be_written_is_told(document: Document, tmp_path: Path) -> None:
    journal = Journal(document, tmp_path / "journals", delay_ms=10**7)
    told: list[str] = []
    journal.failed.connect(told.append)
    slow(document)
    journal.file.mkdir()
    journal.write()
    assert len(told) == 1
    assert "Save the vessel yourself" in told[0]
    journal.file.rmdir()
    journal.close()
