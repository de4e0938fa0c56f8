# SPDX-License-Identifier: MIT
"""The key map of docs/drawing.md is that of the actions."""

from pathlib import Path

from app.window.actions import all_specs
from app.window.key_map import key_map, with_key_map

_PAGE = Path(__file__).resolve().parents[2] / "docs" / "drawing.md"


def test_the_page_has_the_keys_of_the_actions() -> None:
    page = _PAGE.read_text(encoding="utf-8")
    assert with_key_map(page) == page, "python -m app.window.key_map docs/drawing.md"
    for spec in all_specs():
        if spec.keys:
            assert f"| {spec.text.replace('&', '').rstrip('…')} |" in key_map()
