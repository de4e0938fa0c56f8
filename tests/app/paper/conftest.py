# SPDX-License-Identifier: MIT
"""Sheets are painted with fonts, which need an application."""

import pytest
from PySide6.QtWidgets import QApplication


@pytest.fixture(scope="session", autouse=True)
def application(qapp: QApplication) -> QApplication:
    """The application of the whole run."""
    return qapp
