# SPDX-License-Identifier: MIT
"""Where the folders that come with the program are: in the source tree, or inside an installed copy."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

_PACKAGE = Path(__file__).resolve().parent


def shipped(folder: Literal["docs", "sample_vessels"]) -> Path:
    """Return the folder of documentation or of sample vessels.

    Raises
    ------
    FileNotFoundError
        The copy of the program is not whole.
    """
    for place in (_PACKAGE / folder, _PACKAGE.parent / folder):
        if place.is_dir():
            return place
    raise FileNotFoundError(f"{folder} is missing beside {_PACKAGE}; this copy of the program is not whole")
