# SPDX-License-Identifier: MIT
"""Saving a file so that it is never half there.

The new content goes to a temporary file in the same folder, is flushed to the disk and then takes
the file's place in one step; the version before stays beside it.  Whatever stops the program or the
machine, the file is whole: the old version or the new one.
"""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
import stat
import sys
import time
from collections.abc import Iterator

from solver.errors import FileError

if sys.platform == "darwin":
    import fcntl

#: Added to a file's name for the version before the last save.
PREVIOUS = ".previous"
_TEMPORARY = ".saving"
#: Temporary files older than this were left by a program that was stopped while saving [s].
_LEFT_BEHIND = 3600.0
#: Windows refuses to replace a file that a virus scanner has open for a moment [s].
_PAUSES = (0.05, 0.1, 0.2, 0.4) if os.name == "nt" else ()


def save(data: bytes, path: str) -> None:
    """Put ``data`` in a file, whole or not at all, and keep the version before as ``.previous``.

    A file that holds the same bytes already is left alone, so that its previous version stays the
    last one that differs.  A link is followed.  Permissions are kept.

    Parameters
    ----------
    data : bytes
        The whole content.
    path : str
        The file; its folder must exist.

    Raises
    ------
    FileError
        If the folder is missing or may not be written, the path is a folder or something else than
        a file, the file is marked read-only, or the disk is full.  The file is as it was.
    """
    if "\0" in path:
        raise FileError(
            path, "file name", "the name has a zero byte in it", "", "a name that the system allows"
        )
    try:
        _save(data, os.path.realpath(path))
    except OSError as error:
        raise _refusal(error, path) from error


def _save(data: bytes, path: str) -> None:
    if os.path.isdir(path):
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), path)
    mode: int | None = None
    if os.path.exists(path):
        mode = os.stat(path).st_mode
        _refuse_unwritable(path, mode)
        with open(path, "rb") as file:
            old = file.read()
        if old == data:
            return
        with _temporary(path, old, mode) as name:
            _replace(name, path + PREVIOUS)
    with _temporary(path, data, mode) as name:
        _replace(name, path)
    _flush_folder(os.path.dirname(path))
    _remove_left_behind(path)


def _refuse_unwritable(path: str, mode: int) -> None:
    if not stat.S_ISREG(mode):
        raise FileError(path, "whole file", "not an ordinary file", "", "a file in a folder")
    if not mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH):
        raise FileError(
            path, "whole file", "the file is marked read-only", "", "a file you may write to, or another name"
        )


@contextlib.contextmanager
def _temporary(path: str, data: bytes, mode: int | None) -> Iterator[str]:
    """Write data to a new file beside ``path``, give its name, and see that none is left on failure."""
    folder, base = os.path.split(path)
    name = os.path.join(folder, f".{base}.{secrets.token_hex(4)}{_TEMPORARY}")
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    number = os.open(name, flags, 0o666)
    try:
        with os.fdopen(number, "wb") as file:
            file.write(data)
            file.flush()
            _flush(file.fileno())
        if mode is not None and stat.S_IMODE(os.stat(name).st_mode) != stat.S_IMODE(mode):
            os.chmod(name, stat.S_IMODE(mode))
        yield name
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(name)
        raise


def _flush(number: int) -> None:
    if sys.platform == "darwin":
        # There fsync stops at the drive's own memory.
        with contextlib.suppress(OSError):
            fcntl.fcntl(number, fcntl.F_FULLFSYNC)
            return
    os.fsync(number)


def _replace(name: str, path: str) -> None:
    for pause in _PAUSES:
        try:
            os.replace(name, path)
        except PermissionError:
            time.sleep(pause)
        else:
            return
    os.replace(name, path)


def _flush_folder(folder: str) -> None:
    # Windows cannot open a folder and some network drives cannot flush one: the new name is then
    # as safe as the system makes it.
    with contextlib.suppress(OSError):
        number = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(number)
        finally:
            os.close(number)


def _remove_left_behind(path: str) -> None:
    folder, base = os.path.split(path)
    oldest = time.time() - _LEFT_BEHIND
    with contextlib.suppress(OSError), os.scandir(folder) as entries:
        for entry in entries:
            ours = entry.name.startswith(f".{base}.") and entry.name.endswith(_TEMPORARY)
            if ours and entry.stat().st_mtime < oldest:
                os.unlink(entry.path)


def _refusal(error: OSError, path: str) -> FileError:
    folder = os.path.dirname(os.path.abspath(path))
    if isinstance(error, IsADirectoryError):
        folder = str(error.filename2 or error.filename)
        return FileError(path, "file name", "this is a folder", folder, "the name of a file")
    if isinstance(error, FileNotFoundError):
        return FileError(path, "folder", "the folder does not exist", folder, "a folder that is there")
    if isinstance(error, NotADirectoryError):
        return FileError(path, "folder", "not a folder", folder, "a folder that is there")
    if isinstance(error, PermissionError):
        return FileError(path, "folder", "you may not write here", folder, "a folder you may write to")
    return FileError(
        path, "whole file", f"not saved: {error.strerror or error}", "", "a folder with room for it"
    )
