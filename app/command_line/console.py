# SPDX-License-Identifier: MIT
"""How the command line speaks: exit status, errors on their own stream, JSON, text in UTF-8."""

from __future__ import annotations

import io
import json
import math
import sys
from typing import Any

import msgspec

SOLVED = 0
NOT_SOLVABLE = 1
BAD_USE = 2


class UsageError(Exception):
    """The words of the command make no sense with this file; the text says what does."""


def prepare_streams() -> None:
    """Let any text be printed.

    On Windows a pipe or a file would get the code page of the region, which lacks half of the signs used.
    """
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            if sys.platform == "win32":
                stream.reconfigure(encoding="utf-8", errors="backslashreplace")
            else:
                stream.reconfigure(errors="backslashreplace")


def complain(problem: str, status: int) -> int:
    """Print a problem on standard error, each further one on its own line, and return ``status``."""
    print("farcabin:", problem, file=sys.stderr)
    return status


def print_json(value: object) -> None:
    """Print a value as JSON; what is no finite number becomes null."""
    print(json.dumps(_finite(msgspec.to_builtins(value)), indent=2, ensure_ascii=False, allow_nan=False))


def _finite(value: Any) -> Any:
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if isinstance(value, dict):
        return {key: _finite(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [_finite(item) for item in value]
    return value
