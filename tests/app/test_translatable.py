# SPDX-License-Identifier: MIT
"""Every text of the window goes through ``tr``: no bare words in the calls that show text."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

_APP = Path(__file__).resolve().parents[2] / "app"
_SHOWING = frozenset(
    {
        "addAction",
        "addButton",
        "addItem",
        "addMenu",
        "setAccessibleDescription",
        "setAccessibleName",
        "setHeaderData",
        "setPlaceholderText",
        "setStatusTip",
        "setText",
        "setToolTip",
        "setWindowTitle",
        "showMessage",
    }
)
_MAKING = frozenset({"QLabel", "QPushButton", "QCheckBox", "QGroupBox", "QAction", "QDockWidget", "QToolBar"})
#: Names, units and signs that no language changes.
_SAME_EVERYWHERE = frozenset({"Farcabin"})
_FILES = sorted(
    path
    for folder in ("window", "panels", "canvas", "overlay", "paper")
    for path in (_APP / folder).rglob("*.py")
)


def bare_texts(tree: ast.AST) -> list[str]:
    """Return the words written straight into a call that shows text."""
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            if name in _SHOWING or name in _MAKING:
                for argument in node.args[:1]:
                    found += [text for text in _literals(argument) if re.search(r"[A-Za-z]{2}", text)]
    return [text for text in found if text not in _SAME_EVERYWHERE]


def _literals(node: ast.expr) -> list[str]:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return [node.value]
    if isinstance(node, ast.IfExp):
        return [*_literals(node.body), *_literals(node.orelse)]
    if isinstance(node, ast.BoolOp):
        return [text for value in node.values for text in _literals(value)]
    return []


@pytest.mark.parametrize("path", _FILES, ids=lambda path: path.stem)
def test_no_bare_words_on_screen(path: Path) -> None:
    assert bare_texts(ast.parse(path.read_text(encoding="utf-8"))) == []


def test_the_check_sees_bare_words() -> None:
    assert bare_texts(ast.parse('label.setText("Bare words")')) == ["Bare words"]
    assert bare_texts(ast.parse('QPushButton("Go on" if ready else tr("Wait"), self)')) == ["Go on"]
    assert bare_texts(ast.parse('label.setText(tr("Words"))')) == []
