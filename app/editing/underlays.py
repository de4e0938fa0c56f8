# SPDX-License-Identifier: MIT
"""Pictures under the drawing: reading the file, naming it, and the edits of its place and scale.

A picture's pixels are those of the file; pages and vector pictures, which have none, are drawn with
``DRAWN_SIDE`` pixels along their longer side, so that a scale once set stays true.
"""

from __future__ import annotations

import os
from pathlib import Path

import msgspec
import pypdfium2 as pdfium
from PySide6.QtCore import QByteArray, QRectF, QSize, Qt, QXmlStreamReader
from PySide6.QtGui import QImage, QImageReader, QPainter
from PySide6.QtSvg import QSvgRenderer

from app.translation import tr
from solver.errors import EditError, FarcabinError
from solver.vessel.edits import add_deck, set_deck, set_vessel_field
from solver.vessel.fields import Point
from solver.vessel.takeoff import measured, scale_by_two_points
from solver.vessel.vessel import Deck, Underlay, Vessel

#: Names of files that can be put under the drawing.
SUFFIXES = (".png", ".jpg", ".jpeg", ".svg", ".pdf")
#: Largest file [bytes] and most pixels that are read.
LARGEST_FILE = 100_000_000
MOST_PIXELS = 60_000_000
#: Pixels along the longer side of a page or vector picture.
DRAWN_SIDE = 3000
#: The longer side of a picture just placed [drawing units].
_FIRST_SIDE = 1200.0


class PictureError(FarcabinError):
    """A picture cannot be shown; the text says which, why, and what is accepted."""


def picture_path(file: str, vessel_path: Path | None) -> Path:
    """Return where a picture lies: its name counts from the vessel's folder."""
    path = Path(file)
    return path if path.is_absolute() or vessel_path is None else vessel_path.parent / path


def picture_name(path: Path, vessel_path: Path | None) -> str:
    """Return how the vessel names a picture: from its own folder where there is a way."""
    if vessel_path is None:
        return path.absolute().as_posix()
    try:
        return Path(os.path.relpath(path.absolute(), vessel_path.parent)).as_posix()
    except ValueError:
        # On another drive.
        return path.absolute().as_posix()


def read_picture(path: Path, page: int = 1) -> QImage:
    """Read a picture, or draw one page of a PDF.

    Raises
    ------
    PictureError
        The file is not there, too large, or no picture.
    """
    suffix = path.suffix.lower()
    if suffix not in SUFFIXES:
        raise PictureError(tr("{0} is no picture this program knows. {1}").format(path.name, _accepted()))
    try:
        size = path.stat().st_size
        if size > LARGEST_FILE:
            text = tr("{0} is too large ({1} MB). Accepted: up to {2} MB.")
            raise PictureError(text.format(path.name, round(size / 1e6), round(LARGEST_FILE / 1e6)))
        if suffix == ".pdf":
            return _page(path, page)
        content = path.read_bytes()
    except FileNotFoundError as error:
        raise PictureError(tr("The deck plan {0} is not there.").format(path)) from error
    except OSError as error:
        raise PictureError(tr("{0} cannot be read: {1}.").format(path.name, error.strerror)) from error
    return _vector(path, content) if suffix == ".svg" else _pixels(path)


def page_count(path: Path) -> int:
    """Return how many pages a PDF has, 1 for any other picture.

    Raises
    ------
    PictureError
        The PDF cannot be read.
    """
    if path.suffix.lower() != ".pdf":
        return 1
    with _pdf(path) as pages:
        return len(pages)


def new_underlay(path: Path, vessel_path: Path | None, deck: str, at: Point, page: int = 1) -> Underlay:
    """Return a picture placed with its top left corner at a point, of a size to work with.

    Raises
    ------
    PictureError
        The picture cannot be read.
    """
    image = read_picture(path, page)
    longer = max(image.width(), image.height(), 1)
    return Underlay(
        file=picture_name(path, vessel_path),
        page=page,
        deck=deck,
        at=at,
        units_per_pixel=_FIRST_SIDE / longer,
    )


def add_underlay(vessel: Vessel, underlay: Underlay) -> Vessel:
    """Return the vessel with one more picture; a picture of a deck takes over that deck's scale.

    Raises
    ------
    EditError
        A field does not accept its value.
    """
    for other in vessel.underlays:
        if other.deck == underlay.deck:
            underlay = msgspec.structs.replace(underlay, metres_per_unit=other.metres_per_unit)
            break
    return set_vessel_field(vessel, "underlays", (*vessel.underlays, underlay))


def set_underlay(vessel: Vessel, index: int, **values: object) -> Vessel:
    """Return the vessel with fields of one picture set.

    A picture made larger or smaller keeps the distances on it: the scale of its deck changes with it.

    Raises
    ------
    EditError
        There is no such picture, or a field does not accept its value.
    """
    _refuse_missing(vessel, index)
    items = list(vessel.underlays)
    old = items[index]
    new = msgspec.structs.replace(old, **values)
    if new == old:
        return vessel
    items[index] = new
    vessel = set_vessel_field(vessel, "underlays", items)
    if new.units_per_pixel != old.units_per_pixel and "metres_per_unit" not in values:
        scale = old.metres_per_unit * old.units_per_pixel / new.units_per_pixel
        return with_deck_scale(vessel, new.deck, scale)
    if new.metres_per_unit != old.metres_per_unit:
        return with_deck_scale(vessel, new.deck, new.metres_per_unit)
    return vessel


def remove_underlay(vessel: Vessel, index: int) -> Vessel:
    """Return the vessel without one picture; ``EditError`` if there is no such picture."""
    _refuse_missing(vessel, index)
    kept = (*vessel.underlays[:index], *vessel.underlays[index + 1 :])
    return set_vessel_field(vessel, "underlays", kept)


def scale_underlay(vessel: Vessel, index: int, first: Point, second: Point, distance_m: float) -> Vessel:
    """Return the vessel with the scale of a picture's deck set by two points and their distance.

    Every picture of the same deck takes the scale, and runs that follow the drawing their lengths.

    Raises
    ------
    EditError
        The points are too near each other, or the distance is not above 0.
    """
    _refuse_missing(vessel, index)
    return scale_by_two_points(vessel, vessel.underlays[index].deck, first, second, distance_m)


def renamed_for(vessel: Vessel, old_path: Path | None, new_path: Path) -> Vessel:
    """Return the vessel with its pictures named from the folder it is about to be saved in."""
    if old_path is not None and old_path.parent == new_path.parent:
        return vessel
    files = [picture_name(picture_path(each.file, old_path), new_path) for each in vessel.underlays]
    if files == [each.file for each in vessel.underlays]:
        return vessel
    renamed = tuple(
        msgspec.structs.replace(each, file=file) for each, file in zip(vessel.underlays, files, strict=True)
    )
    return set_vessel_field(vessel, "underlays", renamed)


def with_deck_scale(vessel: Vessel, deck: str, metres_per_unit: float | None) -> Vessel:
    """Return the vessel with one scale for a deck and all its pictures.

    Runs that follow the drawing follow the scale.  A vessel without decks gets one for it; None takes the
    scale of the deck away and leaves its pictures theirs.

    Raises
    ------
    EditError
        The scale is not above 0.
    """
    if metres_per_unit is not None:
        changed = tuple(
            msgspec.structs.replace(each, metres_per_unit=metres_per_unit) if each.deck == deck else each
            for each in vessel.underlays
        )
        vessel = set_vessel_field(vessel, "underlays", changed)
        if not deck and not vessel.decks:
            vessel, deck = add_deck(vessel, Deck(tr("Deck"))), tr("Deck")
    for each in vessel.decks:
        if each.name == deck:
            scaled = msgspec.structs.replace(each, metres_per_unit=metres_per_unit)
            return measured(set_deck(vessel, deck, scaled))
    return vessel


def _refuse_missing(vessel: Vessel, index: int) -> None:
    if not 0 <= index < len(vessel.underlays):
        raise EditError(tr("there is no picture number {0} under the drawing").format(index + 1))


def _accepted() -> str:
    return tr("Accepted: PNG, JPEG, SVG, or a page of a PDF.")


def _unreadable(path: Path, why: str) -> PictureError:
    return PictureError(tr("{0} cannot be read as a picture: {1}. {2}").format(path.name, why, _accepted()))


def _refuse_many_pixels(path: Path, size: QSize) -> None:
    if size.width() * size.height() > MOST_PIXELS:
        text = tr("{0} has {1} × {2} pixels, which is too many. Accepted: up to {3} million.")
        raise PictureError(text.format(path.name, size.width(), size.height(), MOST_PIXELS // 1_000_000))


def _pixels(path: Path) -> QImage:
    reader = QImageReader(str(path))
    reader.setDecideFormatFromContent(True)
    reader.setAutoTransform(True)
    if not reader.canRead():
        raise _unreadable(path, tr("it holds no picture"))
    _refuse_many_pixels(path, reader.size())
    image = reader.read()
    if image.isNull():
        raise _unreadable(path, reader.errorString().rstrip("."))
    return image


def _vector(path: Path, content: bytes) -> QImage:
    # Read as XML first: the renderer would only log what is wrong.
    xml = QXmlStreamReader(content.decode("utf-8", "replace"))
    while not xml.atEnd():
        xml.readNext()
    if xml.hasError():
        raise _unreadable(path, f"{xml.errorString().rstrip('.')} ({tr('line')} {xml.lineNumber()})")
    renderer = QSvgRenderer(QByteArray(content))
    if not renderer.isValid() or renderer.defaultSize().isEmpty():
        raise _unreadable(path, tr("it holds no picture"))
    wanted = renderer.defaultSize().scaled(DRAWN_SIDE, DRAWN_SIDE, Qt.AspectRatioMode.KeepAspectRatio)
    image = QImage(wanted.expandedTo(QSize(1, 1)), QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(0)
    painter = QPainter(image)
    renderer.render(painter, QRectF(image.rect()))
    painter.end()
    return image


def _pdf(path: Path) -> pdfium.PdfDocument:
    try:
        return pdfium.PdfDocument(path)
    except pdfium.PdfiumError as error:
        raise _unreadable(path, str(error).rstrip(".")) from error


def _page(path: Path, page: int) -> QImage:
    with _pdf(path) as pages:
        if not 1 <= page <= len(pages):
            text = tr("{0} has no page {1}. Accepted: 1 to {2}.")
            raise PictureError(text.format(path.name, page, len(pages)))
        try:
            sheet = pages[page - 1]
            longer = max(sheet.get_size())
            bitmap = sheet.render(
                scale=DRAWN_SIDE / max(longer, 1.0), rev_byteorder=True, force_bitmap_format=4
            )
        except pdfium.PdfiumError as error:
            raise _unreadable(path, str(error).rstrip(".")) from error
        data = bytes(bitmap.buffer)
        image = QImage(data, bitmap.width, bitmap.height, bitmap.stride, QImage.Format.Format_RGBA8888)
        return image.copy()
