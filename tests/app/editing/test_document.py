# SPDX-License-Identifier: MIT
"""The document: edits, undo, files, and what it tells."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import msgspec
import pytest
from pytestqt.qtbot import QtBot

from app.editing.document import ALL_KINDS, Document
from solver.errors import EditError
from solver.vessel.edits import set_field
from solver.vessel.file import read_vessel, write_vessel
from solver.vessel.vessel import Vessel
from tests.app.small_loop import small_loop


@pytest.fixture
def document(qtbot: QtBot) -> Document:
    return Document(small_loop())


def changes_of(document: Document) -> list[tuple[Any, Any, frozenset[str]]]:
    seen: list[tuple[Any, Any, frozenset[str]]] = []
    document.changed.connect(lambda old, new, kinds: seen.append((old, new, kinds)))
    return seen


def speed(percent: float) -> Any:
    return lambda vessel: set_field(vessel, ("P-1",), "speed_percent", percent)


def test_an_edit_tells_old_new_and_kinds(document: Document) -> None:
    seen = changes_of(document)
    old = document.vessel
    assert document.edit("Change speed", speed(80.0))
    assert seen == [(old, document.vessel, frozenset({"hydraulic"}))]
    assert document.vessel.component_by_tag["P-1"].speed_percent == 80.0
    assert (document.undo_name, document.redo_name) == ("Change speed", "")


def test_undo_and_redo_tell_as_an_edit_does(document: Document) -> None:
    first = document.vessel
    document.edit("Change speed", speed(80.0))
    second = document.vessel
    seen = changes_of(document)
    document.undo()
    document.redo()
    assert [(old is second, new is first) for old, new, _kinds in seen[:1]] == [(True, True)]
    assert seen[1][1] is second
    assert all(kinds == {"hydraulic"} for _old, _new, kinds in seen)


def test_an_edit_that_changes_nothing_is_no_step(document: Document) -> None:
    seen = changes_of(document)
    assert not document.edit("Nothing", lambda vessel: vessel)
    assert not document.edit("Nothing", lambda vessel: msgspec.structs.replace(vessel))
    assert seen == []
    assert document.undo_name == ""


def test_a_refused_edit_leaves_everything_as_it_was(document: Document) -> None:
    old = document.vessel
    with pytest.raises(EditError):
        document.edit("Too fast", speed(900.0))
    assert document.vessel is old
    assert document.is_clean


@pytest.mark.parametrize(
    ("field", "value", "kinds"),
    [
        ("at", (10.0, 200.0), {"layout"}),
        ("notes", "checked", {"text"}),
        ("speed_percent", 90.0, {"hydraulic"}),
    ],
)
def test_kinds_of_change(document: Document, field: str, value: object, kinds: set[str]) -> None:
    seen = changes_of(document)
    document.edit("Edit", lambda vessel: set_field(vessel, ("P-1",), field, value))
    assert seen[0][2] == kinds


def test_saving_and_opening(document: Document, tmp_path: Path) -> None:
    path = tmp_path / "boat.farcabin"
    document.edit("Change speed", speed(80.0))
    assert not document.is_clean
    assert document.save(path)
    assert document.is_clean
    assert document.path == path
    other = Document()
    assert other.open(path)
    assert other.vessel == document.vessel
    assert other.is_clean
    assert other.undo_name == ""


def test_opening_tells_a_change_of_every_kind(document: Document, tmp_path: Path) -> None:
    path = tmp_path / "boat.farcabin"
    write_vessel(small_loop(), path)
    seen = changes_of(document)
    opened: list[bool] = []
    document.opened.connect(lambda: opened.append(True))
    document.open(path)
    assert opened == [True]
    assert seen[0][2] == ALL_KINDS


def test_a_refused_file_is_told_and_changes_nothing(document: Document, tmp_path: Path) -> None:
    path = tmp_path / "broken.farcabin"
    path.write_text('{"format": 1, "name": 5}', encoding="utf-8")
    told: list[str] = []
    document.failed.connect(told.append)
    old = document.vessel
    assert not document.open(path)
    assert document.vessel is old
    assert "broken.farcabin" in told[0]
    assert "name" in told[0]


def test_a_missing_file_is_told(document: Document, tmp_path: Path) -> None:
    told: list[str] = []
    document.failed.connect(told.append)
    assert not document.open(tmp_path / "nowhere.farcabin")
    assert "nowhere.farcabin" in told[0]


def test_a_failed_save_is_told_and_leaves_the_work_unsaved(document: Document, tmp_path: Path) -> None:
    told: list[str] = []
    document.failed.connect(told.append)
    document.edit("Change speed", speed(80.0))
    assert not document.save(tmp_path / "no such folder" / "boat.farcabin")
    assert len(told) == 1
    assert not document.is_clean
    assert document.path is None


def test_a_copy_has_no_file(document: Document, tmp_path: Path) -> None:
    path = tmp_path / "sample.farcabin"
    write_vessel(small_loop(), path)
    assert document.open_copy(path)
    assert document.path is None
    document.edit("Change speed", speed(70.0))
    assert read_vessel(path) == small_loop()


def test_a_new_document_is_untouched_until_it_is_edited(qtbot: QtBot) -> None:
    document = Document()
    assert document.is_untouched
    document.edit("Rename", Vessel(name="Tern"))
    assert not document.is_untouched


def test_saving_without_a_path_is_a_mistake_of_the_caller(qtbot: QtBot) -> None:
    with pytest.raises(ValueError, match="path"):
        Document().save()
