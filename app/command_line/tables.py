# SPDX-License-Identifier: MIT
"""Plain text tables: names and units in the heads, figures in line at the decimal point.

Widths count what a terminal shows: two columns for a wide character, none for a combining one.
"""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Iterable, Mapping, Sequence

from app.units import NONE_TEXT, System, number, unit

_GAP = "  "
_LINE_WIDTH = 100


def table(
    columns: Mapping[str, str | None], rows: Iterable[Sequence[str | float | None]], system: System
) -> str:
    """Lay out a table.

    Parameters
    ----------
    columns : mapping
        Head -> quantity of its figures, None for text.
    rows : iterable of sequences
        One cell a column: text, or a value in the document's unit.
    system : {"si", "us"}
        Units shown.

    Returns
    -------
    str
        Lines without a line break at the end; heads, units, a rule, the rows.

    Examples
    --------
    >>> print(table({"tag": None, "flow": "flow"}, [("AH-1", 0.205), ("AH-2", 0.0355)], "si"))
    tag    flow
          L/min
    ----  -----
    AH-1   12.3
    AH-2    2.1
    """
    cells = [
        [_cell(cell, quantity, system) for cell, quantity in zip(row, columns.values(), strict=True)]
        for row in rows
    ]
    laid_out = []
    for place, (head, quantity) in enumerate(columns.items()):
        column = [row[place] for row in cells]
        if quantity is None:
            laid_out.append(_set_left([head, "", *column]))
        else:
            laid_out.append(_set_right([head, unit(quantity, system), *_at_the_point(column)]))
    if not any(column[1].strip() for column in laid_out):
        laid_out = [[column[0], *column[2:]] for column in laid_out]
    return "\n".join(_GAP.join(line).rstrip() for line in zip(*laid_out, strict=True))


def paragraph(text: str, indent: str = "") -> str:
    """Wrap a paragraph to the width of a terminal; lines after the first are indented."""
    return textwrap.fill(
        text, _LINE_WIDTH, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False
    )


def display_width(text: str) -> int:
    """Return how many columns of a terminal the text takes.

    Examples
    --------
    >>> display_width("AH-7"), display_width("客室"), display_width("e\u0301")
    (4, 4, 1)
    """
    return sum(
        0 if unicodedata.combining(character) else 2 if unicodedata.east_asian_width(character) in "WF" else 1
        for character in text
    )


def _cell(cell: str | float | None, quantity: str | None, system: System) -> str:
    if isinstance(cell, str):
        # A line break in a name would break the table.
        return "".join(character if character.isprintable() else " " for character in cell)
    return number(cell, quantity or "plain", system)


def _at_the_point(cells: Sequence[str]) -> list[str]:
    """Pad figures on the right so that, set to the right, their decimal points stand in line."""
    after = [len(text) - text.find(".") if "." in text else 0 for text in cells]
    widest = max(after, default=0)
    return [
        text if text == NONE_TEXT else text + " " * (widest - length)
        for text, length in zip(cells, after, strict=True)
    ]


def _set_left(column: Sequence[str]) -> list[str]:
    """Return heads, a rule below them, and cells, all of one width."""
    width = max(display_width(text) for text in column)
    padded = [text + " " * (width - display_width(text)) for text in column]
    return [*padded[:2], "-" * width, *padded[2:]]


def _set_right(column: Sequence[str]) -> list[str]:
    width = max(display_width(text) for text in column)
    padded = [" " * (width - display_width(text)) + text for text in column]
    return [*padded[:2], "-" * width, *padded[2:]]
