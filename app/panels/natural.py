# SPDX-License-Identifier: MIT
"""Order: tags as a person expects them, rows that follow each other as one range."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

_DIGITS = re.compile(r"\d+")


def natural_key(tag: str) -> str:
    """Return a text that sorts as the tag should.

    Examples
    --------
    >>> sorted(["AH-10", "AH-9", "AH-1"], key=natural_key)
    ['AH-1', 'AH-9', 'AH-10']
    """
    return _DIGITS.sub(lambda found: found[0].zfill(9), tag.casefold())


def ranges(rows: Iterable[int]) -> Iterator[tuple[int, int]]:
    """Yield the first and last of each unbroken range of rows.

    Examples
    --------
    >>> list(ranges([4, 2, 3, 9]))
    [(2, 4), (9, 9)]
    """
    first = last = None
    for row in sorted(set(rows)):
        if first is not None and last is not None and row != last + 1:
            yield first, last
            first = None
        first, last = row if first is None else first, row
    if first is not None and last is not None:
        yield first, last
