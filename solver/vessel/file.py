# SPDX-License-Identifier: MIT
"""Reading and writing a vessel's file.

A file is read in stages, and each refuses what it is for: bytes to JSON, the format number and old
formats, the range of each field, what must hold between the parts.  See docs/file_format.md.
"""

from __future__ import annotations

import os
import stat
from typing import Any

import msgspec

from solver.errors import FileError
from solver.vessel import json_text
from solver.vessel.accepted import refusals, shown
from solver.vessel.checks import problems
from solver.vessel.migrations import migrated
from solver.vessel.saving import save
from solver.vessel.vessel import Vessel

#: Ending of the names of vessel files.
EXTENSION = ".farcabin"
#: Larger files are refused unread [bytes]; a ship of 4,000 cabins takes some 10 MB.
LARGEST_FILE = 200_000_000

_OBJECT = "an object in braces, with the keys of a vessel"


def read_vessel(path: str | os.PathLike[str]) -> Vessel:
    """Return the vessel in a file.

    Raises
    ------
    FileError
        The file is not there or cannot be read, or is no vessel; the error says where in the file,
        what was found and what is accepted, for all problems of the stage that refused it.
    """
    name = os.fspath(path)
    return parse_vessel(_content(name), name)


def parse_vessel(data: bytes, path: str) -> Vessel:
    """Return the vessel that a file's content stands for.

    Parameters
    ----------
    data : bytes
        The whole content.
    path : str
        The file's name, for the message.

    Raises
    ------
    FileError
        As ``read_vessel``.
    """
    return _vessel(json_text.tree(data, path), path)


def write_vessel(vessel: Vessel, path: str | os.PathLike[str]) -> None:
    """Save a vessel: the file is the old version or the new one, whole, whatever happens.

    The version before is kept beside it with ``.previous`` behind its name.

    Raises
    ------
    FileError
        The vessel would not read back as it is (one built in code with a value that is not
        accepted), or the file cannot be written.  The file on the disk is as it was.
    """
    name = os.fspath(path)
    values = msgspec.to_builtins(vessel)
    json_text.refuse_strange_values(values, name)
    _vessel(values, name)
    save(json_text.text(values), name)


def format_vessel(vessel: Vessel) -> bytes:
    """Return the content of a vessel's file: the same bytes for equal vessels.

    Raises
    ------
    FileError
        The vessel has a number that is not finite or text that is not whole.
    """
    values = msgspec.to_builtins(vessel)
    json_text.refuse_strange_values(values, "vessel")
    return json_text.text(values)


_VESSEL_TYPE = msgspec.inspect.type_info(Vessel)


def _vessel(values: Any, path: str) -> Vessel:
    if not isinstance(values, dict):
        raise FileError(path, "whole file", "not an object", shown(values), _OBJECT)
    values = migrated(values, path)
    try:
        vessel = msgspec.convert(values, Vessel)
    except msgspec.ValidationError as error:
        found = list(refusals(_VESSEL_TYPE, values))
        if not found:
            raise FileError(path, "whole file", str(error), "", _OBJECT) from error
        raise json_text.file_error(path, values, found) from error
    if contradictions := problems(vessel):
        raise json_text.file_error(path, values, contradictions)
    return vessel


def _content(path: str) -> bytes:
    if "\0" in path:
        raise FileError(
            path, "file name", "the name has a zero byte in it", "", "a name that the system allows"
        )
    try:
        # A pipe or a device would be read without end.
        status = os.stat(path)
        if stat.S_ISDIR(status.st_mode):
            raise FileError(path, "file name", "this is a folder", "", "a vessel file in it")
        if not stat.S_ISREG(status.st_mode):
            raise FileError(path, "file name", "not an ordinary file", "", "a vessel file")
        if status.st_size > LARGEST_FILE:
            size = f"{status.st_size / 1e6:.0f} MB"
            raise FileError(
                path, "whole file", "the file is too large", size, f"up to {LARGEST_FILE / 1e6:.0f} MB"
            )
        with open(path, "rb") as file:
            return file.read(LARGEST_FILE + 1)
    except FileNotFoundError as error:
        raise FileError(
            path, "file name", "there is no such file", "", "a vessel file that is there"
        ) from error
    except PermissionError as error:
        raise FileError(path, "file name", "you may not read this file", "", "a file you may read") from error
    except OSError as error:
        reason = f"the file cannot be read: {error.strerror or error}"
        raise FileError(path, "file name", reason, "", "a vessel file that can be read") from error
