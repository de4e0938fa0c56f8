# SPDX-License-Identifier: MIT
"""Deck plans: what is read, what is refused and in which words, and the edits of place and scale."""

from __future__ import annotations

from pathlib import Path

import pypdfium2 as pdfium
import pytest
from PySide6.QtGui import QColor, QImage
from pytestqt.qtbot import QtBot

from app.editing import underlays
from app.editing.underlays import (
    PictureError,
    add_underlay,
    new_underlay,
    page_count,
    picture_name,
    picture_path,
    read_picture,
    renamed_for,
    scale_underlay,
    set_underlay,
)
from solver.errors import EditError
from solver.vessel.vessel import Deck, Underlay, Vessel

pytestmark = pytest.mark.usefixtures("qtbot")


def _png(path: Path, width: int = 120, height: int = 40) -> Path:
    image = QImage(width, height, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    assert image.save(str(path))
    return path


def _pdf(path: Path, pages: int) -> Path:
    made = pdfium.PdfDocument.new()
    for number in range(pages):
        made.new_page(200 + 100 * number, 100)
    made.save(path)
    return path


def test_pixels_are_those_of_the_file(tmp_path: Path) -> None:
    for name in ("plan.png", "plan.jpg", "PLAN.JPEG"):
        image = read_picture(_png(tmp_path / name))
        assert (image.width(), image.height()) == (120, 40)


def test_vector_pictures_and_pages_have_a_fixed_longer_side(tmp_path: Path) -> None:
    svg = tmp_path / "plan.svg"
    svg.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="400" height="100"><path d="M0 0h9"/></svg>'
    )
    image = read_picture(svg)
    assert (image.width(), image.height()) == (underlays.DRAWN_SIDE, underlays.DRAWN_SIDE // 4)
    pdf = _pdf(tmp_path / "plan.pdf", 2)
    assert page_count(pdf) == 2
    assert read_picture(pdf, 1).height() == pytest.approx(underlays.DRAWN_SIDE / 2, abs=2)
    assert read_picture(pdf, 2).height() == pytest.approx(underlays.DRAWN_SIDE / 3, abs=2)
    with pytest.raises(PictureError, match=r"no page 3.*1 to 2"):
        read_picture(pdf, 3)


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("plan.gif", b"GIF89a", "no picture this program knows.*PNG"),
        ("plan.png", b"not a picture", "cannot be read as a picture"),
        ("plan.svg", b"<svg", "cannot be read as a picture"),
        ("plan.pdf", b"%PDF-1.4 broken", "cannot be read as a picture"),
    ],
)
def test_what_is_no_picture_is_refused(tmp_path: Path, name: str, content: bytes, words: str) -> None:
    path = tmp_path / name
    path.write_bytes(content)
    with pytest.raises(PictureError, match=words):
        read_picture(path)


def test_missing_and_huge_files_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(PictureError, match="is not there"):
        read_picture(tmp_path / "gone.png")
    path = _png(tmp_path / "plan.png")
    monkeypatch.setattr(underlays, "MOST_PIXELS", 1000)
    with pytest.raises(PictureError, match="too many"):
        read_picture(path)
    monkeypatch.setattr(underlays, "LARGEST_FILE", 10)
    with pytest.raises(PictureError, match="too large"):
        read_picture(path)


def test_names_count_from_the_vessel(tmp_path: Path) -> None:
    vessel_path = tmp_path / "boats" / "a.farcabin"
    picture = tmp_path / "plans" / "deck.png"
    name = picture_name(picture, vessel_path)
    assert name == "../plans/deck.png"
    assert picture_path(name, vessel_path).resolve() == picture.resolve()
    vessel = Vessel(name="Tern", underlays=(Underlay(file="deck.png"),))
    moved = renamed_for(vessel, tmp_path / "plans" / "a.farcabin", vessel_path)
    assert moved.underlays[0].file == "../plans/deck.png"
    assert renamed_for(moved, vessel_path, vessel_path) is moved


def test_a_scale_is_the_decks_and_all_its_plans(tmp_path: Path, qtbot: QtBot) -> None:
    vessel = Vessel(name="Tern", decks=(Deck(name="Main"), Deck(name="Lower")))
    plan = new_underlay(_png(tmp_path / "plan.png"), None, "Main", (0.0, 0.0))
    for deck in ("Main", "Main", "Lower"):
        vessel = add_underlay(vessel, Underlay(file=plan.file, deck=deck))
    scaled = scale_underlay(vessel, 0, (0.0, 0.0), (300.0, 400.0), 12.5)
    assert [each.metres_per_unit for each in scaled.underlays] == [0.025, 0.025, 0.05]
    assert scaled.decks[0].metres_per_unit == 0.025
    assert scaled.decks[1].metres_per_unit is None
    with pytest.raises(EditError, match="far apart"):
        scale_underlay(vessel, 0, (1.0, 1.0), (1.2, 1.0), 5.0)
    with pytest.raises(EditError, match="above 0"):
        scale_underlay(vessel, 0, (0.0, 0.0), (10.0, 0.0), 0.0)
    with pytest.raises(EditError, match="no picture number 4"):
        scale_underlay(vessel, 3, (0.0, 0.0), (10.0, 0.0), 1.0)


def test_a_plan_made_larger_keeps_its_distances() -> None:
    plan = Underlay(file="plan.png", units_per_pixel=1.0, metres_per_unit=0.04)
    vessel = Vessel(name="Tern", underlays=(plan,))
    larger = set_underlay(vessel, 0, units_per_pixel=2.0).underlays[0]
    assert larger.units_per_pixel * larger.metres_per_unit == pytest.approx(0.04)
