# SPDX-License-Identifier: MIT
"""Texts on screen in the user's language.

``pyside6-lupdate`` collects every ``tr("...")`` of the sources; figures are put in with ``format``.
"""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication


def tr(text: str) -> str:
    """Return a text in the language loaded, itself if there is no translation."""
    return QCoreApplication.translate("", text)
