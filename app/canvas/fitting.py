# SPDX-License-Identifier: MIT
"""Chooses zoom and middle so that a drawing fits its window and no note in a corner covers it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from PySide6.QtCore import QPointF, QRectF, QSizeF

#: Room round a fitted drawing for the labels outside its outermost parts [px].
LABEL_MARGIN = (90.0, 28.0)
_LEAST_MARGIN = 8.0


def best_fit(
    area: QRectF, size: QSizeF, taken: Sequence[QRectF], margin: tuple[float, float], largest: float
) -> tuple[QPointF, float]:
    """Return the point of the drawing that belongs in the middle, and the zoom.

    Parameters
    ----------
    area : QRectF
        What is to be seen [units].
    size : QSizeF
        Of the window [px].
    taken : sequence of QRectF
        Areas of the window that are covered [px].
    margin : (float, float)
        To leave at the sides, and above and below [px].
    largest : float
        Zoom not to be passed [px a unit].
    """
    width, height = max(area.width(), 1.0), max(area.height(), 1.0)
    best = (area.center(), 0.0)
    for room in _rooms(QRectF(QPointF(0, 0), size), taken):
        inner = room.adjusted(margin[0], margin[1], -margin[0], -margin[1])
        if inner.width() <= 0 or inner.height() <= 0:
            continue
        scale = min(inner.width() / width, inner.height() / height, largest)
        if scale > best[1] * 1.001:
            off = QPointF(size.width() / 2, size.height() / 2) - inner.center()
            best = (area.center() + off / scale, scale)
    if best[1] == 0.0:
        scale = min(size.width() / width, size.height() / height, largest)
        best = (area.center(), max(scale, 1e-3))
    return best


def _rooms(window: QRectF, taken: Sequence[QRectF]) -> Iterator[QRectF]:
    """Offer the free areas: above the notes, and between them to their full height."""
    if not taken:
        yield window
        return
    top = min(note.top() for note in taken)
    yield QRectF(window.left(), window.top(), window.width(), top - _LEAST_MARGIN)
    left = max(
        (note.right() for note in taken if note.center().x() < window.center().x()), default=window.left()
    )
    right = min(
        (note.left() for note in taken if note.center().x() >= window.center().x()), default=window.right()
    )
    yield QRectF(left, window.top(), right - left, window.height())
