# SPDX-License-Identifier: MIT
"""Wide tables of a Markdown page for a narrow panel: each row as a list of its cells."""

from __future__ import annotations

import re
from collections.abc import Sequence

_BETWEEN = re.compile(r"(?<!\\)\|")
_RULE = re.compile(r"^\|[\s:|-]+\|\s*$")


def with_cards(page: str, most_columns: int) -> str:
    """Return a page in which tables of more than so many columns are written row by row.

    Examples
    --------
    >>> with_cards("| a | b | c |\\n|---|---|---|\\n| x | 1 | |\\n\\nEnd.", 2)
    '**x**\\n\\n- b: 1\\n\\nEnd.'
    """
    found: list[str] = []
    table: list[str] = []
    is_code = False
    for line in [*page.split("\n"), ""]:
        is_code = is_code != line.startswith("```")
        if line.startswith("|") and not is_code:
            table.append(line)
            continue
        if table:
            found.extend(_written(table, most_columns))
            table = []
        found.append(line)
    return "\n".join(found[:-1])


def _written(table: Sequence[str], most_columns: int) -> list[str]:
    headings = _cells(table[0])
    if len(table) < 3 or not _RULE.match(table[1]) or len(headings) <= most_columns:
        return list(table)
    lines: list[str] = []
    for row in table[2:]:
        first, *others = _cells(row)
        named = [f"- {name}: {cell}" for name, cell in zip(headings[1:], others, strict=False) if cell]
        # Code is not shown bold.
        lines += [f"**{first.strip('`')}**", "", *named, ""]
    return lines[:-1]


def _cells(line: str) -> list[str]:
    return [cell.strip() for cell in _BETWEEN.split(line.strip().strip("|"))]
