# SPDX-License-Identifier: MIT
"""Tags in the order a person expects: AH-9 before AH-10."""

from __future__ import annotations

import re

_DIGITS = re.compile(r"\d+")


def natural_key(tag: str) -> str:
    """Return a text that sorts as the tag should.

    Examples
    --------
    >>> sorted(["AH-10", "AH-9", "AH-1"], key=natural_key)
    ['AH-1', 'AH-9', 'AH-10']
    """
    return _DIGITS.sub(lambda found: found[0].zfill(9), tag.casefold())
