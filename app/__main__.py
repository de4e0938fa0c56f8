# SPDX-License-Identifier: MIT
"""Start: without words, or with a vessel file alone, the window; otherwise the command line, without Qt."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

from app.command_line.console import BAD_USE, complain, prepare_streams
from app.command_line.main import run as run_command_line

_NO_WINDOW = (
    "the window cannot start: {problem}. `python3 start.py` in the source tree installs what is missing or "
    "says how; `farcabin solve FILE` and the other commands but `draw` work without it."
)


def main(words: Sequence[str] | None = None) -> int:
    """Run the program and return its exit status.

    Parameters
    ----------
    words : sequence of str, optional
        Words of the command; those of the process if None.
    """
    words = sys.argv[1:] if words is None else words
    prepare_streams()
    if not words:
        return _open_window(None)
    if len(words) == 1 and words[0].lower().endswith(".farcabin"):
        if not Path(words[0]).is_file():
            return complain(f"{words[0]}: no such file", BAD_USE)
        return _open_window(words[0])
    return run_command_line(words)


def _open_window(path: str | None) -> int:
    # Imported here so that the command line never loads Qt.
    try:
        from app.window.main import run
    except ImportError as problem:
        return complain(_NO_WINDOW.format(problem=problem), BAD_USE)
    return run(path)


if __name__ == "__main__":
    sys.exit(main())
