# SPDX-License-Identifier: MIT
"""Deck plans on sheets: paler than on the screen, and never over what lies under them.

Paper knows no blending, so the white of a plan (on dark paper its black) is made transparent beforehand.
"""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QImage, QPainter

from app.editing.underlays import PictureError, picture_path, read_picture
from app.theme import BLANK_SHEET
from solver.vessel.vessel import Vessel

#: How much weaker a plan is than on the screen: ink and toner are darker than light.
_ON_PAPER = 0.6


class Plan(NamedTuple):
    """A picture without its paper, where it lies, and how strong it is, 0 to 1."""

    image: QImage
    place: QRectF
    strength: float


class Plans(NamedTuple):
    """The deck plans of a vessel, and what is wrong with those that are missing."""

    plans: tuple[Plan, ...] = ()
    problems: tuple[str, ...] = ()

    def extent(self) -> QRectF:
        """Return the area they cover; empty without any."""
        area = QRectF()
        for plan in self.plans:
            area = area.united(plan.place)
        return area

    def paint(self, painter: QPainter) -> None:
        """Paint them on a painter in units of the drawing."""
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        for plan in self.plans:
            painter.setOpacity(plan.strength)
            painter.drawImage(plan.place, plan.image)
        painter.restore()


def plans_of(vessel: Vessel, vessel_path: Path | None, *, dark: bool) -> Plans:
    """Read the deck plans of a vessel.

    Parameters
    ----------
    vessel : Vessel
    vessel_path : Path or None
        Its file; names of pictures count from there.
    dark : bool
        For dark paper.
    """
    plans: list[Plan] = []
    problems: list[str] = []
    for underlay in vessel.underlays:
        try:
            image = read_picture(picture_path(underlay.file, vessel_path), underlay.page)
        except PictureError as error:
            problems.append(str(error))
            continue
        width, height = (side * underlay.units_per_pixel for side in (image.width(), image.height()))
        place = QRectF(underlay.at[0], underlay.at[1], width, height)
        plans.append(Plan(without_paper(image, dark=dark), place, underlay.opacity_percent / 100 * _ON_PAPER))
    return Plans(tuple(plans), tuple(problems))


def without_paper(image: QImage, *, dark: bool) -> QImage:
    """Return a picture whose white is transparent and which looks as before on white; inverted for dark."""
    on_white = QImage(image.size(), QImage.Format.Format_RGB32)
    on_white.fill(QColor(BLANK_SHEET))
    painter = QPainter(on_white)
    painter.drawImage(0, 0, image)
    painter.end()
    on_white = on_white.convertToFormat(QImage.Format.Format_RGBX8888)
    rows, columns = on_white.height(), on_white.width()
    data = np.frombuffer(on_white.constBits(), dtype=np.uint8).reshape(rows, on_white.bytesPerLine())
    ink: NDArray[np.uint8] = 255 - data[:, : 4 * columns].reshape(rows, columns, 4)[:, :, :3]
    cover = ink.max(axis=2)
    # What is taken from white is spread over the cover, so that both together are the colour again.
    share = ink.astype(np.uint16) * 255 // np.maximum(cover, 1)[:, :, None].astype(np.uint16)
    made = np.empty((rows, columns, 4), dtype=np.uint8)
    made[:, :, :3] = share if dark else 255 - share
    made[:, :, 3] = cover
    found = QImage(made.data, columns, rows, 4 * columns, QImage.Format.Format_RGBA8888)
    return found.copy()
