# SPDX-License-Identifier: MIT
"""Draw a vessel with what was found in its loop, as a picture or on paper (png, svg, pdf).

A loop that cannot be solved is drawn without figures; the reason is told and the exit status is 1.
"""

from __future__ import annotations

import argparse
import os
import re
import sys
from pathlib import Path

from app.command_line.console import NOT_SOLVABLE, SOLVED, UsageError, complain
from app.command_line.reading import add_changes, add_file, add_units, changes_of, vessel_of
from solver.errors import NotSolvableError
from solver.results import Results
from solver.solve import solve

HELP = "draw a vessel and what was found, as png, svg or pdf"
_KINDS = (".png", ".svg", ".pdf")
_OVERLAYS = ("flow", "share", "velocity", "loss", "pressure", "temperature", "condensation")
_SMALLEST, _LARGEST = 200, 20_000


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Say which words the verb takes."""
    add_file(parser)
    parser.add_argument(
        "-o", "--output", metavar="FILE", required=True, help="picture to write; its ending says which kind"
    )
    parser.add_argument(
        "--overlay", choices=_OVERLAYS, help="colour the runs by a quantity (share: share of design flow)"
    )
    parser.add_argument("--dark", action="store_true", help="dark paper (default: light, as a pdf always is)")
    parser.add_argument(
        "--size",
        metavar="WxH",
        default="1600x1000",
        help="width and height of a png or svg in pixels (default: 1600x1000)",
    )
    parser.add_argument(
        "--sheet", choices=("A4", "A3"), help="paper of a pdf (default: the smallest it reads well on)"
    )
    add_units(parser)
    add_changes(parser)


def run(arguments: argparse.Namespace) -> int:
    """Carry the verb out and return the exit status.

    Raises
    ------
    FileError, UsageError
        The vessel file was refused; a picture of that kind or size cannot be made.
    """
    output = Path(arguments.output)
    if output.suffix.lower() not in _KINDS:
        raise UsageError(f"--output {output}: pictures ending in {', '.join(_KINDS)} can be written")
    if not output.parent.is_dir():
        raise UsageError(f"--output {output}: there is no folder {output.parent}")
    size = _size(arguments.size)
    vessel = vessel_of(arguments)
    changes = changes_of(vessel, arguments)
    results: Results | None = None
    reason = ""
    try:
        results = solve(vessel, changes=changes, heat=True)
    except NotSolvableError as problem:
        reason = problem.reason
    # Painting needs Qt, which no other verb loads; the screen is not needed.
    if sys.platform.startswith("linux"):
        os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    try:
        from PySide6.QtWidgets import QApplication

        from app.paper.drawing_sheet import draw
    except ImportError as problem:
        raise UsageError(
            f"drawing is not possible: {problem}. `python3 start.py` in the source tree installs what is "
            "missing or says how."
        ) from None
    painter_needs = QApplication.instance() or QApplication(["farcabin"])
    problems = draw(
        results.vessel if results else vessel,
        results,
        output,
        size=size,
        dark=arguments.dark,
        overlay=arguments.overlay,
        units=vessel.units,
        sheet=arguments.sheet,
        reason=reason,
        vessel_path=Path(arguments.file),
    )
    del painter_needs
    for left_out in problems:
        complain(f"drawn without a deck plan: {left_out}", SOLVED)
    print(f"wrote {output}")
    return complain(reason, NOT_SOLVABLE) if reason else SOLVED


def _size(text: str) -> tuple[int, int]:
    found = re.fullmatch(r"(\d{1,5})\s*[xX×]\s*(\d{1,5})", text.strip())
    width, height = (int(found[1]), int(found[2])) if found else (0, 0)
    if not (_SMALLEST <= width <= _LARGEST and _SMALLEST <= height <= _LARGEST):
        raise UsageError(
            f"--size {text}: width and height in pixels are expected, each {_SMALLEST} to {_LARGEST}, "
            "such as 1600x1000"
        )
    return width, height
