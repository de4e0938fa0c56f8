# SPDX-License-Identifier: MIT
"""Clips as text: read back whole, other text refused, lines for a spreadsheet."""

from __future__ import annotations

import pytest

from app.editing.clipboard import clip_text, read_clip, table_of
from solver.errors import EditError
from solver.vessel.edits import clip
from tests.app.small_loop import small_loop


def test_a_clip_is_read_back_and_other_text_refused() -> None:
    copied = clip(small_loop(), ("AH-1", "RV-1", "C-1"))
    assert read_clip(clip_text(copied)) == copied
    for text in (b"{}}", b'{"parts": []}', b"AH-1"):
        with pytest.raises(EditError, match="holds no parts"):
            read_clip(text)


def test_a_clip_is_lines_of_a_spreadsheet() -> None:
    lines = table_of(clip(small_loop(), ("AH-1", "RV-1", "C-1"))).splitlines()
    assert lines == [
        "RV-1\tregulating_valve\t\t",
        "AH-1\tair_handler\tAft\t",
        "C-1\tcabin\tAft cabin\t",
        "R-3\trun\t15x0.7\t1",
    ]
