# SPDX-License-Identifier: MIT
"""The key map as a table for docs/drawing.md, made from the actions themselves.

``python -m app.window.key_map docs/drawing.md`` renews it there.
"""

from __future__ import annotations

import sys
from pathlib import Path

from PySide6.QtGui import QKeySequence

from app.canvas.part_keys import PART_KEYS, TOOL_KEYS
from app.panels.words import kind_names
from app.window.actions import Key, all_specs

_BEGIN = "<!-- key map: made by app/window/key_map.py -->"
_END = "<!-- end of key map -->"


def key_map() -> str:
    """Return a Markdown table of every action with a key, then of the keys of the parts."""
    rows = ["| what | keys |", "|---|---|"]
    for spec in all_specs():
        keys = list(dict.fromkeys(_text(key) for key in spec.keys))
        if keys:
            rows.append(f"| {spec.text.replace('&', '').rstrip('…')} | {', '.join(keys)} |")
    rows += ["", "With the keyboard on the canvas, one key takes a tool in hand:", ""]
    rows += ["| tool | key |", "|---|---|"]
    names = {spec.name: spec.text.replace("&", "").rstrip("…") for spec in all_specs()}
    tools = {tool: "draw_select" if tool == "arrange" else f"draw_{tool}" for tool in TOOL_KEYS}
    rows += [f"| {names[action]} | {TOOL_KEYS[tool]} |" for tool, action in tools.items()]
    rows += ["", "Another takes a part:", ""]
    rows += ["| part | key |", "|---|---|"]
    rows += [f"| {name} | {PART_KEYS[kind]} |" for kind, name in kind_names().items() if kind in PART_KEYS]
    return "\n".join(rows)


def with_key_map(page: str) -> str:
    """Return a page with its table renewed."""
    before, _, rest = page.partition(_BEGIN)
    _, _, after = rest.partition(_END)
    return f"{before}{_BEGIN}\n\n{key_map()}\n\n{_END}{after}"


def _text(key: Key | str) -> str:
    if isinstance(key, str):
        return key
    # A standard key is another one on other systems; these are those of most.
    return {
        Key.New: "Ctrl+N",
        Key.Open: "Ctrl+O",
        Key.Save: "Ctrl+S",
        Key.SaveAs: "Ctrl+Shift+S",
        Key.Print: "Ctrl+P",
        Key.Close: "Ctrl+W",
        Key.Quit: "Ctrl+Q",
        Key.Undo: "Ctrl+Z",
        Key.Redo: "Ctrl+Shift+Z",
        Key.SelectAll: "Ctrl+A",
        Key.Find: "Ctrl+F",
        Key.Cut: "Ctrl+X",
        Key.Copy: "Ctrl+C",
        Key.Paste: "Ctrl+V",
        Key.Delete: "Delete",
        Key.ZoomIn: "Ctrl++",
        Key.ZoomOut: "Ctrl+-",
        Key.FullScreen: "F11",
        Key.HelpContents: "F1",
    }.get(key) or QKeySequence(key).toString()


if __name__ == "__main__":
    path = Path(sys.argv[1])
    path.write_text(with_key_map(path.read_text(encoding="utf-8")), encoding="utf-8")
