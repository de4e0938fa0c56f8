# SPDX-License-Identifier: MIT
"""Drawings as files: valid, of the right size, with what every sheet must say."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import msgspec
import pytest
from PySide6.QtGui import QColor, QImage, QPainter

from app.paper.drawing_sheet import draw, worst_by_tag
from app.paper.plans import without_paper
from app.shipped import shipped
from app.theme import theme
from solver.errors import FarcabinError
from solver.results import Finding, Results
from solver.vessel.file import read_vessel, write_vessel
from solver.vessel.samples import ship
from solver.vessel.vessel import Underlay, Vessel
from tests.app.parts_drawn import pixels, results
from tests.app.small_loop import small_loop

_SVG = "{http://www.w3.org/2000/svg}"


def _solved() -> tuple[Vessel, Results]:
    vessel = small_loop()
    return vessel, results(vessel, shares={"AH-1": 1.0, "AH-2": 0.45})


def _drawn(path: Path, **how: Any) -> Path:
    draw(*_solved(), path, **{"date": "2026-05-01", **how})
    return path


def _texts(path: Path) -> list[str]:
    return [each.text or "" for each in ElementTree.parse(path).iter(f"{_SVG}text")]


def _pages(path: Path) -> list[tuple[float, float]]:
    """Return the pages of a pdf as width and height [mm]."""
    boxes = re.findall(rb"/MediaBox \[([\d. ]+)\]", path.read_bytes())
    return [tuple(float(edge) / 72 * 25.4 for edge in box.split()[2:]) for box in boxes]  # type: ignore[misc]


@pytest.mark.parametrize("size", [(1600, 1000), (640, 480), (320, 200)])
def test_a_png_has_the_size_asked_for(size: tuple[int, int], tmp_path: Path) -> None:
    image = QImage(str(_drawn(tmp_path / "boat.png", size=size)))
    assert (image.width(), image.height()) == size
    # Within the frame lies paper, and more than paper.
    assert image.pixelColor(4, 4) == QColor(theme("light").paper)
    assert len({image.pixel(x, y) for x in range(0, size[0], 3) for y in range(0, size[1], 3)}) > 10


def test_paper_overlay_units_and_figures_change_the_picture(tmp_path: Path) -> None:
    ways: list[dict[str, Any]] = [
        {},
        {"dark": True},
        {"overlay": None},
        {"overlay": "velocity"},
        {"units": "us"},
        {"date": "2026-05-02"},
    ]
    shown = {pixels(QImage(str(_drawn(tmp_path / f"{n}.png", **way)))) for n, way in enumerate(ways)}
    assert len(shown) == len(ways)
    assert QImage(str(tmp_path / "1.png")).pixelColor(4, 4) == QColor(theme("dark").paper)


def test_the_same_drawing_gives_the_same_file(tmp_path: Path) -> None:
    one, other = _drawn(tmp_path / "one.png"), _drawn(tmp_path / "other.png")
    assert one.read_bytes() == other.read_bytes()


def test_an_svg_says_what_a_sheet_must(tmp_path: Path) -> None:
    path = _drawn(tmp_path / "boat.svg")
    root = ElementTree.parse(path).getroot()
    assert root.get("viewBox") == "0 0 1600 1000"
    texts = _texts(path)
    for text in ("Test boat", "Summer", "as drawn", "SI", "Solved in 7 steps", "2026-05-01"):
        assert text in texts
    for text in ("AH-2", "45 %", "Share of design flow", "P-1"):
        assert text in texts
    assert not [each for each in root.iter(f"{_SVG}path") if not each.get("d")]


def test_units_are_the_vessels_own_unless_asked_for(tmp_path: Path) -> None:
    vessel, found = _solved()
    us = msgspec.structs.replace(vessel, units="us")
    draw(us, found, tmp_path / "own.svg")
    assert "US customary" in _texts(tmp_path / "own.svg")
    draw(us, found, tmp_path / "asked.svg", units="si")
    assert "SI" in _texts(tmp_path / "asked.svg")


def test_a_vessel_without_results_is_drawn_with_the_reason(tmp_path: Path) -> None:
    draw(small_loop(), None, tmp_path / "boat.svg", reason="nothing sets the pressure of the loop.")
    words = " ".join(_texts(tmp_path / "boat.svg"))
    assert "Not solved: nothing sets the pressure of the loop." in words
    assert "45 %" not in words


def test_an_empty_vessel_is_an_empty_sheet(tmp_path: Path) -> None:
    for kind in ("png", "svg", "pdf"):
        draw(Vessel(name="Nothing yet"), None, tmp_path / f"empty.{kind}")
        assert (tmp_path / f"empty.{kind}").stat().st_size > 1000


def test_a_small_loop_takes_one_page_of_a4(tmp_path: Path) -> None:
    (width, height), *others = _pages(_drawn(tmp_path / "boat.pdf"))
    assert (width, height) == (pytest.approx(297, abs=0.5), pytest.approx(210, abs=0.5))
    assert others == []
    content = (tmp_path / "boat.pdf").read_bytes()
    assert content.startswith(b"%PDF-")
    assert content.rstrip().endswith(b"%%EOF")


def test_the_paper_can_be_chosen(tmp_path: Path) -> None:
    [(width, height)] = _pages(_drawn(tmp_path / "boat.pdf", sheet="A3"))
    assert (width, height) == (pytest.approx(420, abs=0.5), pytest.approx(297, abs=0.5))


def test_a_large_drawing_takes_a3_and_pages_with_its_parts(tmp_path: Path) -> None:
    yacht = read_vessel(str(shipped("sample_vessels") / "motor_yacht_45m.farcabin"))
    draw(yacht, None, tmp_path / "yacht.pdf")
    assert [round(width) for width, _ in _pages(tmp_path / "yacht.pdf")] == [420]
    draw(ship(250), None, tmp_path / "ship.pdf")
    assert len(_pages(tmp_path / "ship.pdf")) > 3


@pytest.mark.parametrize("name", ["boat.jpg", "boat", "boat.PNG.txt"])
def test_an_unknown_ending_is_refused_with_the_known_ones(name: str, tmp_path: Path) -> None:
    with pytest.raises(FarcabinError, match=r"cannot draw into a file .*; accepted: \.png, \.svg, \.pdf"):
        _drawn(tmp_path / name)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("kind", ["png", "svg", "pdf"])
def test_a_file_that_cannot_be_written_is_told(kind: str, tmp_path: Path) -> None:
    with pytest.raises(FarcabinError, match=f"missing.boat.{kind}: the drawing cannot be written: No such"):
        _drawn(tmp_path / "missing" / f"boat.{kind}")


def test_an_unknown_overlay_is_refused(tmp_path: Path) -> None:
    with pytest.raises(FarcabinError, match="no overlay 'noise'"):
        _drawn(tmp_path / "boat.png", overlay="noise")


def test_a_part_is_marked_by_the_worst_finding_about_it() -> None:
    findings = (
        Finding("a", "bad", "", tags=("P-1",)),
        Finding("b", "note", "", tags=("P-1", "R-1")),
        Finding("c", "warn", "", tags=("R-1", "R-2")),
    )
    found = msgspec.structs.replace(_solved()[1], findings=findings)
    assert worst_by_tag(found) == {"P-1": "bad", "R-1": "warn", "R-2": "warn"}


def test_a_script_without_an_application_can_draw(tmp_path: Path) -> None:
    code = (
        "from app.paper.drawing_sheet import draw; from tests.app.small_loop import small_loop; "
        f"draw(small_loop(), None, {str(tmp_path / 'boat.png')!r}, size=(400, 300))"
    )
    unwanted = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    environment = {name: value for name, value in os.environ.items() if name not in unwanted}
    done = subprocess.run(
        [sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert QImage(str(tmp_path / "boat.png")).width() == 400


@pytest.fixture
def with_plan(tmp_path: Path) -> tuple[Vessel, Path]:
    """A vessel with a deck plan: black on its left half, blank on its right."""
    image = QImage(200, 100, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    for x in range(100):
        for y in range(100):
            image.setPixelColor(x, y, QColor("black"))
    assert image.save(str(tmp_path / "plan.png"))
    plan = Underlay(file="plan.png", at=(-400.0, -300.0), units_per_pixel=2.0, opacity_percent=50.0)
    return msgspec.structs.replace(small_loop(), underlays=(plan,)), tmp_path / "boat.farcabin"


def _ink(image: QImage) -> list[int]:
    """Return how many pixels have each lightness."""
    found = [0] * 256
    for x in range(0, image.width(), 4):
        for y in range(0, image.height(), 4):
            found[image.pixelColor(x, y).lightness()] += 1
    return found


@pytest.mark.parametrize("dark", [False, True])
def test_a_deck_plan_is_on_the_sheet_and_pale(
    with_plan: tuple[Vessel, Path], tmp_path: Path, dark: bool
) -> None:
    vessel, path = with_plan
    plain, planned = tmp_path / "plain.png", tmp_path / "planned.png"
    assert draw(vessel, None, planned, dark=dark, vessel_path=path, date="2026-05-01") == ()
    bare = msgspec.structs.replace(vessel, underlays=())
    draw(bare, None, plain, dark=dark, date="2026-05-01")
    paper = QColor(theme("dark" if dark else "light").paper)
    # Half of the plan is ink: 50 % of its own times 60 % for paper, between sheet and full ink.
    full = 255 if dark else 0
    pale = round(paper.lightness() + 0.3 * (full - paper.lightness()))
    ink, before = _ink(QImage(str(planned))), _ink(QImage(str(plain)))
    near = range(pale - 4, pale + 5)
    assert sum(ink[level] for level in near) > 50 * (1 + sum(before[level] for level in near))
    # The blank half leaves the sheet as it is.
    assert ink[paper.lightness()] > 1000


def test_a_deck_plan_is_in_every_kind_of_sheet(with_plan: tuple[Vessel, Path], tmp_path: Path) -> None:
    vessel, path = with_plan
    svg, pdf = tmp_path / "a.svg", tmp_path / "a.pdf"
    for file in (svg, pdf):
        draw(vessel, None, file, vessel_path=path)
    images = list(ElementTree.parse(svg).iter(f"{_SVG}image"))
    assert len(images) == 1
    assert b"/Subtype /Image" in pdf.read_bytes()


def test_a_deck_plan_that_is_missing_is_told_and_the_rest_drawn(
    with_plan: tuple[Vessel, Path], tmp_path: Path
) -> None:
    vessel, _path = with_plan
    [problem] = draw(vessel, None, tmp_path / "a.png", vessel_path=tmp_path / "elsewhere" / "boat.farcabin")
    assert "plan.png is not there" in problem
    assert not QImage(str(tmp_path / "a.png")).isNull()
    file = tmp_path / "b.farcabin"
    write_vessel(
        msgspec.structs.replace(
            vessel, underlays=(msgspec.structs.replace(vessel.underlays[0], file="no.png"),)
        ),
        file,
    )
    done = subprocess.run(
        [sys.executable, "-m", "app", "draw", str(file), "-o", str(tmp_path / "c.png")],
        capture_output=True,
        text=True,
        check=False,
    )
    assert (tmp_path / "c.png").is_file()
    assert "no.png is not there" in done.stderr


def test_colours_of_a_plan_are_as_before_on_white() -> None:
    image = QImage(3, 1, QImage.Format.Format_RGB32)
    for x, colour in enumerate(("#c84614", "#ffffff", "#808080")):
        image.setPixelColor(x, 0, QColor(colour))
    for dark in (False, True):
        bare = without_paper(image, dark=dark)
        assert bare.pixelColor(1, 0).alpha() == 0
        sheet = QImage(3, 1, QImage.Format.Format_RGB32)
        sheet.fill(QColor("black" if dark else "white"))
        painter = QPainter(sheet)
        painter.drawImage(0, 0, bare)
        painter.end()
        for x in range(3):
            wanted, found = image.pixelColor(x, 0).getRgb()[:3], sheet.pixelColor(x, 0).getRgb()[:3]
            wanted = [255 - each for each in wanted] if dark else wanted
            assert all(abs(a - b) <= 3 for a, b in zip(wanted, found, strict=True))
