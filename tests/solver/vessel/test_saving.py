# SPDX-License-Identifier: MIT
"""Saving: the old version or the new one, the version before beside it, and clear refusals."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path

import pytest

from solver.errors import FileError
from solver.vessel import saving
from solver.vessel.saving import PREVIOUS, save


def files(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def refusal(path: Path | str) -> FileError:
    with pytest.raises(FileError) as caught:
        save(b"new", str(path))
    assert caught.value.path == str(path)
    assert caught.value.place
    assert caught.value.accepted
    return caught.value


def test_the_version_before_stays_beside_the_file(tmp_path: Path) -> None:
    path = str(tmp_path / "tern.farcabin")
    save(b"1", path)
    assert files(tmp_path) == {"tern.farcabin": b"1"}
    save(b"2", path)
    assert files(tmp_path) == {"tern.farcabin": b"2", "tern.farcabin" + PREVIOUS: b"1"}
    save(b"3", path)
    assert files(tmp_path) == {"tern.farcabin": b"3", "tern.farcabin" + PREVIOUS: b"2"}


def test_saving_the_same_again_keeps_the_version_that_differs(tmp_path: Path) -> None:
    path = str(tmp_path / "tern.farcabin")
    for data in (b"1", b"2", b"2", b"2"):
        save(data, path)
    assert files(tmp_path) == {"tern.farcabin": b"2", "tern.farcabin" + PREVIOUS: b"1"}


def test_a_name_without_a_folder_is_saved_here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    save(b"1", "tern.farcabin")
    save(b"2", "tern.farcabin")
    assert files(tmp_path) == {"tern.farcabin": b"2", "tern.farcabin" + PREVIOUS: b"1"}


@pytest.mark.parametrize("mode", [0o600, 0o640, 0o664, 0o755])
def test_permissions_are_kept(tmp_path: Path, mode: int) -> None:
    path = tmp_path / "tern.farcabin"
    path.write_bytes(b"1")
    path.chmod(mode)
    kept = stat.S_IMODE(path.stat().st_mode)
    save(b"2", str(path))
    assert stat.S_IMODE(path.stat().st_mode) == kept
    assert stat.S_IMODE((tmp_path / ("tern.farcabin" + PREVIOUS)).stat().st_mode) == kept


def test_a_new_file_has_the_permissions_of_any_new_file(tmp_path: Path) -> None:
    (tmp_path / "other").write_bytes(b"")
    save(b"1", str(tmp_path / "tern.farcabin"))
    assert (tmp_path / "tern.farcabin").stat().st_mode == (tmp_path / "other").stat().st_mode


def test_a_link_is_followed(tmp_path: Path) -> None:
    (tmp_path / "boats").mkdir()
    save(b"1", str(tmp_path / "boats" / "tern.farcabin"))
    link = tmp_path / "tern.farcabin"
    try:
        link.symlink_to(tmp_path / "boats" / "tern.farcabin")
    except OSError:  # Windows lets few users make links.
        return
    save(b"2", str(link))
    assert link.is_symlink()
    assert files(tmp_path / "boats") == {"tern.farcabin": b"2", "tern.farcabin" + PREVIOUS: b"1"}


# Refusals


def test_a_missing_folder(tmp_path: Path) -> None:
    error = refusal(tmp_path / "boats" / "tern.farcabin")
    assert error.problem == "the folder does not exist"
    assert error.value == str(tmp_path / "boats")


def test_a_folder_in_place_of_a_file(tmp_path: Path) -> None:
    assert refusal(tmp_path).problem == "this is a folder"
    assert not files(tmp_path)


def test_a_file_in_place_of_a_folder(tmp_path: Path) -> None:
    (tmp_path / "boats").write_bytes(b"x")
    error = refusal(tmp_path / "boats" / "tern.farcabin")
    assert error.problem in ("not a folder", "the folder does not exist")
    assert files(tmp_path) == {"boats": b"x"}


def test_a_name_the_system_cannot_have(tmp_path: Path) -> None:
    assert refusal("a\0b").problem == "the name has a zero byte in it"
    assert refusal(tmp_path / ("x" * 5000)).problem.startswith("not saved: ")


def test_a_file_marked_read_only(tmp_path: Path) -> None:
    path = tmp_path / "tern.farcabin"
    path.write_bytes(b"1")
    path.chmod(0o444)
    assert refusal(path).problem == "the file is marked read-only"
    assert files(tmp_path) == {"tern.farcabin": b"1"}
    path.chmod(0o644)


def test_what_is_not_a_file(tmp_path: Path) -> None:
    if not hasattr(os, "mkfifo"):
        return
    os.mkfifo(tmp_path / "pipe")
    assert refusal(tmp_path / "pipe").problem == "not an ordinary file"


@pytest.mark.parametrize(
    ("code", "problem"),
    [
        (errno.EACCES, "you may not write here"),
        (errno.EPERM, "you may not write here"),
        (errno.EROFS, "not saved: Read-only file system"),
        (errno.ENOSPC, "not saved: No space left on device"),
    ],
)
@pytest.mark.parametrize("step", ["open", "fsync", "replace"])
def test_a_failure_at_any_step_leaves_the_file_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str, code: int, problem: str
) -> None:
    path = tmp_path / "tern.farcabin"
    save(b"1", str(path))

    def fail(*_: object) -> None:
        raise OSError(code, os.strerror(code))

    with monkeypatch.context() as patch:
        patch.setattr(saving.os, step, fail)
        assert refusal(path).problem == problem
    assert files(tmp_path) == {"tern.farcabin": b"1"}


def test_a_failure_after_the_copy_leaves_both_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "tern.farcabin"
    save(b"1", str(path))
    replace = os.replace
    calls: list[str] = []

    def fail_second(source: str, target: str) -> None:
        calls.append(target)
        if len(calls) == 2:
            raise OSError(errno.EIO, "Input/output error")
        replace(source, target)

    monkeypatch.setattr(saving.os, "replace", fail_second)
    assert refusal(path).problem == "not saved: Input/output error"
    assert files(tmp_path) == {"tern.farcabin": b"1", "tern.farcabin" + PREVIOUS: b"1"}


def test_a_folder_that_cannot_be_flushed_is_no_failure(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = os.open

    def refuse_folders(path: str, flags: int, mode: int = 0o777) -> int:
        if os.path.isdir(path):
            raise PermissionError(errno.EACCES, "Permission denied")
        return real(path, flags, mode)

    monkeypatch.setattr(saving.os, "open", refuse_folders)
    save(b"1", str(tmp_path / "tern.farcabin"))
    assert files(tmp_path) == {"tern.farcabin": b"1"}


def test_a_file_held_open_for_a_moment_is_tried_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "tern.farcabin"
    replace = os.replace
    calls: list[str] = []

    def held(source: str, target: str) -> None:
        calls.append(target)
        if len(calls) < 3:
            raise PermissionError(errno.EACCES, "Permission denied")
        replace(source, target)

    monkeypatch.setattr(saving, "_PAUSES", (0.0, 0.0, 0.0))
    monkeypatch.setattr(saving.os, "replace", held)
    save(b"1", str(path))
    assert len(calls) == 3
    assert files(tmp_path) == {"tern.farcabin": b"1"}


def test_what_a_stopped_program_left_is_cleared_away_in_time(tmp_path: Path) -> None:
    path = tmp_path / "tern.farcabin"
    old, new, other = (
        tmp_path / name
        for name in (".tern.farcabin.1.saving", ".tern.farcabin.2.saving", ".eider.farcabin.1.saving")
    )
    for left in (old, new, other):
        left.write_bytes(b"half")
    long_ago = old.stat().st_mtime - 2 * 3600
    os.utime(old, (long_ago, long_ago))
    os.utime(other, (long_ago, long_ago))
    save(b"1", str(path))
    assert sorted(files(tmp_path)) == [other.name, new.name, "tern.farcabin"]
