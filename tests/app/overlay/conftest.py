# SPDX-License-Identifier: MIT
"""Labels and legends are measured with fonts, which need an application."""

import pytest
from PySide6.QtWidgets import QApplication


@pytest.fixture(scope="session", autouse=True)
def application(qapp: QApplication) -> QApplication:
    """The application of the whole run."""
    return qapp
