# SPDX-License-Identifier: MIT
"""Bringing the values of an old file format up to the present one.

One pure function for each old format turns its values into those of the next; they are plain JSON
values, since the structs of the old format are gone.  A new format ``FORMAT`` in
``solver.vessel.vessel`` comes with a function here for the one before.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from solver.errors import FileError
from solver.vessel.accepted import shown
from solver.vessel.vessel import FORMAT

#: Old format -> function from its values to those of the next format.  Format 1 is the first.
MIGRATIONS: dict[int, Callable[[dict[str, Any]], dict[str, Any]]] = {}


def migrated(values: dict[str, Any], path: str) -> dict[str, Any]:
    """Return a file's values in the present format.

    Parameters
    ----------
    values : dict
        The file's values as read, in whatever format they say.
    path : str
        The file's name, for the message.

    Raises
    ------
    FileError
        If the format number is missing or not a whole number, belongs to a newer program or to no
        program, or the values are not what their format holds.
    """
    accepted = f"a whole number from {min(MIGRATIONS, default=FORMAT)} to {FORMAT}"
    if "format" not in values:
        raise FileError(path, "format", "missing", "", accepted)
    number = values["format"]
    if isinstance(number, bool) or not isinstance(number, int):
        raise FileError(path, "format", "not a whole number", shown(number), accepted)
    if number > FORMAT:
        newer = f"written by a newer Farcabin (format {number}; this one reads up to {FORMAT})"
        raise FileError(path, "format", newer, str(number), accepted)
    while number < FORMAT:
        if number not in MIGRATIONS:
            raise FileError(path, "format", "no Farcabin wrote this format", str(number), accepted)
        try:
            values = MIGRATIONS[number](values)
        except (LookupError, TypeError, ValueError, AttributeError, ArithmeticError) as error:
            reason = f"the values do not make sense in format {number} ({type(error).__name__}: {error})"
            raise FileError(path, "whole file", reason, "", f"a file that follows format {number}") from error
        number += 1
        values = {**values, "format": number}
    return values
