# SPDX-License-Identifier: MIT
"""What tests of the window share."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget


@pytest.fixture(autouse=True)
def _no_key_held() -> None:
    """Let go of Ctrl and Shift: Qt remembers them from the last event, here that of another test."""
    if QGuiApplication.instance() is not None:
        QTest.keyRelease(QWidget(), Qt.Key.Key_Escape)


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Empty the clipboard: the offscreen platform's outlives Python, and what Python put on it must not."""
    if QGuiApplication.instance() is not None:
        QGuiApplication.clipboard().clear()
