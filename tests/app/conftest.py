# SPDX-License-Identifier: MIT
"""What tests of the window share."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QGuiApplication


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Empty the clipboard: the offscreen platform's outlives Python, and what Python put on it must not."""
    if QGuiApplication.instance() is not None:
        QGuiApplication.clipboard().clear()
